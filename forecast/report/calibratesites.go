package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"bloomtide/phenology"
	"bloomtide/phenology/calibrate"
)

// SitesSchema names the form of the JSON of a calibration over many sites.
const SitesSchema = "bloomtide/calibrate-sites/1"

// SiteFits is a calibration over many sites.
type SiteFits struct {
	Fits     []SiteFit
	Regions  []RegionFit
	Few      []SiteFew
	Warnings []string
}

// SiteFit is the fit of one stage of one plant at one site.
type SiteFit struct {
	Site string
	StudyFit
}

// RegionFit is one stage of one plant fitted over its sites.
type RegionFit struct {
	Plant, Stage string
	Sites        []string // as Region.Sites
	Region       calibrate.Region
}

// SiteFew tells how fits to a few years have done at one site.
type SiteFew struct {
	Site, Plant, Stage string
	Few                calibrate.Few
}

// pooled returns the mean of an error over sites, each site weighing the same.
func pooled(few []SiteFew, of func(calibrate.Few) float64) float64 {
	sum := 0.0
	for _, f := range few {
		sum += of(f.Few) / float64(len(few))
	}
	return sum
}

// Table prints the sites for people, 112 columns wide.
func (s SiteFits) Table(w io.Writer) error {
	t := &page{width: 100}
	t.heading("Error in years that the fit did not see, days")
	t.item("  ", "Everything is fitted again without each year, the choice of the model included; nested: that choice, too, by fits that never saw the year. mean: the mean date.")
	t.line(fmt.Sprintf("  %-36s %-6s %3s  %-36s %5s %6s %5s %5s %5s %5s", "site", "stage", "n", "model", "RMSE", "nested", "MAE", "bias", "mean", "skill"))
	for _, f := range s.Fits {
		c := f.chosenScore()
		t.line(fmt.Sprintf("  %-36s %-6s %3d  %-36s %5s %6s %5s %5s %5s %5s", f.Site, f.Stage, len(f.Fit.Years), c.Name,
			days1(c.RMSE), days1(f.nestedRMSE()), days1(c.MAE), signed1(c.Bias), days1(f.meanDateRMSE()), ratio2(c.Skill)))
	}
	for _, r := range s.Regions {
		r.table(t)
	}
	if len(s.Few) > 0 {
		s.fewTable(t)
	}
	return t.writeTo(w)
}

// startText is the biofix of a stage as a forage table writes it.
func startText(g phenology.Stage) string {
	if g.GateH > 0 {
		return phenology.Biofix{LightH: g.GateH}.String()
	}
	return BiofixText(g.Start)
}

func (r RegionFit) table(t *page) {
	g := r.Region.Stage
	t.heading(fmt.Sprintf("%s, %s bloom, over %d sites and %d site-years", r.Plant, r.Stage, len(r.Sites), r.Region.Years))
	t.item("  ", fmt.Sprintf("%.0f °C·d above %g °C by %s from %s. Sites that the fit did not see are missed by %s days (RMSE), bias %s; sites differ by %s days (standard deviation).",
		g.Need, float64(g.Clock.Thresholds.Lower), g.Clock.Method, startText(g), days1(r.Region.RMSESites), signed1(r.Region.BiasSites), days1(r.Region.SpreadSD)))
	t.line(fmt.Sprintf("  %-36s %5s  %-24s %s", "site", "years", "later here, days", "RMSE by the other sites"))
	for i, e := range r.Region.Sites {
		t.line(fmt.Sprintf("  %-36s %5d  %-24s %s", r.Sites[i], e.Years, signed1(e.Days), days1(e.RMSE)))
	}
}

func (s SiteFits) fewTable(t *page) {
	t.heading(fmt.Sprintf("With only %d years of local records: error in all other years, days (RMSE)", s.Few[0].Few.Years))
	t.line(fmt.Sprintf("  %-36s %-6s %5s  %9s  %9s  %9s", "site", "stage", "cases", "fitted", "table row", "mean date"))
	line := func(name, stage, cases string, own, row, mean float64) {
		t.line(fmt.Sprintf("  %-36s %-6s %5s  %9s  %9s  %9s", name, stage, cases, days1(own), days1(row), days1(mean)))
	}
	for _, f := range s.Few {
		line(f.Site, f.Stage, strconv.Itoa(f.Few.Cases), f.Few.RMSE, f.Few.Row, f.Few.MeanDate)
	}
	own, row, mean := s.fewMeans()
	line("mean of the sites", "", "", own, row, mean)
}

func (s SiteFits) fewMeans() (own, row, mean float64) {
	return pooled(s.Few, func(f calibrate.Few) float64 { return f.RMSE }),
		pooled(s.Few, func(f calibrate.Few) float64 { return f.Row }),
		pooled(s.Few, func(f calibrate.Few) float64 { return f.MeanDate })
}

// CSV prints one line for each stage of each plant at each site.
func (s SiteFits) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.Write([]string{"site", "plant", "stage", "n", "model", "rmse_days", "mae_days", "bias_days", "rmse_mean_date_days", "skill"})
	for _, f := range s.Fits {
		c := f.chosenScore()
		out.Write([]string{
			f.Site, f.Plant, f.Stage, strconv.Itoa(len(f.Fit.Years)), c.Name, numberOr(c.RMSE, "%.3f"), numberOr(c.MAE, "%.3f"),
			numberOr(c.Bias, "%.3f"), numberOr(f.meanDateRMSE(), "%.3f"), numberOr(c.Skill, "%.3f"),
		})
	}
	out.Flush()
	return out.Error()
}

type jsonSites struct {
	Schema   string        `json:"schema"`
	Sites    []jsonSiteFit `json:"sites"`
	Regions  []jsonRegion  `json:"regions"`
	Few      *jsonFew      `json:"few_years,omitempty"`
	Warnings []string      `json:"warnings"`
}

type jsonSiteFit struct {
	Site string `json:"site"`
	jsonFit
}

type jsonRegion struct {
	Plant     string           `json:"plant"`
	Stage     string           `json:"stage"`
	SiteYears int              `json:"site_years"`
	Row       jsonHeat         `json:"thermal_time"`
	RMSE      *float64         `json:"rmse_days"`
	RMSESites *float64         `json:"rmse_sites_not_seen_days"`
	BiasSites *float64         `json:"bias_sites_not_seen_days"`
	SpreadSD  *float64         `json:"between_sites_sd_days"`
	Sites     []jsonSiteEffect `json:"sites"`
}

type jsonSiteEffect struct {
	Site  string   `json:"site"`
	Years int      `json:"years"`
	Days  float64  `json:"later_days"`
	RMSE  *float64 `json:"rmse_by_others_days"`
}

type jsonFew struct {
	Years        int           `json:"years"`
	RMSE         *float64      `json:"rmse_days"`
	RMSERow      *float64      `json:"rmse_table_row_days"`
	RMSEMeanDate *float64      `json:"rmse_mean_date_days"`
	Sites        []jsonSiteFew `json:"sites"`
}

type jsonSiteFew struct {
	Site         string   `json:"site"`
	Plant        string   `json:"plant"`
	Stage        string   `json:"stage"`
	Cases        int      `json:"cases"`
	RMSE         *float64 `json:"rmse_days"`
	RMSERow      *float64 `json:"rmse_table_row_days"`
	RMSEMeanDate *float64 `json:"rmse_mean_date_days"`
}

// JSON prints the document of SitesSchema.
func (s SiteFits) JSON(w io.Writer) error {
	doc := jsonSites{Schema: SitesSchema, Sites: []jsonSiteFit{}, Regions: []jsonRegion{}, Warnings: append([]string{}, s.Warnings...)}
	for _, f := range s.Fits {
		doc.Sites = append(doc.Sites, jsonSiteFit{f.Site, f.json()})
	}
	for _, r := range s.Regions {
		doc.Regions = append(doc.Regions, r.json())
	}
	if len(s.Few) > 0 {
		own, row, mean := s.fewMeans()
		doc.Few = &jsonFew{Years: s.Few[0].Few.Years, RMSE: finite4(own), RMSERow: finite4(row), RMSEMeanDate: finite4(mean)}
		for _, f := range s.Few {
			doc.Few.Sites = append(doc.Few.Sites, jsonSiteFew{f.Site, f.Plant, f.Stage, f.Few.Cases, finite4(f.Few.RMSE), finite4(f.Few.Row), finite4(f.Few.MeanDate)})
		}
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(doc)
}

func (r RegionFit) json() jsonRegion {
	g := r.Region.Stage
	out := jsonRegion{
		Plant: r.Plant, Stage: r.Stage, SiteYears: r.Region.Years, RMSE: finite4(r.Region.RMSE),
		RMSESites: finite4(r.Region.RMSESites), BiasSites: finite4(r.Region.BiasSites), SpreadSD: finite4(r.Region.SpreadSD),
		Row: jsonHeat{Biofix: startText(g), BaseC: float64(g.Clock.Thresholds.Lower), Method: g.Clock.Method.String(), DegreeDays: rounded4(g.Need)},
	}
	for i, e := range r.Region.Sites {
		out.Sites = append(out.Sites, jsonSiteEffect{r.Sites[i], e.Years, rounded4(e.Days), finite4(e.RMSE)})
	}
	return out
}
