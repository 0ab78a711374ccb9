package config

// UsageError is something the keeper wrote that cannot be meant: in the
// configuration file, the environment or a flag. It is wrong usage, not a
// failure of the program.
type UsageError struct {
	Where string // such as "bloomtide.yaml:12: lat", "BLOOMTIDE_LAT" or "--lat"
	What  string // what is wrong, with the value in it
	Mend  string // what to do about it, may be empty
}

// Error returns where: what; mend.
func (e *UsageError) Error() string {
	s := e.What
	if e.Where != "" {
		s = e.Where + ": " + s
	}
	if e.Mend != "" {
		s += "; " + e.Mend
	}
	return s
}
