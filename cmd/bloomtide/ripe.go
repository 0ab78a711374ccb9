package main

import (
	"errors"
	"fmt"
	"strings"

	"bloomtide/forecast/honey"

	"github.com/spf13/cobra"
)

type ripeOptions struct {
	index, water, tempC float64
	rule                string
}

func newRipe(w world) *cobra.Command {
	o := &ripeOptions{}
	c := &cobra.Command{
		Use:   "ripe",
		Short: "Tell whether honey is ripe, from a refractometer",
		Long: `ripe turns a refractive index into the water of the honey, corrected for its
temperature, or takes the water as read, and says whether the honey is ripe,
whether it may ferment, and how it stands against the limits of the law.`,
		Example: `  bloomtide ripe --water 18.4
  bloomtide ripe --index 1.4890 --temperature 26 --rule eu`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return runRipe(c, w, *o) },
	}
	c.Flags().Float64Var(&o.index, "index", 0, "refractive index as read, such as 1.4915")
	c.Flags().Float64Var(&o.tempC, "temperature", 20, "temperature of the honey under the instrument, °C, for --index")
	c.Flags().Float64Var(&o.water, "water", 0, "water as read, percent")
	c.Flags().StringVar(&o.rule, "rule", "", "show only the limits of one rule: eu, codex, us, au-nz or mark")
	return c
}

func runRipe(c *cobra.Command, w world, o ripeOptions) error {
	byIndex, byWater := c.Flags().Changed("index"), c.Flags().Changed("water")
	if byIndex == byWater {
		return &usageError{errors.New("give either --index or --water"), "for example: bloomtide ripe --water 18.4"}
	}
	percent := o.water
	if byIndex {
		var err error
		if percent, err = honey.WaterFromIndex(honey.Index20(o.index, o.tempC)); err != nil {
			return &usageError{err, "a refractive index of honey lies near 1.49"}
		}
	}
	if !(percent > 0 && percent < 100) {
		return &usageError{fmt.Errorf("water of %g %% is no honey", percent), "honey holds some 14 to 25 %"}
	}
	limits := honey.Limits()
	if o.rule != "" {
		var err error
		if limits, err = honey.LimitsOf(o.rule); err != nil {
			return &usageError{err, ""}
		}
	}
	_, err := w.stdout.Write([]byte(ripeText(percent, limits)))
	return err
}

func ripeText(percent float64, limits []honey.Limit) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Water %.1f %%: %s.\n", percent, honey.Targets{}.Judge(percent))
	fmt.Fprintf(&b, "Fermentation (Lochhead 1933): %s.\n", honey.Fermentation(percent).Text)
	fmt.Fprintf(&b, "One litre weighs about %.2f kg.\n\nLimits, as known to this program; the local text goes first:\n", honey.KgPerL(percent))
	for _, l := range limits {
		word := "within"
		if percent > l.Percent {
			word = "ABOVE"
		}
		fmt.Fprintf(&b, "  %-6s %-5s %.1f %%  %s: %s\n", word, l.Rule, l.Percent, l.Kind, l.Source)
	}
	b.WriteString("\nNo honey for children under 12 months (botulism). Selling food has its own law.\n")
	return b.String()
}
