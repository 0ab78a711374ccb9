package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"bloomtide/forecast"
	"bloomtide/forecast/verify"
)

// HindcastSchema names the form of hindcast's JSON.
const HindcastSchema = "bloomtide/hindcast/1"

// StudyLeads is one stage of one plant with its hindcasts.
type StudyLeads struct {
	Plant, Stage, Model string
	WeatherOnly         bool // scored against the model's own date with full weather
	Leads               []forecast.Lead
}

// against says what the forecasts were scored against.
func (l StudyLeads) against() string { return scoredAgainst(l.WeatherOnly) }

func scoredAgainst(weatherOnly bool) string {
	if weatherOnly {
		return "the model's own date with full weather"
	}
	return "observed bloom"
}

// HindcastTable prints hindcasts for people.
func HindcastTable(w io.Writer, s Study, all []StudyLeads) error {
	t := &page{width: 80}
	t.heading(s.Place + ": how far off bloom forecasts have been")
	t.item("  ", fmt.Sprintf("Weather from %s to %s. Every year is forecast again from its weather up to the issue date and other years' after it, by a model that did not see it.", s.From, s.To))
	for _, l := range all {
		l.table(t)
	}
	t.line("")
	t.item("  ", "MAE: of the likely date, with the range that holds nine in ten resamplings of the years. mean: MAE of the mean date of the other years; skill: 1 − MSE/MSE against it. CRPS: fair, of the whole range; CRPSS: its skill against the dates of the other years. Skill is 0 for none and 1 for perfect, below 0 worse. 80 %: share of years inside the 80 % range.")
	return t.writeTo(w)
}

func (l StudyLeads) table(t *page) {
	t.heading(fmt.Sprintf("%s, %s bloom, by %s", l.Plant, l.Stage, l.Model))
	if l.WeatherOnly {
		t.item("  ", "No bloom was observed: scored against the model's own date with full weather. This is the skill of the weather part only; the error of the model comes on top.")
	}
	if len(l.Leads) == 0 {
		t.item("  ", "No hindcast could be made; the warnings say why.")
		return
	}
	t.line(fmt.Sprintf("  %4s  %-6s %3s %-17s %4s %4s %5s %5s %5s %5s %4s", "days", "issued", "n", "MAE", "mean", "RMSE", "bias", "skill", "CRPS", "CRPSS", "80 %"))
	for _, v := range l.Leads {
		mae := fmt.Sprintf("%4s (%s to %s)", days1(v.MAE), days1(v.MAE90.Low), days1(v.MAE90.High))
		t.line(fmt.Sprintf("  %4d  %-6s %3d %-17s %4s %4s %5s %5s %5s %5s %4s", v.Days, l.issued(v), v.N, mae,
			days1(v.MAEMeanDate), days1(v.RMSE), signed1(v.Bias), ratio2(v.SkillMean), days1(v.CRPS), ratio2(v.CRPSS), numberOr(100*v.Coverage80, "%.0f")))
	}
}

// issued is the calendar day of a lead in a year without a leap day.
func (l StudyLeads) issued(v forecast.Lead) string {
	return v.IssueDay(2001).Time().Format("2 Jan")
}

// HindcastCSV prints one line for each lead time of each plant.
func HindcastCSV(w io.Writer, all []StudyLeads) error {
	out := csv.NewWriter(w)
	out.Write([]string{"plant", "stage", "model", "scored_against", "lead_days", "n", "mae_days", "rmse_days", "bias_days", "crps_days", "crpss", "coverage80", "mae_mean_date_days", "rmse_mean_date_days", "skill_mean_date"})
	for _, l := range all {
		for _, v := range l.Leads {
			out.Write([]string{
				l.Plant, l.Stage, l.Model, l.against(), strconv.Itoa(v.Days), strconv.Itoa(v.N), numberOr(v.MAE, "%.3f"), numberOr(v.RMSE, "%.3f"),
				numberOr(v.Bias, "%.3f"), numberOr(v.CRPS, "%.3f"), numberOr(v.CRPSS, "%.3f"), numberOr(v.Coverage80, "%.3f"), numberOr(v.MAEMeanDate, "%.3f"),
				numberOr(v.RMSEMeanDate, "%.3f"), numberOr(v.SkillMean, "%.3f"),
			})
		}
	}
	out.Flush()
	return out.Error()
}

type jsonHindcast struct {
	Schema     string     `json:"schema"`
	Place      string     `json:"place"`
	Lat        float64    `json:"lat"`
	RecordFrom string     `json:"record_from"`
	RecordTo   string     `json:"record_to"`
	Leads      []jsonLead `json:"leads"`
	Warnings   []string   `json:"warnings"`
}

type jsonLead struct {
	Plant       string      `json:"plant"`
	Stage       string      `json:"stage"`
	Model       string      `json:"model"`
	Against     string      `json:"scored_against"`
	LeadDays    int         `json:"lead_days"`
	Issue       string      `json:"issue_day"`
	N           int         `json:"n"`
	MAE         *float64    `json:"mae_days"`
	RMSE        *float64    `json:"rmse_days"`
	Bias        *float64    `json:"bias_days"`
	CRPS        *float64    `json:"crps_days"`
	CRPSS       *float64    `json:"crpss"`
	Coverage80  *float64    `json:"coverage80"`
	MAEMeanDate *float64    `json:"mae_mean_date_days"`
	RMSEMean    *float64    `json:"rmse_mean_date_days"`
	SkillMean   *float64    `json:"skill_mean_date"`
	MAE90       [2]*float64 `json:"mae_90"`
	CRPSS90     [2]*float64 `json:"crpss_90"`
	Coverage90  [2]*float64 `json:"coverage80_90"`
}

// ends are the ends of an interval, null where it is not defined.
func ends(i verify.Interval) [2]*float64 { return [2]*float64{finite4(i.Low), finite4(i.High)} }

// HindcastJSON prints the document of HindcastSchema. A score that is not
// defined is null.
func HindcastJSON(w io.Writer, s Study, all []StudyLeads) error {
	doc := jsonHindcast{
		Schema: HindcastSchema, Place: s.Place, Lat: s.LatDeg, RecordFrom: s.From.String(), RecordTo: s.To.String(),
		Leads: []jsonLead{}, Warnings: append([]string{}, s.Warnings...),
	}
	for _, l := range all {
		for _, v := range l.Leads {
			_, month, day := v.IssueDay(2001).YMD()
			doc.Leads = append(doc.Leads, jsonLead{
				Plant: l.Plant, Stage: l.Stage, Model: l.Model, Against: l.against(), LeadDays: v.Days,
				Issue: fmt.Sprintf("--%02d-%02d", int(month), day), N: v.N,
				MAE: finite4(v.MAE), RMSE: finite4(v.RMSE), Bias: finite4(v.Bias), CRPS: finite4(v.CRPS), CRPSS: finite4(v.CRPSS),
				Coverage80: finite4(v.Coverage80), MAEMeanDate: finite4(v.MAEMeanDate),
				RMSEMean: finite4(v.RMSEMeanDate), SkillMean: finite4(v.SkillMean),
				MAE90: ends(v.MAE90), CRPSS90: ends(v.CRPSS90), Coverage90: ends(v.Coverage90),
			})
		}
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(doc)
}
