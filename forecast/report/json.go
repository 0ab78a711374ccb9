package report

import (
	"encoding/json"
	"io"
	"math"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// The JSON documents carry the name and the version of their schema. Fields
// may be added within a version; none is renamed, removed or given another
// meaning without a new one.
const (
	PlanSchema  = "bloomtide/plan/1"
	BloomSchema = "bloomtide/bloom/1"
)

type jsonDocument struct {
	Schema    string      `json:"schema"`
	Place     jsonPlace   `json:"place"`
	IssueDate string      `json:"issue_date"`
	Members   jsonMembers `json:"members"`
	Hindcast  []jsonPast  `json:"hindcast"`
	Hangs     []jsonHang  `json:"unverified"`
	Blooms    []jsonBloom `json:"blooms"`
	Flows     *[]jsonFlow `json:"flows,omitempty"`
	Warnings  []string    `json:"warnings"`
	Tasks     *[]jsonTask `json:"tasks,omitempty"`
	Cautions  []string    `json:"cautions,omitempty"`
	Boxes     []jsonComb  `json:"boxes,omitempty"`
}

type jsonPlace struct {
	Name       string        `json:"name"`
	Invented   bool          `json:"invented"`
	Lat        *float64      `json:"lat"`
	Lon        *float64      `json:"lon"`
	ElevationM *float64      `json:"elevation_m"`
	Stations   []jsonStation `json:"stations"`
}

type jsonStation struct {
	ID         string   `json:"id"`
	Name       string   `json:"name,omitempty"`
	Lat        *float64 `json:"lat"`
	Lon        *float64 `json:"lon"`
	ElevationM *float64 `json:"elevation_m"`
}

type jsonMembers struct {
	Count int `json:"count"`
	First int `json:"first_year"`
	Last  int `json:"last_year"`

	Of           int     `json:"of"`
	OutlookDays  int     `json:"outlook_days"`
	OutlookUntil *string `json:"outlook_until"`
	TrendK       float64 `json:"trend_k_per_decade"`
}

type jsonWindow struct {
	Early  *string `json:"early"`
	Likely *string `json:"likely"`
	Late   *string `json:"late"`
	Share  float64 `json:"share"`
}

type jsonBloom struct {
	Plant  string     `json:"plant"`
	Taxon  string     `json:"taxon"`
	Year   int        `json:"year"`
	First  jsonWindow `json:"first"`
	Full   jsonWindow `json:"full"`
	End    jsonWindow `json:"end"`
	Status string     `json:"status"`
	Source string     `json:"source"`
	Feeds  bool       `json:"feeds"`
	Seen   bool       `json:"seen"`
	By     []jsonBy   `json:"by_date"`
}

type jsonSpread struct {
	Low    float64 `json:"p10"`
	Middle float64 `json:"p50"`
	High   float64 `json:"p90"`
}

type jsonFlow struct {
	Name          string      `json:"name"`
	Year          int         `json:"year"`
	Start         jsonWindow  `json:"start"`
	Peak          jsonWindow  `json:"peak"`
	End           jsonWindow  `json:"end"`
	Shape         string      `json:"shape"`
	EffectiveDays jsonSpread  `json:"effective_days"`
	BestWeekShare float64     `json:"best_week_share"`
	Kg            *jsonSpread `json:"kg_per_hive"`
	KgPerDay      *float64    `json:"kg_per_hive_day"`
}

type jsonTask struct {
	Kind   string  `json:"kind"`
	N      int     `json:"n"`
	Year   int     `json:"year"`
	Title  string  `json:"title"`
	Early  string  `json:"early"`
	Likely string  `json:"likely"`
	Late   string  `json:"late"`
	Until  *string `json:"until"`
	Share  float64 `json:"share"`
	Why    string  `json:"why"`
	Check  string  `json:"check"`
	IfLate string  `json:"if_late"`
	Care   string  `json:"care"`
	UID    string  `json:"uid"`

	HangsOn []string `json:"hangs_on"`
}

// PlanJSON writes the whole plan as one document, schema PlanSchema. Amounts
// are null where the cover of the stands is not known.
func PlanJSON(w io.Writer, f forecast.Forecast) error {
	d := document(f, PlanSchema, func(b forecast.BloomWindow) bool { return b.Feeds })
	p := newPrinter(f, Options{})
	flows, tasks := []jsonFlow{}, []jsonTask{}
	for _, x := range f.Flows {
		flows = append(flows, newJSONFlow(x))
	}
	for _, t := range f.Tasks {
		j := jsonTask{
			Kind: string(t.Kind), N: t.N, Year: t.Year, Title: title(t),
			Early: t.Window.Early.String(), Likely: t.Window.Likely.String(), Late: t.Window.Late.String(),
			Share: rounded(t.Window.Share, 3), Why: p.reason(t.Why), UID: taskUID(f, t),
			Check: p.reason(t.Check), IfLate: p.reason(t.Late), Care: p.reason(t.Care), HangsOn: hangsOn(f, t),
		}
		if t.Until != 0 {
			until := t.Until.String()
			j.Until = &until
		}
		tasks = append(tasks, j)
	}
	d.Flows, d.Tasks, d.Boxes = &flows, &tasks, combOf(f)
	d.Cautions = p.reasons(f.Cautions)
	return encode(w, d)
}

// BloomJSON writes the blooms of every plant as one document, schema
// BloomSchema.
func BloomJSON(w io.Writer, f forecast.Forecast) error {
	return encode(w, document(f, BloomSchema, func(forecast.BloomWindow) bool { return true }))
}

// encode writes a document to be read by people, too.
func encode(w io.Writer, d any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(d)
}

func document(f forecast.Forecast, schema string, want func(forecast.BloomWindow) bool) jsonDocument {
	d := jsonDocument{
		Schema: schema, IssueDate: f.Issue.String(), Blooms: []jsonBloom{}, Warnings: []string{},
		Place: jsonPlace{
			Name: f.Apiary.Name, Invented: f.Apiary.Invented, Stations: []jsonStation{},
			Lat: finite(f.Site.Point.Lat()), Lon: finite(f.Site.Point.Lon()), ElevationM: finite(f.Site.ElevM),
		},
		Members:  jsonMembers{Count: len(f.Members)},
		Hindcast: newJSONPast(f), Hangs: newJSONHangs(f),
	}
	d.Members.madeOf(f)
	for i, y := range f.Members {
		if i == 0 || y < d.Members.First {
			d.Members.First = y
		}
		d.Members.Last = max(d.Members.Last, y)
	}
	for _, s := range f.Sources {
		d.Place.Stations = append(d.Place.Stations, jsonStation{s.ID, s.Name, finite(s.Point.Lat()), finite(s.Point.Lon()), finite(s.ElevM)})
	}
	for _, b := range f.Blooms {
		if want(b) {
			d.Blooms = append(d.Blooms, jsonBloom{
				Plant: b.Plant, Taxon: b.Taxon, Year: b.Year, First: newJSONWindow(b.First), Full: newJSONWindow(b.Full),
				End: newJSONWindow(b.End), Status: string(b.Status), Source: b.Source, Feeds: b.Feeds,
				Seen: b.Seen, By: newJSONBy(f, b),
			})
		}
	}
	d.Warnings = append(d.Warnings, f.Warnings...)
	return d
}

func newJSONWindow(w forecast.Window) jsonWindow {
	out := jsonWindow{Share: rounded(w.Share, 3)}
	if w.Share > 0 {
		text := func(d weather.Date) *string { s := d.String(); return &s }
		out.Early, out.Likely, out.Late = text(w.Early), text(w.Likely), text(w.Late)
	}
	return out
}

func newJSONFlow(x forecast.FlowWindow) jsonFlow {
	j := jsonFlow{
		Name: x.Name, Year: x.Year, Start: newJSONWindow(x.Start), Peak: newJSONWindow(x.Peak), End: newJSONWindow(x.End),
		Shape: string(x.Shape), EffectiveDays: spread(x.EffectiveDays), BestWeekShare: rounded(x.BestWeekShare, 3),
	}
	if !x.Relative {
		kg, day := spread(x.Kg), rounded(x.KgPerDay, 2)
		j.Kg, j.KgPerDay = &kg, &day
	}
	return j
}

func spread(x [3]float64) jsonSpread {
	return jsonSpread{rounded(x[0], 1), rounded(x[1], 1), rounded(x[2], 1)}
}

func rounded(x float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Round(x*scale) / scale
}

// finite returns nil for a number that is not known.
func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
