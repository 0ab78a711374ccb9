package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"bloomtide/ingest/weather"
	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// CalibrateSchema names the form of calibrate's JSON.
const CalibrateSchema = "bloomtide/calibrate/1"

// Study is the place of a calibration or a hindcast.
type Study struct {
	Place    string
	LatDeg   float64
	From, To weather.Date // of the daily record
	Warnings []string
}

// StudyFit is one stage of one plant with its fit.
type StudyFit struct {
	Plant, Stage string
	Fit          calibrate.Fit
}

// chosenScore is the error of the whole procedure, the choice included.
func (f StudyFit) chosenScore() calibrate.Score {
	s := calibrate.Score{Name: f.Fit.Model.Name}
	n := float64(len(f.Fit.Errors))
	mean := 0.0
	for i, e := range f.Fit.Errors {
		s.Bias += e / n
		s.MAE += math.Abs(e) / n
		s.RMSE += e * e / n
		mean += f.Fit.MeanDate[i] * f.Fit.MeanDate[i] / n
	}
	s.Skill = 1 - s.RMSE/mean
	s.RMSE = math.Sqrt(s.RMSE)
	return s
}

// meanDateRMSE is the error of the mean date of the other years, NaN for one.
func (f StudyFit) meanDateRMSE() float64 {
	sum := 0.0
	for _, e := range f.Fit.MeanDate {
		sum += e * e / float64(len(f.Fit.MeanDate))
	}
	return math.Sqrt(sum)
}

// nestedRMSE is the error with the choice of the model nested, NaN where it was
// not computed.
func (f StudyFit) nestedRMSE() float64 {
	sum := 0.0
	for _, e := range f.Fit.Nested {
		sum += e * e / float64(len(f.Fit.Nested))
	}
	if len(f.Fit.Nested) == 0 {
		return math.NaN()
	}
	return math.Sqrt(sum)
}

// span returns the first and the last year seen.
func (f StudyFit) span() (first, last int) {
	first, last = f.Fit.Years[0].Year, f.Fit.Years[0].Year
	for _, y := range f.Fit.Years {
		first, last = min(first, y.Year), max(last, y.Year)
	}
	return first, last
}

// CalibrateTable prints fits for people.
func CalibrateTable(w io.Writer, s Study, fits []StudyFit) error {
	t := &page{width: 80}
	t.heading(s.Place + ": bloom models fitted to dates seen here")
	t.item("  ", fmt.Sprintf("Weather from %s to %s. Errors are in days, of years that the fit did not see: everything is fitted again without each year, the choice of the model included.", s.From, s.To))
	for _, f := range fits {
		f.table(t)
	}
	return t.writeTo(w)
}

func (f StudyFit) table(t *page) {
	first, last := f.span()
	t.heading(fmt.Sprintf("%s, %s bloom: %s, %d to %d", f.Plant, f.Stage, yearsOf(len(f.Fit.Years)), first, last))
	c := f.chosenScore()
	t.item("  ", fmt.Sprintf("Use: %s. A year it has not seen is missed by %s days (RMSE); the mean date misses it by %s.", c.Name, days1(c.RMSE), days1(f.meanDateRMSE())))
	if nested := f.nestedRMSE(); !math.IsNaN(nested) {
		t.item("  ", fmt.Sprintf("Where the model is chosen, too, by fits that never saw that year: %s days.", days1(nested)))
	}
	m := f.Fit.Model
	switch {
	case m.Fixed && len(f.Fit.Scores) > 1:
		t.item("  ", "No model was better than the mean date, so the mean date stands.")
	case m.RowShare > 0:
		t.item("  ", fmt.Sprintf("Your years move the table row by %+.1f days; %.0f %% of what they say is believed, more with every year.", m.Shift, 100*m.Trust))
	}
	t.line(fmt.Sprintf("  %-38s %6s %6s %6s %6s", "model", "RMSE", "MAE", "bias", "skill"))
	for _, v := range f.Fit.Scores {
		mark := ""
		if v.Chosen {
			mark = "  <- used"
		}
		t.line(fmt.Sprintf("  %-38s %6s %6s %6s %6s%s", v.Name, days1(v.RMSE), days1(v.MAE), signed1(v.Bias), ratio2(v.Skill), mark))
	}
}

func yearsOf(n int) string {
	if n == 1 {
		return "1 year"
	}
	return fmt.Sprintf("%d years", n)
}

func days1(v float64) string   { return numberOr(v, "%.1f") }
func signed1(v float64) string { return numberOr(v, "%+.1f") }
func ratio2(v float64) string  { return numberOr(v, "%.2f") }

func numberOr(v float64, format string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "-"
	}
	return fmt.Sprintf(format, v)
}

// CalibrateCSV prints one line for each model of each plant and stage.
func CalibrateCSV(w io.Writer, fits []StudyFit) error {
	out := csv.NewWriter(w)
	out.Write([]string{"plant", "stage", "n", "model", "used", "rmse_days", "mae_days", "bias_days", "skill"})
	for _, f := range fits {
		for _, v := range f.Fit.Scores {
			out.Write([]string{
				f.Plant, f.Stage, strconv.Itoa(len(f.Fit.Years)), v.Name, strconv.FormatBool(v.Chosen),
				numberOr(v.RMSE, "%.3f"), numberOr(v.MAE, "%.3f"), numberOr(v.Bias, "%.3f"), numberOr(v.Skill, "%.3f"),
			})
		}
	}
	out.Flush()
	return out.Error()
}

type jsonStudy struct {
	Schema     string    `json:"schema"`
	Place      string    `json:"place"`
	Lat        float64   `json:"lat"`
	RecordFrom string    `json:"record_from"`
	RecordTo   string    `json:"record_to"`
	Fits       []jsonFit `json:"fits"`
	Warnings   []string  `json:"warnings"`
}

type jsonFit struct {
	Plant        string       `json:"plant"`
	Stage        string       `json:"stage"`
	N            int          `json:"n"`
	FirstYear    int          `json:"first_year"`
	LastYear     int          `json:"last_year"`
	Model        string       `json:"model"`
	RMSE         *float64     `json:"rmse_days"`
	MAE          *float64     `json:"mae_days"`
	Bias         *float64     `json:"bias_days"`
	RMSEMeanDate *float64     `json:"rmse_mean_date_days"`
	RMSENested   *float64     `json:"rmse_nested_days"`
	Skill        *float64     `json:"skill"`
	Shift        *float64     `json:"shift_days"`
	Trust        *float64     `json:"trust"`
	Row          *jsonHeat    `json:"thermal_time"`
	Models       []jsonModel  `json:"models"`
	Years        []jsonFitted `json:"years"`
}

type jsonHeat struct {
	Biofix     string  `json:"biofix"`
	BaseC      float64 `json:"base_c"`
	Method     string  `json:"method"`
	Light      string  `json:"light,omitempty"`
	DegreeDays float64 `json:"degree_days_c"`
	RelativeSD float64 `json:"relative_sd,omitempty"`
}

type jsonModel struct {
	Model string   `json:"model"`
	Used  bool     `json:"used"`
	RMSE  *float64 `json:"rmse_days"`
	MAE   *float64 `json:"mae_days"`
	Bias  *float64 `json:"bias_days"`
	Skill *float64 `json:"skill"`
}

type jsonFitted struct {
	Year      int     `json:"year"`
	Seen      string  `json:"seen"`
	ErrorDays float64 `json:"error_days"`
}

// CalibrateJSON prints the document of CalibrateSchema. A score that is not
// defined, such as that of the mean date for one year, is null.
func CalibrateJSON(w io.Writer, s Study, fits []StudyFit) error {
	doc := jsonStudy{
		Schema: CalibrateSchema, Place: s.Place, Lat: s.LatDeg, RecordFrom: s.From.String(), RecordTo: s.To.String(),
		Fits: []jsonFit{}, Warnings: append([]string{}, s.Warnings...),
	}
	for _, f := range fits {
		doc.Fits = append(doc.Fits, f.json())
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(doc)
}

func (f StudyFit) json() jsonFit {
	c := f.chosenScore()
	first, last := f.span()
	out := jsonFit{
		Plant: f.Plant, Stage: f.Stage, N: len(f.Fit.Years), FirstYear: first, LastYear: last, Model: c.Name,
		RMSE: finite4(c.RMSE), MAE: finite4(c.MAE), Bias: finite4(c.Bias),
		RMSEMeanDate: finite4(f.meanDateRMSE()), RMSENested: finite4(f.nestedRMSE()), Skill: finite4(c.Skill), Models: []jsonModel{},
	}
	if f.Fit.Model.RowShare > 0 {
		out.Shift, out.Trust = finite4(f.Fit.Model.Shift), finite4(f.Fit.Model.Trust)
	}
	if row, ok := f.Fit.ForTable(); ok && row.Stage.Family != phenology.FixedDate {
		out.Row = &jsonHeat{
			Biofix: BiofixText(row.Stage.Start), BaseC: float64(row.Stage.Clock.Thresholds.Lower),
			Method: row.Stage.Clock.Method.String(), Light: row.Stage.Clock.Light.String(), DegreeDays: rounded4(row.Stage.Need), RelativeSD: rounded4(row.RelativeSD),
		}
	}
	for _, v := range f.Fit.Scores {
		out.Models = append(out.Models, jsonModel{v.Name, v.Chosen, finite4(v.RMSE), finite4(v.MAE), finite4(v.Bias), finite4(v.Skill)})
	}
	for i, y := range f.Fit.Years {
		seen := y.Season.Start + leadIn + weather.Date(math.Round(y.Seen))
		out.Years = append(out.Years, jsonFitted{y.Year, seen.String(), rounded4(f.Fit.Errors[i])})
	}
	return out
}

// finite4 returns a number to four decimals, nil where there is none.
func finite4(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	r := rounded4(v)
	return &r
}

func rounded4(v float64) float64 { return math.Round(v*1e4)/1e4 + 0 } // + 0 turns −0 into 0
