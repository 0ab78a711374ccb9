package config

import "github.com/spf13/pflag"

// flagKeys pairs each flag with the key of the configuration file that it
// overrides.
func flagKeys() map[string]string {
	return map[string]string{
		"weather": "weather", "lat": "lat", "lon": "lon", "elevation": "elevation", "place": "place", "county": "county", "outline": "outline",
		"issue": "issue", "forage": "forage", "cover": "cover", "hive-log": "hive_log", "units": "units", "format": "format", "archive": "archive",
		"unit": "unit", "date-column": "columns.date", "tmin-column": "columns.tmin", "tmax-column": "columns.tmax",
		"undo-shift": "undo_shift",
	}
}

// AddFlags adds the flags that all commands share. Their own zero values mean
// nothing: Load looks only at flags that the keeper has given.
func AddFlags(fs *pflag.FlagSet) {
	fs.StringArray("weather", nil, "file or folder of daily temperatures, - for standard input; give it once for each")
	fs.String("county", "", "a county of the United States, such as \"Linn, Iowa\" or 19113, in place of --lat and --lon")
	fs.String("outline", "", "GeoJSON file with the outline of your place, anywhere on earth, in place of --lat and --lon")
	fs.Float64("lat", 0, "latitude in degrees, south negative, such as 47.5")
	fs.Float64("lon", 0, "longitude in degrees, west negative, such as -93.2")
	fs.Float64("elevation", 0, "metres above sea level")
	fs.String("place", "", "name of the place, as the plan shows it")
	fs.String("issue", "", "issue date as YYYY-MM-DD: later weather is not used (default today)")
	fs.String("forage", "", "your own forage table; 'bloomtide forage' prints one to start from")
	fs.String("cover", "", "what grows within reach, CSV: plant,hectares,note; 'bloomtide init --region' writes one to start from")
	fs.String("hive-log", "", "what you did and saw at the hive, CSV: date,what,amount,note; the plan starts anew from it")
	fs.String("units", "", "metric for °C and kg, us for °F and lb (default metric)")
	fs.String("format", "", "table, csv, json or ical (default table)")
	fs.String("config", "", "configuration file; 'bloomtide init' writes one to start from")
	fs.String("archive", "", "folder in which daily records are kept")
	fs.String("unit", "", "unit of temperatures in a plain file: auto, C, F or tenths of a °C (default auto)")
	fs.String("date-column", "", "name of the date column of a plain file")
	fs.String("tmin-column", "", "name of the column of daily minimum temperatures")
	fs.String("tmax-column", "", "name of the column of daily maximum temperatures")
	fs.Bool("undo-shift", false, "move extremes back that stand on the wrong day, as the neighbours show")
}
