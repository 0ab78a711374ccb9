package config

import (
	"maps"
	"math"

	"bloomtide/ingest/weather"
)

// Settings are what the keeper has told the program, from all sources.
type Settings struct {
	Place string `mapstructure:"place"` // name of the place, as the plan shows it

	County string `mapstructure:"county"` // a county of the United States: name and state, or FIPS code; gives lat and lon where those are not told

	Outline string `mapstructure:"outline"` // GeoJSON file with the outline of the place, anywhere on earth; empty: none

	Lat        float64 `mapstructure:"lat"`       // degrees, north positive, -90..90; NaN: not told
	Lon        float64 `mapstructure:"lon"`       // degrees, east positive, -180..180; NaN: not told
	ElevationM float64 `mapstructure:"elevation"` // metres above sea level; NaN: not told

	Weather []string `mapstructure:"weather"` // files and folders of daily temperatures, - for standard input
	Unit    string   `mapstructure:"unit"`    // of temperatures in plain files: auto, C, F or tenths; default auto
	Columns Columns  `mapstructure:"columns"`

	UndoShift bool `mapstructure:"undo_shift"` // move an extreme back that stands on the wrong day, as neighbours show; default false

	Issue      weather.Date `mapstructure:"issue"` // the issue date, where IssueGiven
	IssueGiven bool         `mapstructure:"-"`     // without it the issue date is today: 1970-01-01, which is day 0, is a date like any other

	Forage  string `mapstructure:"forage"`  // the keeper's own forage table; empty: the embedded one
	Units   string `mapstructure:"units"`   // metric or us; default metric
	Format  string `mapstructure:"format"`  // one of Formats; default table
	Archive string `mapstructure:"archive"` // folder of the archive; empty: none

	Cover      string   `mapstructure:"cover"` // the keeper's CSV of what grows within reach, in place of Stands; empty: none
	Unmeasured []string `mapstructure:"-"`     // plants of that list whose hectares are not known, by WithCover

	Stands   []StandSetting  `mapstructure:"stands"`
	Hive     HiveSettings    `mapstructure:"hive"`
	Reminder ReminderSetting `mapstructure:"reminder"`
	Fetch    FetchSettings   `mapstructure:"fetch"`
	HiveLog  string          `mapstructure:"hive_log"` // file of what the keeper did and saw; empty: none

	Tuning map[string]float64 `mapstructure:"tuning"` // numbers of our own, as Assumptions lists them

	SourceFile string `mapstructure:"-"` // the configuration file read, empty for none
}

// Columns names the columns of a plain weather file; an empty name is
// recognised by itself.
type Columns struct {
	Date string `mapstructure:"date"`
	TMin string `mapstructure:"tmin"`
	TMax string `mapstructure:"tmax"`
	Rain string `mapstructure:"rain"`
}

// StandSetting is what grows of one plant within reach of the bees.
type StandSetting struct {
	Plant    string  `mapstructure:"plant"`    // name or taxon of the forage table
	Hectares float64 `mapstructure:"hectares"` // ha of the plant's own cover
}

// HiveSettings are what the keeper has. Defaults are those of hive.Setup.
type HiveSettings struct {
	BroodBox        string  `mapstructure:"brood_box"`         // name of a box
	BroodBoxes      int     `mapstructure:"brood_boxes"`       // boxes of the brood nest
	Super           string  `mapstructure:"super"`             // name of a box
	Foragers        float64 `mapstructure:"foragers"`          // bees at full strength
	ColoniesInReach float64 `mapstructure:"colonies_in_reach"` // that share the forage
	MostSupers      int     `mapstructure:"most_supers"`       // supers owned for the hive; 0: as many as it takes
	Foundation      float64 `mapstructure:"foundation"`        // share of a new super that is not drawn, 0..1
}

// ReminderSetting says when a calendar reminds of each task.
type ReminderSetting struct {
	On         bool `mapstructure:"on"`
	DaysBefore int  `mapstructure:"days_before"` // 0: on the day; default 1
	Hour       int  `mapstructure:"hour"`        // full hour, 1..23; default 9
}

// Words that settings may take.
var (
	unitWords   = []string{"auto", "C", "F", "tenths"}
	systemWords = []string{"metric", "us"}
	formatWords = []string{"table", "csv", "json", "ical"}
)

// Formats returns the words of --format.
func Formats() []string { return append([]string(nil), formatWords...) }

// fresh returns the defaults as settings, with no number of Tuning, which is at
// its default where it is not told. Every run starts from them, and most set but a
// few keys, so that they are written out instead of decoded; a test holds them and
// defaults together.
func fresh() Settings {
	return Settings{
		Lat: math.NaN(), Lon: math.NaN(), ElevationM: math.NaN(),
		Weather: []string{}, Unit: "auto", Units: "metric", Format: "table", Stands: []StandSetting{},
		Hive: HiveSettings{
			BroodBox: "Langstroth deep, 10 frames", BroodBoxes: 2, Super: "Langstroth medium, 10 frames",
			Foragers: 20000, ColoniesInReach: 40,
		},
		Reminder: ReminderSetting{DaysBefore: 1, Hour: 9},
		Fetch: FetchSettings{
			Stations: 3, Years: 20, WithinKm: 100,
			StationsAddress: stationsAddress, InventoryAddress: inventoryAddress, RecordsAddress: recordsAddress,
			OutlookAddress: outlookAddress, PauseS: 1,
		},
	}
}

// defaults holds the one default of every key, in viper's dotted form. A key
// without an entry here does not exist. Hive defaults are those that
// hive.Setup states; a test holds them together.
func defaults() map[string]any {
	d := map[string]any{
		"place": "", "county": "", "outline": "", "lat": math.NaN(), "lon": math.NaN(), "elevation": math.NaN(),
		"weather": []string{}, "unit": "auto", "undo_shift": false,
		"columns.date": "", "columns.tmin": "", "columns.tmax": "", "columns.rain": "",
		"issue": "", "forage": "", "hive_log": "", "units": "metric", "format": "table", "archive": "",
		"cover": "", "stands": []any{},
		"hive.brood_box": "Langstroth deep, 10 frames", "hive.brood_boxes": 2,
		"hive.super": "Langstroth medium, 10 frames", "hive.foragers": 20000.0,
		"hive.colonies_in_reach": 40.0, "hive.most_supers": 0, "hive.foundation": 0.0,
		"reminder.on": false, "reminder.days_before": 1, "reminder.hour": 9,
	}
	maps.Copy(d, fetchDefaults())
	maps.Copy(d, tuningDefaults())
	return d
}
