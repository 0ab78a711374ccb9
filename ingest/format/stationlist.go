package format

import (
	"io"

	"bloomtide/ingest/weather"
)

// StationList reads GHCN-Daily's list of stations, which holds positions and
// names and no temperatures; false where r holds anything else.
func StationList(r io.Reader, name string) ([]weather.Site, bool) {
	f, err := Open(r, Options{Name: name})
	if err != nil || f.layout != stationListName {
		return nil, false
	}
	for _, err := range f.Readings() {
		if _, ended := err.(*FileError); ended {
			return nil, false
		}
	}
	return f.Sites(), true
}

// LooksLikeStationList reports whether the first bytes of a file, 45 or more,
// begin a line of GHCN-Daily's list of stations.
func LooksLikeStationList(head []byte) bool { return isStationList(head) }
