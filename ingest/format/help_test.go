package format

import "bloomtide/ingest/weather"

type date = weather.Date

func mustCivil(y, m, d int) weather.Date {
	v, problem := civil(y, m, d)
	if problem != "" {
		panic(problem)
	}
	return v
}
