package main

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"bloomtide/forecast/web"
	"bloomtide/ingest/archive"
	"bloomtide/ingest/weather"
)

// keeperLog is the keeper's own record: two plain CSV files that a spreadsheet
// opens and that the keeper may write by hand as well. Columns are found by
// their names, in any order; lines that are not ours stay as they are.
type keeperLog struct {
	folder string
	mu     sync.Mutex
}

// The files, with the columns that a new one gets.
const (
	bloomFile = "bloom.csv"
	hiveFile  = "hive-notes.csv" // not what --hive-log reads, which names amounts
)

func columnsOf(file string) []string {
	if file == bloomFile {
		return []string{"date", "plant", "stage", "place", "note"}
	}
	return []string{"date", "place", "what", "kg", "task", "title", "note"}
}

// fileOf is where a note goes.
func fileOf(n web.Note) string {
	if n.Kind == web.NoteBloom {
		return bloomFile
	}
	return hiveFile
}

// logFile is a file taken apart: each record with the octets it stands in.
type logFile struct {
	name    string
	content []byte
	columns map[string]int
	records []logRecord
}

type logRecord struct {
	from, to int // octets of the file
	cells    []string
	line     int
}

// id names a record by its octets, so that it stays found when lines above it
// come or go.
func (f *logFile) id(r logRecord) string {
	sum := sha256.Sum256(bytes.TrimRight(f.content[r.from:r.to], "\r\n"))
	const octets = 6
	return strings.TrimSuffix(f.base(), ".csv") + "-" + hex.EncodeToString(sum[:octets])
}

func (f *logFile) base() string { return filepath.Base(f.name) }

func (f *logFile) cell(r logRecord, column string) string {
	i, ok := f.columns[column]
	if !ok || i >= len(r.cells) {
		return ""
	}
	return bare(r.cells[i])
}

// open reads a file; one that is not there has a header and no records.
func (l *keeperLog) open(file string) (*logFile, error) {
	f := &logFile{name: filepath.Join(l.folder, file), columns: map[string]int{}}
	var err error
	f.content, err = os.ReadFile(f.name)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(bytes.TrimSpace(f.content)) == 0 {
		f.content = []byte(strings.Join(columnsOf(file), ",") + "\n")
	} else if err != nil {
		return nil, fmt.Errorf("read the record: %w", err)
	}
	return f, f.takeApart()
}

func (f *logFile) takeApart() error {
	in := csv.NewReader(bytes.NewReader(f.content))
	in.FieldsPerRecord = -1
	for from := 0; ; {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return fmt.Errorf("%s: %w; mend the line in a text editor", f.base(), err)
		}
		to := int(in.InputOffset())
		at, _ := in.FieldPos(0)
		if len(f.columns) == 0 {
			for i, c := range cells {
				f.columns[strings.ToLower(strings.TrimSpace(strings.TrimPrefix(c, "\ufeff")))] = i
			}
		} else {
			f.records = append(f.records, logRecord{from, to, cells, at})
		}
		from = to
	}
	for _, need := range []string{"date"} {
		if _, ok := f.columns[need]; !ok {
			return fmt.Errorf("%s: the first line names no column %q; it should read %s", f.base(), need, strings.Join(columnsOf(f.base()), ","))
		}
	}
	return nil
}

// Notes returns what is written down of a place, latest first. Lines without a
// readable date are the keeper's own business and passed over.
func (l *keeperLog) Notes(place string) ([]web.Note, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	var out []web.Note
	for _, file := range []string{bloomFile, hiveFile} {
		f, err := l.open(file)
		if err != nil {
			return nil, err
		}
		for _, r := range f.records {
			day, err := weather.ParseDate(strings.TrimSpace(f.cell(r, "date")))
			if err != nil || f.cell(r, "place") != place {
				continue
			}
			out = append(out, f.note(r, day))
		}
	}
	slices.Reverse(out)
	slices.SortStableFunc(out, func(a, b web.Note) int { return cmp.Compare(b.Day, a.Day) })
	return out, nil
}

func (f *logFile) note(r logRecord, day weather.Date) web.Note {
	n := web.Note{ID: f.id(r), Day: day, Text: f.cell(r, "note")}
	if f.base() == bloomFile {
		n.Kind, n.Plant, n.Stage = web.NoteBloom, f.cell(r, "plant"), f.cell(r, "stage")
		return n
	}
	n.Kind, n.Task, n.Title = f.cell(r, "what"), f.cell(r, "task"), f.cell(r, "title")
	n.Kg, _ = strconv.ParseFloat(f.cell(r, "kg"), 64) // none for what is not weighed
	return n
}

// alone waits until no other program changes the files of the folder, as a second
// page on it may, and returns what lets it go on. A system without locks, and a
// lock that is held for longer than anybody needs, are no reason to lose a note.
func (l *keeperLog) alone() (release func()) {
	const tries, pause = 200, 10 * time.Millisecond // two seconds, our choice
	for range tries {
		let, err := archive.Hold(filepath.Join(l.folder, ".notes.lock"))
		if err == nil {
			return func() { _ = let() } // a lock ends with its file, whatever closing it says
		}
		if !errors.Is(err, archive.ErrLocked) {
			break
		}
		time.Sleep(pause)
	}
	return func() {}
}

// Add appends a line. The file is put in place whole, so that a kill loses
// neither the line nor those before it.
func (l *keeperLog) Add(place string, n web.Note) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	defer l.alone()()
	f, err := l.open(fileOf(n))
	if err != nil {
		return err
	}
	values := map[string]string{
		"date": n.Day.String(), "place": place, "plant": n.Plant, "stage": n.Stage,
		"what": n.Kind, "task": n.Task, "title": n.Title, "note": n.Text,
	}
	if n.Kind == web.NoteWeighed {
		values["kg"] = strconv.FormatFloat(n.Kg, 'f', -1, 64)
	}
	row := make([]string, len(f.columns))
	for name, value := range values {
		i, ok := f.columns[name]
		switch {
		case ok && i < len(row):
			row[i] = harmless(value)
		case value != "" && slices.Contains(columnsOf(f.base()), name):
			return fmt.Errorf("%s has no column %q; add it to the first line", f.base(), name)
		}
	}
	var b bytes.Buffer
	b.Write(f.content)
	if !bytes.HasSuffix(f.content, []byte("\n")) {
		b.WriteByte('\n')
	}
	w := csv.NewWriter(&b)
	if err := w.Write(row); err != nil {
		return err
	}
	w.Flush()
	return writeFile(f.name, b.Bytes())
}

// Remove takes a line out, the last one that reads so.
func (l *keeperLog) Remove(place, id string) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	defer l.alone()()
	for _, file := range []string{bloomFile, hiveFile} {
		f, err := l.open(file)
		if err != nil {
			return err
		}
		for _, r := range slices.Backward(f.records) {
			if f.id(r) != id || f.cell(r, "place") != place {
				continue
			}
			rest := append(slices.Clone(f.content[:r.from]), f.content[r.to:]...)
			return writeFile(f.name, rest)
		}
	}
	return errors.New("that line is no longer in the record; it may have been undone already")
}

// formulaStarts begin a cell that a spreadsheet would compute instead of show.
const formulaStarts = "=+-@\t\r"

// harmless puts an apostrophe before what a spreadsheet would take for a
// formula (OWASP, CSV injection, from memory); bare takes it away again.
func harmless(s string) string {
	if s != "" && strings.ContainsRune(formulaStarts, rune(s[0])) {
		return "'" + s
	}
	return s
}

func bare(s string) string {
	if len(s) > 1 && s[0] == '\'' && strings.ContainsRune(formulaStarts, rune(s[1])) {
		return s[1:]
	}
	return s
}
