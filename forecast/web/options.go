package web

import (
	"io"
	"time"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// Place is a place that can be shown, with the keeper's own settings for it.
type Place struct {
	ID       string // lower case letters, digits and hyphens
	Name     string
	Invented bool
	Own      bool // configured, of the demo, or with an uploaded record: listed by itself
	Ask      Ask  // what the place's own settings ask for
}

// Stand is what grows of one plant within reach.
type Stand struct {
	Plant    string
	Hectares float64 // ha of the plant's own cover; 0: it grows here, how much is not known
}

// Ask is a question for a forecast. A zero field leaves the answer to the
// place's own settings.
type Ask struct {
	Place      string // ID of a place, or of a county on the map
	Point      *Point // a point instead of a place
	Issue      weather.Date
	Stands     []Stand
	BroodBox   string // name of a box
	BroodBoxes int
	Super      string  // name of a box
	Colonies   float64 // that share the forage
	US         bool    // pounds and °F; also where the place says so
}

// Point is a point on the globe, degrees.
type Point struct{ Lat, Lon float64 }

// The kinds of note that a keeper records.
const (
	NoteDone    = "done"    // a task of the plan
	NoteWeighed = "weighed" // a hive or its stores, kg
	NoteBloom   = "bloom"   // a stage of a plant seen
)

// Stages of bloom that can be noted, in their order.
func Stages() []string { return []string{"first", "full", "end"} }

// Note is one thing that the keeper wrote down.
type Note struct {
	ID           string // names the line in the keeper's file; given by the log
	Day          weather.Date
	Kind         string
	Task, Title  string  // of what was done
	Plant, Stage string  // of what was seen in bloom
	Kg           float64 // of what was weighed
	Text         string  // what the keeper adds
}

// Log is the keeper's own record, one for each place.
type Log interface {
	Notes(place string) ([]Note, error) // latest first
	Add(place string, n Note) error     // kept before it returns
	Remove(place, id string) error      // the last line that reads so
}

// Shelf keeps small files between runs: the calendars as last published.
type Shelf interface {
	// Read returns nothing, and no error, for a name that was never written.
	Read(name string) (content []byte, changed time.Time, err error)
	Write(name string, content []byte) error
}

// Upload is a weather file from the page.
type Upload struct {
	FileName string
	Content  io.Reader
	Place    string // name that the keeper gives to it, may be empty
	Point    *Point // where it was measured, nil: as the file says
}

// Area is a county on the map.
type Area struct {
	ID         string // what Ask.Place takes
	Name       string
	Region     string // short name of what it is a part of, such as the postal code of a state
	RegionName string
	Rings      [][][2]float64 // outline: rings of longitude and latitude, degrees
}

// Options are what the page is made of. Functions may be called from several
// goroutines at once.
type Options struct {
	Places   func() []Place // those that are listed, at least one, the first one shown first
	Find     func(id string, at *Point) (Place, error)
	Forecast func(Ask) (forecast.Forecast, error)
	Today    func() weather.Date
	Plants   []string // names that a stand may have
	Boxes    []string // names of hive boxes
	Log      Log
	Shelf    Shelf
	Accept   func(Upload) (p Place, remarks []string, err error) // checks and keeps a weather file
	Areas    func() ([]Area, error)                              // nil: no map
	Base     string                                              // leads every address: empty, or "/" and a secret
	Hosts    []string                                            // names, beside localhost and plain IP addresses, by which the page may be called
	Say      func(error)                                         // told of faults that are not the reader's; may be nil
}

// NotHere says that a place cannot be shown, and what would help.
type NotHere struct {
	What  string // sentence without full stop
	Mend  string
	Bring bool // a weather file of the keeper's would mend it
}

// Error joins both.
func (e *NotHere) Error() string { return e.What + "; " + e.Mend }
