package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"

	"bloomtide/ingest"
	"bloomtide/ingest/format"
	"bloomtide/ingest/weather"
)

// Bounds of what is looked at beside weather files; our own choices.
const (
	mostBeside   = 500      // files of a folder whose names may be those of lists
	largestPlace = 64 << 20 // bytes; GHCN-Daily's list has 11 MB
)

// placeWords are parts of the names that publishers give to lists of stations,
// in small letters. From memory.
var placeWords = []string{"station", "meta", "geographie", "inventory", "places", "sites", "_note."}

// placesIn reads a list of stations; none where the file holds anything else.
func placesIn(path string) []weather.Site {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() > largestPlace {
		return nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close() // it was only read
	head := make([]byte, 4<<10)
	n, _ := io.ReadFull(f, head) // a short file is looked at as it is
	if !format.LooksLikePlaces(head[:n]) {
		return nil
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil
	}
	sites, ok := format.Places(f, path)
	if !ok {
		return nil
	}
	return sites
}

// besides gives the lists of stations that lie in the folders of files and are
// none of them.
func besides(paths []string) (lists []string) {
	var folders []string
	for _, p := range paths {
		if dir := filepath.Dir(p); p != "-" && !slices.Contains(folders, dir) {
			folders = append(folders, dir)
		}
	}
	given := map[string]bool{}
	for _, p := range paths {
		given[filepath.Clean(p)] = true
	}
	for _, dir := range folders {
		entries, err := os.ReadDir(dir)
		if err != nil {
			continue // the files themselves tell it
		}
		for _, e := range entries {
			path := filepath.Join(dir, e.Name())
			if !e.IsDir() && !given[path] && namedLikePlaces(e.Name()) && len(lists) < mostBeside {
				lists = append(lists, path)
			}
		}
	}
	return lists
}

func namedLikePlaces(name string) bool {
	low := strings.ToLower(name)
	switch filepath.Ext(low) {
	case ".txt", ".csv", ".dat":
		return slices.ContainsFunc(placeWords, func(w string) bool { return strings.Contains(low, w) })
	}
	return false
}

// locateRecords gives records without a position or a height what a list of
// stations beside their files knows, with a note.
func locateRecords(records []ingest.Record, paths []string) {
	unknown := func(s weather.Site) bool { return !s.Located() || s.ElevM != s.ElevM }
	if !slices.ContainsFunc(records, func(r ingest.Record) bool { return unknown(r.Series.Site) }) {
		return
	}
	for _, list := range besides(paths) {
		sites := map[string]weather.Site{}
		for _, s := range placesIn(list) {
			sites[s.ID] = s
		}
		for i := range records {
			r := &records[i]
			known, ok := sites[r.Series.Site.ID]
			if !ok || !unknown(r.Series.Site) {
				continue
			}
			if site := completed(r.Series.Site, known); !same(site, r.Series.Site) {
				r.Series.Site, r.Series.Sources = site, []weather.Site{site}
				r.Report.Notes = append(r.Report.Notes, stationName(site)+": where it stands is told by "+list)
			}
		}
	}
}

// completed fills what is not known of a site.
func completed(s, known weather.Site) weather.Site {
	if !s.Located() {
		s.Point = known.Point
	}
	if s.ElevM != s.ElevM {
		s.ElevM = known.ElevM
	}
	if s.Name == "" || s.Name == s.ID {
		s.Name = known.Name
	}
	return s
}

// besideHint adds to the hint of an unknown position which file beside the
// record would tell it.
func besideHint(err error, layouts []string) error {
	var usage *usageError
	if !errors.As(err, &usage) || usage.hint == "" {
		return err
	}
	for _, l := range layouts {
		if file := format.PlaceFile(l); file != "" {
			return &usageError{usage.err, usage.hint + "; or put " + file + " beside it"}
		}
	}
	return err
}

// same reports whether two sites are alike, what is not known included.
func same(a, b weather.Site) bool {
	return a.Name == b.Name && a.Located() == b.Located() && (!a.Located() || a.Point == b.Point) &&
		(a.ElevM == b.ElevM || a.ElevM != a.ElevM && b.ElevM != b.ElevM)
}

// Names of files of which each holds one extreme of a station: BOM's and
// ECA&D's (read in real files, and from memory).
var (
	bomExtreme = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^IDCJAC001([01])_(\d+)_(\d+)(_Data\.csv|\.zip)(\.gz|\.zst)?$`)
	})
	ecadExtreme = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^T([NX])_(STAID\d+)\.txt(\.gz|\.zst)?$`)
	})
)

// partnerOf returns the file beside that holds the other extreme, "" for none.
func partnerOf(path string) string {
	dir, base := filepath.Split(path)
	if !strings.HasPrefix(base, "IDCJAC") && !strings.HasPrefix(base, "T") {
		return "" // without the patterns, which take longer to make than a small file to read
	}
	pattern, years := "", ""
	if m := bomExtreme().FindStringSubmatch(base); m != nil {
		pattern = "IDCJAC001" + map[string]string{"0": "1", "1": "0"}[m[1]] + "_" + m[2] + "_*" + m[4] + "*"
		years = "_" + m[3] + m[4]
	} else if m := ecadExtreme().FindStringSubmatch(base); m != nil {
		pattern = "T" + map[string]string{"N": "X", "X": "N"}[m[1]] + "_" + m[2] + ".txt*"
	} else {
		return ""
	}
	entries, err := os.ReadDir(filepath.Dir(path)) // not Glob: a folder's name may look like a pattern
	if err != nil {
		return ""
	}
	other := ""
	for _, e := range entries {
		ok, err := filepath.Match(pattern, e.Name())
		if !ok || err != nil {
			continue
		}
		if strings.Contains(e.Name(), years) { // rather of the same years than of others
			return dir + e.Name()
		}
		if other == "" {
			other = dir + e.Name()
		}
	}
	return other
}

// withPartners adds to files that hold one extreme of a station the files
// beside them with the other.
func (w world) withPartners(paths []string) []string {
	out := slices.Clone(paths)
	for _, p := range paths {
		other := partnerOf(p)
		if other == "" || slices.Contains(out, other) {
			continue
		}
		out = append(out, other)
		say{w.stderr}.warning("%s holds one extreme of the day; %s beside it, with the other, is read too", p, other)
	}
	return out
}
