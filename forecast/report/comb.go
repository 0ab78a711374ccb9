package report

import (
	"bloomtide/forecast"
	"bloomtide/ingest/weather"
)

// combStepDays lie between two looks into the boxes in JSON, days.
const combStepDays = 7

// jsonComb is what one evening finds in the boxes of the hive kept by the plan,
// in the member nearest the middle.
type jsonComb struct {
	Date    string    `json:"date"`
	Weather int       `json:"weather_of"` // the past year whose weather goes on
	Boxes   []jsonBox `json:"boxes"`
}

type jsonBox struct {
	Box    string  `json:"box"`
	Honey  float64 `json:"honey_dm2"`
	Unripe float64 `json:"unripe_dm2"`
	Pollen float64 `json:"pollen_dm2"`
	Brood  float64 `json:"brood_dm2"`
	Empty  float64 `json:"empty_dm2"`
}

// combOf returns a look into the boxes each week; none where cover is not
// known.
func combOf(f forecast.Forecast) []jsonComb {
	if f.Apiary.Relative {
		return nil
	}
	var out []jsonComb
	for i := 0; i < len(f.Daily.Comb); i += combStepDays {
		c := jsonComb{Date: (f.Issue + weather.Date(i)).String(), Weather: f.Daily.OneYear}
		for _, b := range f.Daily.Comb[i].Boxes() {
			c.Boxes = append(c.Boxes, jsonBox{
				b.Box, rounded(b.Honey, 1), rounded(b.Unripe, 1), rounded(b.Pollen, 1), rounded(b.Brood, 1), rounded(b.Empty, 1),
			})
		}
		out = append(out, c)
	}
	return out
}
