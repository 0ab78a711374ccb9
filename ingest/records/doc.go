// Package records reads what a keeper has written down: on which day a plant
// was in first, full or end of bloom.
//
// Two forms of CSV are understood by their header. The keeper's own is
//
//	date,plant,stage[,place][,note]
//
// and the one in which open records are shared
//
//	site_id,species,year,phase,date,doy
//
// A line that cannot be used is a value in the result, with its line, column,
// value and mend; the others go on without it.
package records
