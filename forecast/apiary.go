package forecast

import (
	"bloomtide/forecast/flow"
	"bloomtide/forecast/hive"
	"bloomtide/phenology"
)

// Apiary is a place with what grows around it and what the keeper has.
type Apiary struct {
	ID   string // stable name for calendars, lower case letters, digits and hyphens
	Name string

	// Invented marks a place of the demo; every output says so.
	Invented bool

	Plants []phenology.Model // whose bloom is forecast
	Stands []flow.Stand      // what makes nectar; a plant without a stand only blooms

	// Relative: the cover of the stands is not known, each counts alike, and
	// no kilograms can be told.
	Relative bool

	// Unmeasured are plants that grow here in unknown cover. Where the cover of
	// others is known they are left out of the stands; else they are the stands.
	Unmeasured []string

	Setup hive.Setup
}
