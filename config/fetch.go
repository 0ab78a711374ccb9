package config

// FetchSettings say what `bloomtide fetch` downloads, and from where.
type FetchSettings struct {
	Stations int     `mapstructure:"stations"`  // stations around the place; default 3
	Years    int     `mapstructure:"years"`     // years that a station must span; default 20
	WithinKm float64 `mapstructure:"within_km"` // farthest station, km; default 100
	Outlook  bool    `mapstructure:"outlook"`   // also the near-term outlook

	StationsAddress  string `mapstructure:"stations_address"`  // station list of GHCN-Daily
	InventoryAddress string `mapstructure:"inventory_address"` // its inventory
	RecordsAddress   string `mapstructure:"records_address"`   // folder of its by-station CSV files
	OutlookAddress   string `mapstructure:"outlook_address"`   // daily forecast of Open-Meteo

	PauseS       float64 `mapstructure:"pause_s"`       // between requests to one host, s; default 1
	AllowHTTP    bool    `mapstructure:"allow_http"`    // for tests: also http
	AllowPrivate bool    `mapstructure:"allow_private"` // for tests: also addresses that are not public
}

// Addresses of NOAA's National Centers for Environmental Information and of
// Open-Meteo, from memory.
const (
	stationsAddress  = "https://www.ncei.noaa.gov/pub/data/ghcn/daily/ghcnd-stations.txt"
	inventoryAddress = "https://www.ncei.noaa.gov/pub/data/ghcn/daily/ghcnd-inventory.txt"
	recordsAddress   = "https://www.ncei.noaa.gov/data/global-historical-climatology-network-daily/access/"
	outlookAddress   = "https://api.open-meteo.com/v1/forecast"
)

// fetchDefaults are the entries of defaults.
func fetchDefaults() map[string]any {
	return map[string]any{
		"fetch.stations": 3, "fetch.years": 20, "fetch.within_km": 100.0, "fetch.outlook": false,
		"fetch.stations_address": stationsAddress, "fetch.inventory_address": inventoryAddress,
		"fetch.records_address": recordsAddress, "fetch.outlook_address": outlookAddress,
		"fetch.pause_s": 1.0, "fetch.allow_http": false, "fetch.allow_private": false,
	}
}

// Bounds of what can be meant. Our own choices.
const (
	maxStations  = 20   // stations
	leastYears   = 2    // years
	maxYears     = 200  // years
	maxStationKm = 1000 // km
	maxPauseS    = 600  // s
)

func (l *layers) checkFetch(s *Settings) error {
	for _, n := range []struct {
		key    string
		x      float64
		lo, hi float64
		mend   string
	}{
		{"fetch.stations", float64(s.Fetch.Stations), 1, maxStations, "three outlast the end of one"},
		{"fetch.years", float64(s.Fetch.Years), leastYears, maxYears, "20 years carry odds of one in ten"},
		{"fetch.within_km", s.Fetch.WithinKm, 1, maxStationKm, "weather seldom is alike beyond 100 km"},
		{"fetch.pause_s", s.Fetch.PauseS, 0, maxPauseS, "a second between requests is polite"},
	} {
		if !(n.x >= n.lo && n.x <= n.hi) {
			return l.fault(n.key, n.mend, "%g is outside %g..%g", n.x, n.lo, n.hi)
		}
	}
	return nil
}
