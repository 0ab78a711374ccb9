package format

import (
	"bytes"
	"fmt"
	"strings"
)

// signatures of files that people give by mistake. From the public
// descriptions of each format, from memory.
var signatures = []struct{ magic, what, mend string }{
	{"%PDF-", "a PDF", "ask the publisher for the data as CSV"},
	{"\x89PNG", "a PNG picture", "give the table, not its picture"},
	{"\xff\xd8\xff", "a JPEG picture", "give the table, not its picture"},
	{"GIF8", "a GIF picture", "give the table, not its picture"},
	{"\xd0\xcf\x11\xe0", "an old office document", "save it as CSV and give that file"},
	{"PAR1", "a Parquet file", "export it as CSV"},
	{"ARROW1", "an Arrow file", "export it as CSV"},
	{"\x89HDF", "an HDF5 or netCDF-4 file", "export the point as CSV"},
	{"CDF\x01", "a netCDF file", "export the point as CSV"},
	{"CDF\x02", "a netCDF file", "export the point as CSV"},
	{"GRIB", "a GRIB file", "export the point as CSV"},
	{"SQLite format 3", "an SQLite database", "export the table as CSV"},
	{"7z\xbc\xaf\x27\x1c", "a 7z archive", "unpack it and give the file"},
	{"\xfd7zXZ", "an xz archive", "unpack it and give the file"},
	{"\x28\xb5\x2f\xfd", "a zstd file in another archive", "unpack the outer one"},
	{"Rar!", "a RAR archive", "unpack it and give the file"},
	{"\x7fELF", "a program", "give a table of days"},
	{"PK\x03\x04", "a zip in another archive", "unpack the outer one"},
	{"\x1f\x8b", "a gzip in another archive", "unpack the outer one"},
}

// notText names what a head is where it is no text with lines, else nothing.
func notText(head []byte) (what, mend string) {
	for _, s := range signatures {
		if bytes.HasPrefix(head, []byte(s.magic)) {
			return s.what, s.mend
		}
	}
	if len(head) > 262 && string(head[257:262]) == "ustar" {
		return "a tar archive", "unpack it and give the files"
	}
	start := strings.ToLower(string(bytes.TrimSpace(head[:min(len(head), 200)])))
	switch {
	case strings.HasPrefix(start, "<!doctype html"), strings.HasPrefix(start, "<html"):
		return "a web page", "save the data that the page links to"
	case strings.HasPrefix(start, "<?xml"), strings.HasPrefix(start, "<"):
		return "XML", "ask the publisher for the data as CSV"
	case strings.HasPrefix(start, "{"), strings.HasPrefix(start, "[{"):
		return "JSON", "ask the service for CSV"
	}
	first := head[:min(len(head), 4096)]
	if n := bytes.Count(first, []byte{0}); n > 4+len(first)/50 {
		return "a binary file", "give a text with one day a line"
	}
	return "", ""
}

// noHeader words the refusal of a text without a header that is understood.
func noHeader(name string, text [][]byte) error {
	first := []byte{}
	for _, line := range text {
		if len(trim(line)) > 0 {
			first = line
			break
		}
	}
	return &FileError{
		File: name, Line: 1,
		What: fmt.Sprintf("no header with a date and temperatures is recognised; the file begins %q", clip(first)),
		Mend: "name the columns with --date-column, --tmin-column and --tmax-column, or add a header line such as date,tmin,tmax",
	}
}
