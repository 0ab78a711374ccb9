package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"bloomtide/config"
	"bloomtide/forecast/report"
	"bloomtide/forecast/web"
)

// uploaded is what stands beside an uploaded weather file.
type uploaded struct {
	Place string   `json:"place"`
	Lat   *float64 `json:"lat,omitempty"`
	Lon   *float64 `json:"lon,omitempty"`
	File  string   `json:"file"` // as the keeper called it
}

const besideUpload = ".json"

// accept checks a weather file as the command line does, keeps it, and lists
// its place. Nothing is kept of a file that is refused.
func (h *house) accept(u web.Upload) (web.Place, []string, error) {
	content, err := io.ReadAll(u.Content)
	if err != nil {
		return web.Place{}, nil, err
	}
	if err := errors.Join(checkUnpacked(u.FileName, content, largestUnpacked), h.roomForUpload()); err != nil {
		return web.Place{}, nil, err
	}
	about := uploaded{Place: u.Place, File: u.FileName}
	if u.Point != nil {
		about.Lat, about.Lon = &u.Point.Lat, &u.Point.Lon
	}
	sum := sha256.Sum256(content)
	id := strings.Trim(report.Slug(u.Place)+"-"+hex.EncodeToString(sum[:4]), "-")
	dir, err := os.MkdirTemp(h.data, ".upload-")
	if err != nil {
		return web.Place{}, nil, fmt.Errorf("keep the weather file: %w", err)
	}
	defer os.RemoveAll(dir)
	trial := filepath.Join(dir, filepath.Base(filepath.Clean("/"+u.FileName)))
	if err := os.WriteFile(trial, content, 0o600); err != nil {
		return web.Place{}, nil, fmt.Errorf("keep the weather file: %w", err)
	}
	j, err := h.readUpload(trial, about)
	if err != nil {
		return web.Place{}, nil, withoutFolder(err, dir)
	}
	note, err := json.Marshal(about)
	if err != nil {
		return web.Place{}, nil, err
	}
	// The file first: a description without its file would name nothing.
	name := filepath.Join(h.data, "weather", id)
	if err := errors.Join(writeFile(name, content), writeFile(name+besideUpload, note)); err != nil {
		return web.Place{}, nil, err
	}
	p := h.list(id, j)
	h.forgetNear()
	var remarks []string
	for _, d := range j.doubts {
		remarks = append(remarks, strings.ReplaceAll(d, dir+string(filepath.Separator), ""))
	}
	return p, remarks, nil
}

// withoutFolder takes our own folder out of a message to the keeper.
func withoutFolder(err error, dir string) error {
	text := strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), "")
	var usage *usageError
	if errors.As(err, &usage) && strings.Contains(text, "latitude") {
		text += "; fill in latitude and longitude below the file"
	}
	return errors.New(text)
}

// readUpload reads one uploaded file under the user's settings.
func (h *house) readUpload(file string, about uploaded) (job, error) {
	s := h.settings
	s.Weather, s.Archive, s.County, s.Outline = []string{file}, "", "", ""
	s.Place, s.Lat, s.Lon, s.ElevationM = about.Place, math.NaN(), math.NaN(), math.NaN()
	if about.Lat != nil && about.Lon != nil {
		s.Lat, s.Lon = *about.Lat, *about.Lon
	}
	if s.Unit != "" && len(h.settings.Weather) == 0 {
		s.Unit = ""
	}
	s.Columns = config.Columns{}
	return h.ownPlace(s)
}

// openUploads lists the files that were uploaded earlier. One that can no
// longer be read is told and left alone.
func (h *house) openUploads() error {
	for _, file := range h.uploads() {
		note, err := os.ReadFile(file + besideUpload)
		if err != nil {
			return fmt.Errorf("open the uploaded weather files: %w", err)
		}
		var about uploaded
		err = json.NewDecoder(bytes.NewReader(note)).Decode(&about)
		var j job
		if err == nil {
			j, err = h.readUpload(file, about)
		}
		if err != nil {
			say{h.stderr}.warning("the uploaded weather file %s is left out: %v", file, err)
			continue
		}
		h.list(filepath.Base(file), j)
	}
	return nil
}

// mostUploads is how many uploaded files are kept. Our own choice: a keeper
// has a few stations, and a page that anybody in the house can reach must not
// fill the disk.
const mostUploads = 100

// roomForUpload refuses a file when too many are kept already.
func (h *house) roomForUpload() error {
	if len(h.uploads()) < mostUploads {
		return nil
	}
	return fmt.Errorf("%d weather files are kept already; take some out of the folder weather beside your record and start the program anew", mostUploads)
}

// uploads are the uploaded files, by name.
func (h *house) uploads() []string {
	notes, err := filepath.Glob(filepath.Join(h.data, "weather", "*"+besideUpload))
	if err != nil {
		return nil
	}
	out := make([]string, len(notes))
	for i, n := range notes {
		out[i] = strings.TrimSuffix(n, besideUpload)
	}
	return out
}

// forgetNear drops the records of counties and points, for which a new file
// may be the nearest.
func (h *house) forgetNear() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, id := range h.recent {
		delete(h.read, id)
	}
	h.recent = nil
}
