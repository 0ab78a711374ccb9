package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// carriedOver is how far off a row of the forage table commonly is in another
// place, days (PHENOLOGY section 4.5, an estimate from its accuracy table).
const carriedOver = "7 to 12"

// pastLine says how far off forecasts like this one have been here; empty where
// no past year could be forecast again.
func (p printer) pastLine(f forecast.Forecast) string {
	past := openersPast(f)
	if len(past) == 0 {
		return ""
	}
	var parts []string
	for i, k := range past {
		lead := "of %s (%s) by"
		if i == 0 {
			lead = "a forecast of the first bloom of %s (%s) was off by"
		}
		parts = append(parts, fmt.Sprintf(lead+" %s days on average, in 8 years of 10 by no more than %s (the mean date alone: %s)",
			k.Plant, ahead(k.LeadDays), days1(k.MAE), days1(k.Within80), days1(k.MAEMeanDate)))
	}
	return fmt.Sprintf("made on %s of %d past years, %s. %s",
		p.short(f.Issue), past[0].N, strings.Join(parts, "; "), against(past[0]))
}

// ahead writes a lead time.
func ahead(days int) string {
	switch {
	case days == 1:
		return "1 day ahead"
	case days < 1:
		return "about to open"
	}
	return fmt.Sprintf("%d days ahead", days)
}

// openersPast is the record of the plants that open the main flow, those that
// are scored alike with the first of them.
func openersPast(f forecast.Forecast) []forecast.PastSkill {
	var out []forecast.PastSkill
	for _, plant := range f.Openers {
		i := slices.IndexFunc(f.Past, func(k forecast.PastSkill) bool { return k.Plant == plant })
		if i >= 0 && (len(out) == 0 || out[0].Seen == f.Past[i].Seen) {
			out = append(out, f.Past[i])
		}
	}
	return out
}

// against says what forecasts were held against, and what that leaves out.
func against(k forecast.PastSkill) string {
	if !k.Seen {
		return "Skill of the weather part only: no bloom was observed, so it is held against the model's own date with full weather; the error of the table row, often " + carriedOver + " days in a new place, comes on top."
	}
	text := "Held against the dates you saw."
	if k.Share < 1 {
		text += fmt.Sprintf(" Those foretell as well as the weather does at this lead time: %.0f %% of the odds are taken from them.", 100*(1-k.Share))
	}
	return text
}

// madeLines say how members were made, where that is more than past years
// behind the issue date.
func (p printer) madeLines(f forecast.Forecast) []string {
	var out []string
	if o := f.Making.Outlook; o.Ahead > 0 {
		text := fmt.Sprintf("Outlook: %d days to %s stand before the past years, with a doubt that grows from %s to %s.",
			o.Ahead, p.date(o.Until), p.kelvin(forecast.OutlookFirstK), p.kelvin(forecast.OutlookLastK))
		if o.Bridged > 0 {
			text += fmt.Sprintf(" %d days that the record lacks are taken from it too.", o.Bridged)
		}
		if o.MinK != 0 || o.MaxK != 0 {
			text += fmt.Sprintf(" Its minimum is moved by %s and its maximum by %s, as %d days that both have say.", p.signedKelvin(o.MinK), p.signedKelvin(o.MaxK), o.Common)
		} else {
			text += " It is taken as it is: too few of its days are in the record to tell how the places differ."
		}
		out = append(out, text)
	}
	if t := f.Making.Trend; t.Years > 0 {
		out = append(out, fmt.Sprintf("Trend: past years are warmed to this one by %s in ten years, give or take %s (standard error; first half of the plant years %d to %d of this record).",
			p.signedKelvin(10*t.KPerYear), p.kelvin(10*t.ErrorK), t.First, t.Last))
	}
	if l := f.Making.Like; l.Kept > 0 {
		out = append(out, fmt.Sprintf("Likeness: of %d past years only the %d most like this one are used, by the mean temperature of the %d days before the issue date; %d years carry the odds.",
			l.Of, l.Kept, l.Days, l.Kept))
	}
	return out
}

// kelvin writes a difference of temperature in the user's units.
func (p printer) kelvin(k float64) string {
	if p.Units == US {
		return fmt.Sprintf("%.1f °F", 1.8*k)
	}
	return fmt.Sprintf("%.1f °C", k)
}

func (p printer) signedKelvin(k float64) string {
	if k >= 0 {
		return "+" + p.kelvin(k)
	}
	return "−" + p.kelvin(-k)
}

// hangsOn names the plants on whose unverified rows a task hangs.
func hangsOn(f forecast.Forecast, t forecast.Task) []string {
	out := []string{}
	for _, h := range f.Hangs {
		for _, m := range h.Moves {
			if m.Kind == t.Kind && m.N == t.N && m.Year == t.Year {
				out = append(out, h.Plant)
			}
		}
	}
	return out
}

// odds prints the odds of first bloom by a few dates, for the plants in which
// they are open.
func (p printer) odds(t *page, f forecast.Forecast) {
	var rows []string
	for _, b := range f.Blooms {
		row, open := fmt.Sprintf("  %-19s", clip(b.Plant, 19)), false
		for _, d := range f.By {
			s := b.By(d)
			open = open || s > 0 && s < 1
			row += fmt.Sprintf(" %8s", percent(s))
		}
		if open {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 || len(f.By) == 0 {
		return
	}
	t.heading("Odds of first bloom by")
	head := fmt.Sprintf("  %-19s", "")
	for _, d := range f.By {
		head += fmt.Sprintf(" %8s", p.byDate(d))
	}
	t.line(head)
	for _, r := range rows {
		t.line(r)
	}
}

// byDate writes a date of the next twelve months within eight characters.
func (p printer) byDate(d weather.Date) string {
	if d.Year() != p.issue.Year() {
		return p.short(d) + d.Time().Format("’06")
	}
	return p.short(d)
}

type jsonPast struct {
	Plant       string   `json:"plant"`
	Opens       bool     `json:"opens_main_flow"`
	Against     string   `json:"scored_against"`
	LeadDays    int      `json:"lead_days"`
	N           int      `json:"n"`
	MAE         *float64 `json:"mae_days"`
	RMSE        *float64 `json:"rmse_days"`
	Bias        *float64 `json:"bias_days"`
	Within80    *float64 `json:"within80_days"`
	CRPS        *float64 `json:"crps_days"`
	CRPSS       *float64 `json:"crpss"`
	MAEMeanDate *float64 `json:"mae_mean_date_days"`
	Share       float64  `json:"model_share"`
}

func newJSONPast(f forecast.Forecast) []jsonPast {
	out := []jsonPast{}
	for _, k := range f.Past {
		out = append(out, jsonPast{
			Plant: k.Plant, Opens: slices.Contains(f.Openers, k.Plant), Against: scoredAgainst(!k.Seen), LeadDays: k.LeadDays, N: k.N,
			MAE: finite4(k.MAE), RMSE: finite4(k.RMSE), Bias: finite4(k.Bias), Within80: finite4(k.Within80),
			CRPS: finite4(k.CRPS), CRPSS: finite4(k.CRPSS), MAEMeanDate: finite4(k.MAEMeanDate), Share: k.Share,
		})
	}
	return out
}

type jsonHang struct {
	Plant     string     `json:"plant"`
	FirstDays float64    `json:"first_bloom_days"`
	Moves     []jsonMove `json:"moves"`
}

type jsonMove struct {
	Kind string  `json:"kind"`
	N    int     `json:"n"`
	Year int     `json:"year"`
	Days float64 `json:"days"`
}

func newJSONHangs(f forecast.Forecast) []jsonHang {
	out := []jsonHang{}
	for _, h := range f.Hangs {
		j := jsonHang{Plant: h.Plant, FirstDays: h.Days}
		for _, m := range h.Moves {
			j.Moves = append(j.Moves, jsonMove{string(m.Kind), m.N, m.Year, m.Days})
		}
		out = append(out, j)
	}
	return out
}

type jsonBy struct {
	Date  string  `json:"date"`
	Share float64 `json:"share"`
}

func newJSONBy(f forecast.Forecast, b forecast.BloomWindow) []jsonBy {
	out := []jsonBy{}
	for _, d := range f.By {
		out = append(out, jsonBy{d.String(), rounded(b.By(d), 3)})
	}
	return out
}

// madeOf adds to the members how they were made.
func (j *jsonMembers) madeOf(f forecast.Forecast) {
	j.Of = max(f.Making.Like.Of, len(f.Members))
	if o := f.Making.Outlook; o.Ahead > 0 {
		until := o.Until.String()
		j.OutlookDays, j.OutlookUntil = o.Ahead, &until
	}
	j.TrendK = rounded(10*f.Making.Trend.KPerYear, 4)
	if math.IsNaN(j.TrendK) {
		j.TrendK = 0
	}
}
