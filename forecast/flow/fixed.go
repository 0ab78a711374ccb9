package flow

// Constant is a number that the code fixes, with its reason.
type Constant struct {
	Name, Unit string
	Value      float64
	Where      string // file that holds it
	ID         string // its name in that file
	Why        string // source, or that it is our own choice, and the reason
}

// Fixed returns the numbers of this package that are no setting.
func Fixed() []Constant {
	const own = "our own choice: "
	return []Constant{
		{"share of the maximum in the temperature of the flying hours", "share", dayWeight, "forecast/flow/supply.go", "dayWeight", own + "a quarter of the way down the day's curve"},
		{"least break of a flow", "d", leastGapDays, "forecast/flow/detect.go", "leastGapDays", own + "a lone day is weather"},
		{"days between two weighings that are shared out evenly", "d", bridgeDays, "forecast/flow/scale.go", "bridgeDays", own + "more is a hole"},
	}
}
