// Package report prints a forecast: as a table for people, as CSV and JSON for
// programs, as a calendar for the phone. It gets a writer and touches no file.
// People read their own units; CSV and JSON are always in °C, kg, L and ISO
// 8601 dates.
package report
