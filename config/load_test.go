package config

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/pflag"
	"github.com/spf13/viper"
	"github.com/stretchr/testify/require"

	"bloomtide/ingest/weather"
)

// given returns the shared flags as after a command line.
func given(t *testing.T, args ...string) *pflag.FlagSet {
	t.Helper()
	fs := pflag.NewFlagSet("bloomtide", pflag.ContinueOnError)
	fs.SetOutput(io.Discard)
	AddFlags(fs)
	require.NoError(t, fs.Parse(args))
	return fs
}

func fromYAML(content string) (Settings, error) {
	return Load(Options{File: "b.yaml", Content: []byte(content)})
}

// TestEachSourceGoesOverTheNext takes away one source after another.
func TestEachSourceGoesOverTheNext(t *testing.T) {
	full := Options{
		File:    "b.yaml",
		Content: []byte("units: us\nlat: 3\nhive:\n  super: Langstroth shallow, 10 frames\n  brood_boxes: 3\nweather: file.csv\n"),
		Environ: []string{"HOME=/", "BLOOMTIDE_LAT=2", "BLOOMTIDE_HIVE_SUPER=langstroth medium 8 frames", "BLOOMTIDE_WEATHER=a.csv,b.csv", "BLOOMTIDE_PLACE="},
		Flags:   given(t, "--lat", "-1.5", "--weather", "x,y.csv", "--weather", "z.csv", "--date-column", "Day"),
	}
	noFlags, noEnv := full, full
	noFlags.Flags = given(t) // registered but not given: their zeros must not win
	noEnv.Flags, noEnv.Environ = nil, nil
	for _, c := range []struct {
		name    string
		o       Options
		lat     float64
		super   string
		weather []string
	}{
		{"flags", full, -1.5, "langstroth medium 8 frames", []string{"x,y.csv", "z.csv"}},
		{"environment", noFlags, 2, "langstroth medium 8 frames", []string{"a.csv", "b.csv"}},
		{"file", noEnv, 3, "Langstroth shallow, 10 frames", []string{"file.csv"}},
		{"defaults", Options{}, math.NaN(), "Langstroth medium, 10 frames", []string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := Load(c.o)
			require.NoError(t, err)
			require.Equal(t, fmt.Sprint(c.lat), fmt.Sprint(s.Lat))
			require.Equal(t, c.super, s.Hive.Super)
			require.Equal(t, c.weather, s.Weather)
			if c.o.Content != nil { // neighbours of an overridden key stay
				require.Equal(t, 3, s.Hive.BroodBoxes)
				require.Equal(t, "us", s.Units)
				require.Equal(t, "b.yaml", s.SourceFile)
			}
		})
	}
	s, err := Load(full)
	require.NoError(t, err)
	require.Equal(t, "Day", s.Columns.Date)
}

// TestEveryKeyHasADefaultAndAVariable: viper forgets the variable of a key
// without a default when it fills a struct.
func TestEveryKeyHasADefaultAndAVariable(t *testing.T) {
	known := slices.Sorted(maps.Keys(defaults()))
	fields := slices.DeleteFunc(tags(reflect.TypeFor[Settings](), ""), func(k string) bool { return k == "tuning" })
	for _, a := range (Settings{}).Assumptions() {
		if strings.HasPrefix(a.Where, tuningPrefix) {
			fields = append(fields, a.Where)
		}
	}
	require.Equal(t, slices.Sorted(slices.Values(fields)), known)
	values := map[string]string{"lat": "1", "lon": "1", "elevation": "1", "unit": "F", "issue": "2027-04-14", "units": "us",
		"format": "csv", "hive.brood_box": "Zander, 10 frames", "hive.super": "Zander, 10 frames", "hive.brood_boxes": "1",
		"hive.foragers": "1", "hive.most_supers": "3", "hive.foundation": "0.5", "hive.colonies_in_reach": "1", "reminder.on": "true", "reminder.days_before": "2", "reminder.hour": "8",
		"fetch.stations": "1", "fetch.years": "30", "fetch.within_km": "50", "fetch.outlook": "true", "fetch.pause_s": "2",
		"fetch.allow_http": "true", "fetch.allow_private": "true", "undo_shift": "true"}
	before, err := Load(Options{})
	require.NoError(t, err)
	for _, k := range known {
		if k == "stands" {
			continue
		}
		value := values[k]
		if d, ok := defaults()[k].(float64); ok && value == "" && strings.HasPrefix(k, tuningPrefix) {
			value = strconv.FormatFloat(d*0.9, 'g', -1, 64)
		}
		if value == "" {
			value = "something"
		}
		s, err := Load(Options{Environ: []string{envName(k) + "=" + value}})
		require.NoError(t, err, k)
		require.NotEqual(t, fmt.Sprint(before), fmt.Sprint(s), "%s changes nothing", envName(k))
	}
}

// The defaults written out are those of the keys.
func TestFreshIsTheDefaults(t *testing.T) {
	v := viper.New()
	for k, value := range defaults() {
		v.Set(k, value)
	}
	var want Settings
	require.NoError(t, v.UnmarshalExact(&want, viper.DecodeHook(decodeHook)))
	require.Len(t, want.Tuning, len(tuningDefaults()))
	want.Tuning = nil
	require.Equal(t, fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", fresh())) // as text, since NaN is not itself
}

func tags(typ reflect.Type, prefix string) (out []string) {
	for i := range typ.NumField() {
		f := typ.Field(i)
		name := f.Tag.Get("mapstructure")
		switch {
		case name == "-":
		case f.Type.Kind() == reflect.Struct:
			out = append(out, tags(f.Type, prefix+name+".")...)
		default:
			out = append(out, prefix+name)
		}
	}
	return out
}

func TestEveryFlagHasAKey(t *testing.T) {
	keys := flagKeys()
	given(t).VisitAll(func(f *pflag.Flag) {
		require.NotEmpty(t, f.Usage, f.Name)
		if f.Name == "config" { // says where the file is, so cannot stand in it
			return
		}
		require.Contains(t, defaults(), keys[f.Name], f.Name)
		delete(keys, f.Name)
	})
	require.Empty(t, keys)
}

func TestIssueDateQuotedOrNot(t *testing.T) {
	want, err := weather.ParseDate("2027-04-14")
	require.NoError(t, err)
	for _, content := range []string{"issue: 2027-04-14\n", "issue: \"2027-04-14\"\n", "issue: '2027-04-14'"} {
		s, err := fromYAML(content)
		require.NoError(t, err, content)
		require.Equal(t, want, s.Issue, content)
	}
	s, err := Load(Options{Flags: given(t, "--issue", "2027-04-14")})
	require.NoError(t, err)
	require.Equal(t, want, s.Issue)
	for _, content := range []string{"issue: today", "issue:", "issue: \"\""} {
		s, err := fromYAML(content)
		require.NoError(t, err, content)
		require.Zero(t, s.Issue, content)
	}
}

// TestNamesKeepTheirCapitalsAndDots: as map keys they would not.
func TestNamesKeepTheirCapitalsAndDots(t *testing.T) {
	s, err := fromYAML("stands:\n  - plant: Tilia v1.2 Robinia\n    hectares: 2.5\n  - Plant: B\n    Hectares: 1\nplace: St. Anywhere (invented)\n")
	require.NoError(t, err)
	require.Equal(t, []StandSetting{{"Tilia v1.2 Robinia", 2.5}, {"B", 1}}, s.Stands)
	require.Equal(t, "St. Anywhere (invented)", s.Place)
}

func TestWordsTakeTheirOneSpelling(t *testing.T) {
	s, err := Load(Options{Flags: given(t, "--units", "US", "--unit", "f", "--format", "JSON")})
	require.NoError(t, err)
	require.Equal(t, []string{"us", "F", "json"}, []string{s.Units, s.Unit, s.Format})
}

func TestBadFiles(t *testing.T) {
	for content, want := range map[string]string{
		"lat: 1\nlatt: 4\n":     `b.yaml:2: latt: unknown setting "latt"; did you mean "lat"?`,
		"stand:\n":              `b.yaml:1: stand: unknown setting "stand"; did you mean "stands"?`,
		"hive:\n  soper: x\n":   `b.yaml:2: hive.soper: unknown setting "hive.soper"; did you mean "hive.super"?`,
		"colour: red\n":         `b.yaml:1: colour: unknown setting "colour"; the settings are archive,`,
		"hive: 5\n":             `b.yaml:1: hive: "hive" has no value of its own; put its settings on indented lines below: brood_box,`,
		"lat:\n  deg: 3\n":      `b.yaml:2: lat.deg: "lat" takes one value, not settings below it; write lat: value`,
		"stands:\n  plant: x\n": `b.yaml:2: stands.plant: stands is not a list; begin each stand with "- plant:"`,
		"stands: clover\n":      `b.yaml:1: stands: "clover" is not a list; begin each entry with "- "`,
		"stands:\n  - clover\n": `b.yaml:2: stands: "clover" is not a stand; write "- plant: white clover"`,
		"stands:\n# two\n  - plant: a\n    hectares: 1\n  - plant: b\n    hectare: 1\n": `b.yaml:5: stands: unknown setting "hectare"; did you mean "hectares"?`,
		"stands:\n  - plant: a\n    hectares: lots\n":                                   `b.yaml:2: stands: hectares "lots" is not a number; write a number such as 3.5`,
		"stands:\n  - plant: a\n":                                                       `b.yaml:2: stands: 0 hectares of a is not above 0 and up to 10000; give the hectares`,
		"stands:\n  - plant: a\n    hectares: .nan\n":                                   `b.yaml:2: stands: NaN hectares of a is not above 0`,
		"stands:\n  - hectares: 2\n":                                                    `b.yaml:2: stands: no plant; write "- plant: white clover"`,
		"lat: 91\n":                                                                     `b.yaml:1: lat: 91 is outside -90..90; give degrees, south of the equator negative`,
		"lon: -181\n":                                                                   `b.yaml:1: lon: -181 is outside -180..180; give degrees`,
		"lon: .inf\n":                                                                   `b.yaml:1: lon: +Inf is outside -180..180`,
		"elevation: 9200\n":                                                             `b.yaml:1: elevation: 9200 is outside -450..8900; give metres above sea level; is it in feet?`,
		"lat: north\n":                                                                  `b.yaml:1: lat: "north" is not a number; write a number such as 47.5`,
		"lat: 47,5\n":                                                                   `b.yaml:1: lat: "47,5" is not a number; write a number such as 47.5, with a point`,
		"lat: true\n":                                                                   `b.yaml:1: lat: "true" is not a number`,
		"lat: [1, 2]\n":                                                                 `b.yaml:1: lat: "[1 2]" is not a number`,
		"issue: 20270414\n":                                                             `b.yaml:1: issue: not a date of the form YYYY-MM-DD: 20270414; write it as 2027-04-14`,
		"issue: 2027-02-30\n":                                                           `b.yaml:1: issue: no such day in the calendar: 2027-02-30`,
		"units: F\n":                                                                    `b.yaml:1: units: unknown units "F"; use metric or us; the unit of a weather file is set by unit`,
		"unit: us\n":                                                                    `b.yaml:1: unit: unknown unit "us"; use auto, C, F or tenths; what is printed is set by units`,
		"format: pdf\n":                                                                 `b.yaml:1: format: unknown format "pdf"; use table, csv, json or ical`,
		"hive:\n  super: Langstroth medum, 10 frames\n":                                 `b.yaml:2: hive.super: no hive box is called "Langstroth medum, 10 frames"; did you mean "Langstroth medium, 10 frames"`,
		"hive: {brood_boxes: 0}\n":                                                      `b.yaml:1: hive.brood_boxes: 0 is outside 1..6; a super goes on over a brood box: count the boxes`,
		"hive: {brood_boxes: 1.5}\n":                                                    `b.yaml:1: hive.brood_boxes: "1.5" is not a whole number`,
		"hive: {foragers: .nan}\n":                                                      `b.yaml:1: hive.foragers: NaN is outside 1..100000`,
		"reminder: {hour: 24}\n":                                                        `b.yaml:1: reminder.hour: 24 is outside 1..23; give a full hour`,
		"reminder: {on: 1}\n":                                                           `b.yaml:1: reminder.on: "1" is neither true nor false; write true or false`,
		"fetch: {within_km: 5000}\n":                                                    `b.yaml:1: fetch.within_km: 5000 is outside 1..1000; weather seldom is alike beyond 100 km`,
		"fetch: {stations: 0}\n":                                                        `b.yaml:1: fetch.stations: 0 is outside 1..20; three outlast the end of one`,
		"weather: [[a]]\n":                                                              `b.yaml:1: weather: "[[a]]" is not a list of names; write one name`,
		"place: [a]\n":                                                                  `b.yaml:1: place: "[a]" is not plain text; write one value`,
		"lat: 1\nlat: 2\n":                                                              `b.yaml:2: not valid YAML: mapping key "lat" already defined at line 1; write each setting once`,
		"lat 3\n":                                                                       `b.yaml:1: not valid YAML: cannot unmarshal`,
		"%PDF-1.4\n\x00":                                                                `b.yaml: not valid YAML: `,
	} {
		_, err := fromYAML(content)
		require.ErrorContains(t, err, want, content)
		bad := new(UsageError)
		require.ErrorAs(t, err, &bad, content)
		require.NotEmpty(t, bad.Mend, content)
	}
}

func TestBadEnvironmentAndFlags(t *testing.T) {
	for variable, want := range map[string]string{
		"BLOOMTIDE_LATT=3":          `BLOOMTIDE_LATT: no such setting; did you mean "BLOOMTIDE_LAT"?`,
		"BLOOMTIDE_HIVE_SUPPER=x":   `did you mean "BLOOMTIDE_HIVE_SUPER"?`,
		"BLOOMTIDE_COLOUR=red":      `BLOOMTIDE_COLOUR: no such setting; unset it, or use one of these after BLOOMTIDE_: ARCHIVE,`,
		"BLOOMTIDE_LAT=x":           `BLOOMTIDE_LAT: "x" is not a number`,
		"BLOOMTIDE_LAT=-91":         `BLOOMTIDE_LAT: -91 is outside -90..90`,
		"BLOOMTIDE_STANDS=clover":   `BLOOMTIDE_STANDS: stands do not fit into a variable; list them in the configuration file`,
		"BLOOMTIDE_HIVE_SUPER=deep": `BLOOMTIDE_HIVE_SUPER: no hive box is called "deep"; did you mean "Langstroth deep, 10 frames" or`,
	} {
		_, err := Load(Options{Environ: []string{variable}})
		require.ErrorContains(t, err, want)
	}
	for flag, want := range map[string]string{
		"--lat=95":           "--lat: 95 is outside -90..90",
		"--lon=200":          "--lon: 200 is outside -180..180",
		"--units=kelvin":     `--units: unknown units "kelvin"; use metric or us`,
		"--issue=14.4.2027":  `--issue: not a date of the form YYYY-MM-DD: "14.4.2027"; write it as 2027-04-14`,
		"--elevation=-1e300": "--elevation: -1e+300 is outside -450..8900",
	} {
		_, err := Load(Options{File: "b.yaml", Content: []byte("lat: 1\nlon: 1\n"), Flags: given(t, flag)})
		require.ErrorContains(t, err, want)
	}
	s, err := Load(Options{Environ: []string{"BLOOMTIDE_CONFIG=elsewhere.yaml", "BLOOMTIDE_LAT="}})
	require.NoError(t, err)
	require.True(t, math.IsNaN(s.Lat))
}

func TestEmptyFileIsAFile(t *testing.T) {
	for _, content := range []string{"", "\n", "# nothing\n", "\ufeff# nothing\n"} {
		s, err := fromYAML(content)
		require.NoError(t, err, content)
		require.Equal(t, "b.yaml", s.SourceFile)
	}
}

// TestExampleSetsNothing: the file that init writes stands for the defaults.
func TestExampleSetsNothing(t *testing.T) {
	s, err := Load(Options{File: "b.yaml", Content: Example()})
	require.NoError(t, err)
	want, err := Load(Options{})
	require.NoError(t, err)
	s.SourceFile = ""
	require.Equal(t, fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", s))
}

// TestExampleShowsEverySetting takes the # away: every setting is there, and
// those that have a default show it.
func TestExampleShowsEverySetting(t *testing.T) {
	var lines []string
	for _, line := range strings.Split(string(Example()), "\n") {
		prose := strings.HasPrefix(line, "# ") && !strings.HasPrefix(line, "#  ")
		if bare, ok := strings.CutPrefix(line, "#"); ok && !prose {
			lines = append(lines, bare)
		}
	}
	open := strings.Join(lines, "\n")
	for k := range defaults() {
		at := lineOf(lines, k)
		require.NotZero(t, at, "%s is missing", k)
		require.Contains(t, lines[at-1], k[strings.LastIndex(k, ".")+1:]+":", "%s is missing", k)
	}
	s, err := fromYAML(open)
	require.NoError(t, err)
	want, err := Load(Options{})
	require.NoError(t, err)
	require.Equal(t, want.Hive, s.Hive)
	require.Equal(t, want.Reminder, s.Reminder)
	require.Equal(t, []string{want.Unit, want.Units, want.Format}, []string{s.Unit, s.Units, s.Format})
	require.NotEmpty(t, s.Stands)
	plants, err := Plants()
	require.NoError(t, err)
	_, err = s.Apiary(plants)
	require.NoError(t, err)
}

// FuzzLoad: no file makes Load panic, and what it lets through can be meant.
func FuzzLoad(f *testing.F) {
	f.Add(Example())
	f.Add([]byte("lat: 1\nstands:\n  - plant: a\n    hectares: 1\n"))
	f.Add([]byte("hive.super: x\n? [a]\n: b\n"))
	f.Add([]byte("a: &a [*a]\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		s, err := Load(Options{File: "f.yaml", Content: content})
		if err != nil {
			require.True(t, errors.As(err, new(*UsageError)), "%v", err)
			return
		}
		require.True(t, math.IsNaN(s.Lat) || s.Lat >= -90 && s.Lat <= 90)
		require.True(t, math.IsNaN(s.Lon) || s.Lon >= -180 && s.Lon <= 180)
		require.Contains(t, Formats(), s.Format)
		for _, st := range s.Stands {
			require.Positive(t, st.Hectares)
		}
	})
}
