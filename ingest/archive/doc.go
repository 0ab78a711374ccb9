// Package archive keeps daily records on disk: one Parquet file a station in
// one folder, which DuckDB, pandas or any other reader of Parquet can query as
// it stands. It is the only library package that writes files.
//
// A file has one row for every day from the first to the last of the record:
//
//	station         text, the same on every row
//	date            DATE
//	tmin_tenths_c   INT32, tenths of °C, null where there is no value
//	tmax_tenths_c   the same
//	rain_tenths_mm  INT32, tenths of mm, null where there is no value
//	wind_tenths_ms  INT32, tenths of m/s, the day's mean, null where there is no value
//	tmin_flags      UINT8: 1 observed, 2 estimated, 4 rejected, added up; 0 none
//	tmax_flags      the same
//	rain_flags      the same
//	wind_flags      the same
//
// All files have the same columns, so that a query may name a whole folder.
// Files of before wind was kept have none of wind, until their input is ingested
// again; DuckDB reads both kinds together with union_by_name.
//
// The site stands in the key-value metadata of the file under keys that start
// with "bloomtide.", and so does a checksum of the whole file.
//
// A file gets its name, or that of the one before it, only when it is complete
// and on the disk, so that a reader or a kill meets the old file or the new one. Readers need no lock; writers take
// one.
package archive
