package main

import (
	"fmt"
	"strconv"
	"strings"

	"bloomtide/forecast/honey"

	"github.com/spf13/cobra"
)

type syrupOptions struct {
	shortKg float64
	mix     string
}

func newSyrup(w world) *cobra.Command {
	o := &syrupOptions{}
	c := &cobra.Command{
		Use:   "syrup",
		Short: "Reckon the syrup that makes up missing stores",
		Long: `syrup says how much sugar and water make up a shortfall of stores, and how many
litres that is. Sugar and water are weighed. One kilogram of sugar makes one
kilogram of stores: what the added water gains, the work of ripening costs.`,
		Example: `  bloomtide syrup --short 12
  bloomtide syrup --short 3 --mix 1:1`,
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return runSyrup(w, *o) },
	}
	c.Flags().Float64Var(&o.shortKg, "short", 0, "stores that are missing, kg")
	c.Flags().StringVar(&o.mix, "mix", "2:1", "sugar to water by mass: 2:1 in autumn, 1:1 in spring")
	return c
}

func runSyrup(w world, o syrupOptions) error {
	mix, err := parseMix(o.mix)
	if err != nil {
		return err
	}
	const most = 1000 // kg; no apiary feeds one hive more
	if !(o.shortKg > 0 && o.shortKg <= most) {
		return &usageError{fmt.Errorf("--short: %g kg is not between 0 and %d", o.shortKg, most), "weigh the hive, take off what boxes and bees weigh, and give what is missing: bloomtide syrup --short 12"}
	}
	batch := mix.ForSugar(o.shortKg)
	var b strings.Builder
	fmt.Fprintf(&b, "%.1f kg of stores: %.1f kg sugar in %.1f kg water, %.1f L of syrup.\n", o.shortKg, batch.SugarKg, batch.WaterKg, batch.Litres())
	fmt.Fprintf(&b, "%.0f %% sugar, %.2f kg sugar in each litre.\n", mix.Percent(), mix.SugarKgPerL())
	if mix.NearSaturation() {
		b.WriteString("This mix is near saturation: warm the water, stir until clear, feed it soon.\n")
	}
	b.WriteString("White sugar only. Feed in the evening, spill none, small entrance: robbing.\nNo syrup while supers for people are on.\n")
	_, err = w.stdout.Write([]byte(b.String()))
	return err
}

// parseMix reads sugar to water, such as 2:1 or 1:0.63.
func parseMix(s string) (honey.Syrup, error) {
	sugar, water, ok := strings.Cut(s, ":")
	a, errA := strconv.ParseFloat(strings.TrimSpace(sugar), 64)
	b, errB := strconv.ParseFloat(strings.TrimSpace(water), 64)
	if !ok || errA != nil || errB != nil || !(a > 0 && b > 0 && a < 100 && b < 100) {
		return honey.Syrup{}, &usageError{fmt.Errorf("--mix: %q is no mix of sugar and water", s), "write sugar first, by mass: 2:1, 3:2 or 1:1"}
	}
	return honey.Syrup{SugarKg: a, WaterKg: b}, nil
}
