package report

import (
	"fmt"
	"io"
	"strings"

	"bloomtide/forecast"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/weather"
	"bloomtide/phenology"
)

// Plan prints the whole plan for people: the next work first, then flow,
// bloom, every task with its reason, doubts and cautions.
func Plan(w io.Writer, f forecast.Forecast, o Options) error {
	p := newPrinter(f, o)
	t := p.page()
	p.head(t, f, "hive plan")
	p.next(t, f)
	p.flows(t, f)
	p.season(t, f)
	p.blooms(t, f, func(b forecast.BloomWindow) bool { return b.Feeds })
	p.past(t, f)
	p.tasks(t, f)
	p.doubts(t, f)
	t.list("Take care", p.reasons(f.Cautions))
	return t.writeTo(w)
}

// Bloom prints when each plant is in bloom, for people.
func Bloom(w io.Writer, f forecast.Forecast, o Options) error {
	p := newPrinter(f, o)
	t := p.page()
	p.head(t, f, "bloom")
	p.blooms(t, f, func(forecast.BloomWindow) bool { return true })
	p.past(t, f)
	p.odds(t, f)
	p.doubts(t, f)
	return t.writeTo(w)
}

func (p printer) head(t *page, f forecast.Forecast, what string) {
	name := f.Apiary.Name
	if f.Apiary.Invented {
		name += " (invented)"
	}
	t.heading(name + ": " + what + " of " + p.day(f.Issue))
	until := "the day before"
	if f.Observed < f.Issue-1 {
		until = p.date(f.Observed)
	}
	t.item("  ", fmt.Sprintf("Weather: observed to %s, then as in each of %d past years. Dates are early, likely, late: 10, 50 and 90 %% of those years.", until, len(f.Members)))
	for _, made := range p.madeLines(f) {
		t.item("  ", made)
	}
	for _, s := range f.Sources {
		t.item("  ", "Station: "+stationText(f.Site, s, p.Units))
	}
}

// past prints how far off such forecasts have been here.
func (p printer) past(t *page, f forecast.Forecast) {
	if line := p.pastLine(f); line != "" {
		t.item("  How far off: ", line)
	}
}

// NextTasks is how many tasks the answer at the top names.
const NextTasks = 3

func (p printer) next(t *page, f forecast.Forecast) {
	t.heading("Do next")
	n := 0
	for _, g := range grouped(f.Tasks) {
		task := g.first
		if task.Window.Late < f.Issue && task.Until < f.Issue {
			continue
		}
		if n++; n > NextTasks {
			break
		}
		day := p.weekday(task.Window.Likely)
		if p.running(task) {
			day = "now"
		}
		t.item("  ", fmt.Sprintf("%-12s %s%s", day, title(task), p.state(task)))
		if check := p.reason(task.Check); check != "" {
			t.item("               ", "look for: "+check)
		}
		if late := p.reason(task.Late); late != "" && task.Window.Likely < f.Issue && !p.running(task) {
			t.item("               ", "if late: "+late)
		}
	}
	if n == 0 {
		t.item("  ", "Nothing within a year.")
	}
}

// state marks work whose window is open, due or over.
func (p printer) state(task forecast.Task) string {
	if word := p.stateWord(task); word != "" {
		return " [" + word + "]"
	}
	return ""
}

func (p printer) stateWord(task forecast.Task) string {
	last := max(task.Window.Late, task.Until)
	switch {
	case p.running(task):
		return "running to " + p.date(task.Until)
	case last < p.issue:
		return "overdue"
	case task.Window.Likely <= p.issue:
		return "due"
	case task.Window.Early <= p.issue:
		return "window open"
	default:
		return ""
	}
}

// running reports whether a watch has begun and goes on.
func (p printer) running(task forecast.Task) bool {
	return task.Until >= p.issue && task.Window.Likely <= p.issue
}

// title names a task, with its number where there may be several.
func title(t forecast.Task) string {
	switch t.Kind {
	case hive.SuperOn, hive.CongestionCheck:
		return fmt.Sprintf("%s %d", t.Kind.Title(), t.N)
	case hive.HarvestCheck, hive.Harvest:
		return t.Kind.Title() + crop(t.N)
	case hive.StarvationWatch:
		if t.N > 1 {
			return t.Kind.Title() + " once supers are off"
		}
		return t.Kind.Title()
	default:
		return t.Kind.Title()
	}
}

// crop says which crop a harvest is of, where it is not the main one.
func crop(n int) string {
	switch {
	case n <= 1:
		return ""
	case n == 2:
		return " (late crop)"
	default:
		return " (early crop)"
	}
}

func (p printer) flows(t *page, f forecast.Forecast) {
	t.heading("Nectar flow")
	if len(f.Flows) == 0 {
		t.item("  ", "None expected from these stands.")
	}
	for _, w := range f.Flows {
		t.item(fmt.Sprintf("  %-6s", w.Name), fmt.Sprintf("starts %s (%s), ends %s (%s)",
			p.date(w.Start.Likely), p.span(w.Start), p.date(w.End.Likely), p.span(w.End)))
		t.item("        ", fmt.Sprintf("%s: %.0f effective days (%.0f–%.0f), %s of it in the best week; in %s of years",
			w.Shape, w.EffectiveDays[1], w.EffectiveDays[0], w.EffectiveDays[2], percent(w.BestWeekShare), percent(w.Start.Share)))
		if !w.Relative {
			t.item("        ", fmt.Sprintf("one hive gains %s (%s–%s), %s a day",
				p.Units.mass(w.Kg[1]), strings.Fields(p.Units.mass(w.Kg[0]))[0], p.Units.mass(w.Kg[2]), p.Units.mass(w.KgPerDay)))
		}
	}
}

func (p printer) blooms(t *page, f forecast.Forecast, want func(forecast.BloomWindow) bool) {
	t.heading("Bloom")
	t.line(fmt.Sprintf("  %-19s %-28s %-7s %-7s %s", "", "first bloom", "full", "end", "table row"))
	met := map[phenology.Status]bool{}
	for _, b := range f.Blooms {
		if !want(b) {
			continue
		}
		if !b.Seen {
			met[b.Status] = true
		}
		t.line("  " + p.bloomRow(b))
	}
	if met[phenology.FromMemory] {
		t.item("  ", "memory: recalled, not checked against its source.")
	}
	if met[phenology.UnverifiedPrior] {
		t.item("  ", "prior: our estimate, no published figure; watch the plant before trusting it.")
	}
}

func (p printer) bloomRow(b forecast.BloomWindow) string {
	if b.First.Share == 0 {
		return fmt.Sprintf("%-19s not reached in any past year", clip(b.Plant, 19))
	}
	odds := ""
	if b.First.Share < 0.995 {
		odds = " " + percent(b.First.Share)
	}
	likely := p.short(b.First.Likely)
	if y := b.First.Likely.Year(); y != p.issue.Year() {
		likely += fmt.Sprintf(" ’%02d", y%100)
	}
	first := fmt.Sprintf("%-10s (%s)", likely, p.span(b.First))
	word := statusWord(b.Status)
	if b.Seen {
		word = "your dates"
	}
	return fmt.Sprintf("%-19s %-28s %-7s %-7s %s%s", clip(b.Plant, 19), first,
		p.short(b.Full.Likely), p.short(b.End.Likely), word, odds)
}

func statusWord(s phenology.Status) string {
	switch s {
	case phenology.FromMemory:
		return "memory"
	case phenology.UnverifiedPrior:
		return "prior"
	default:
		return string(s)
	}
}

func (p printer) tasks(t *page, f forecast.Forecast) {
	t.heading("Plan")
	last := ""
	for _, g := range grouped(f.Tasks) {
		task := g.first
		name := title(task)
		if g.last > task.N {
			name = fmt.Sprintf("%s %d to %d", task.Kind.Title(), task.N, g.last)
		}
		lead := fmt.Sprintf("  %-11s %-17s %5s  ", p.date(task.Window.Likely), p.span(task.Window), percent(task.Window.Share))
		t.item(lead, t.strong(name+p.state(task)))
		why := p.reason(task.Why)
		if g.last > task.N && g.until > 0 {
			why += "; the last about " + p.date(g.until)
		}
		if on := hangsOn(f, task); len(on) > 0 {
			why += "; hangs on the unverified row of " + strings.Join(on, " and ")
		}
		if why != last {
			t.item("      ", why)
		}
		last = why
	}
}

// taskGroup is a run of tasks of one kind that a person reads as one line.
type taskGroup struct {
	first forecast.Task
	last  int // number of the last of the run
	until weather.Date
}

// grouped folds the congestion checks into one line; CSV, JSON and calendar
// keep each.
func grouped(tasks []forecast.Task) []taskGroup {
	var out []taskGroup
	at := map[int]int{} // plant year → index of its group
	for _, t := range tasks {
		if i, ok := at[t.Year]; ok && t.Kind == hive.CongestionCheck {
			out[i].last = max(out[i].last, t.N)
			out[i].until = max(out[i].until, t.Window.Likely)
			continue
		}
		if t.Kind == hive.CongestionCheck {
			at[t.Year] = len(out)
		}
		out = append(out, taskGroup{first: t, last: t.N})
	}
	return out
}

func (p printer) doubts(t *page, f forecast.Forecast) {
	if len(f.Warnings) == 0 {
		return
	}
	t.list("What is not sure", f.Warnings)
}
