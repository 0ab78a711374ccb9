package forecast

import "bloomtide/ingest/weather"

// Options of RunWith; but for Issue, the zero value means the plain forecast.
type Options struct {
	Issue   weather.Date // nothing on or after it is used as observed
	Outlook Outlook      // near-term weather; empty: none
	Trend   bool         // warm past years to the present one by the record's own trend
	Like    bool         // keep only the past years whose season so far was most like this one's
	Seen    []SeenBloom  // the keeper's own dates, of any year

	// By are dates for which the odds of first bloom are told; default 7, 14,
	// 30 and 60 days after the issue date.
	By []weather.Date
}

// SeenBloom is a first bloom that the keeper has seen.
type SeenBloom struct {
	Plant string       // as the model is called
	Day   weather.Date // the day, or the middle of the days between two looks
}

// byDates are the dates for which odds are told.
func (o Options) byDates() []weather.Date {
	if len(o.By) > 0 {
		return o.By
	}
	return []weather.Date{o.Issue + 7, o.Issue + 14, o.Issue + 30, o.Issue + 60}
}
