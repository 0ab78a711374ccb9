package main

import (
	"fmt"
	"os"

	"bloomtide/config"
	"bloomtide/forecast/hive"
	"bloomtide/ingest/records"
	"bloomtide/ingest/weather"
)

// hiveLog reads what the keeper did and saw up to the issue date; an empty log
// where the settings name none.
func hiveLog(s config.Settings, setup hive.Setup, issue weather.Date) (hive.Log, error) {
	if s.HiveLog == "" {
		return hive.Log{}, nil
	}
	f, err := os.Open(s.HiveLog)
	if err != nil {
		return hive.Log{}, &usageError{fmt.Errorf("read the hive log: %w", err), "name a CSV file with the columns date,what,amount,note"}
	}
	defer f.Close()
	setup = setup.WithDefaults()
	entries, err := records.ReadHiveLog(f, records.LogOptions{
		Name: s.HiveLog, SuperFrames: setup.Super.Frames, NestFrames: setup.BroodBox.Frames, BroodBoxes: setup.BroodBoxes,
	})
	if err != nil {
		return hive.Log{}, &usageError{err, ""}
	}
	log := hive.Log{Upto: issue}
	for _, e := range entries {
		if e.Date < issue {
			log.Deeds = append(log.Deeds, hive.Deed{Day: e.Date, Kind: hive.DeedKind(e.What), Amount: e.Amount})
		}
	}
	return log, nil
}
