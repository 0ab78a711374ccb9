// Package areal brings the records of stations to a place: a point, or a
// county by points that stand for shares of it.
//
// The nearest stations by great circle are weighed by distance, difference of
// height and length of record. Since stations come and go, what is averaged is
// not the temperature but its departure from what each station usually shows
// against one of them, the reference: so a station that falls silent leaves no
// step. What the place itself usually shows against the reference is the
// weighed mean of the stations, moved to its height by a lapse rate.
//
// Interpolating departures and norms apart: Willmott and Robeson 1995, Int. J.
// Climatol. 15:221, climatologically aided interpolation. Weights by distance
// and height: Daly and others 2008, Int. J. Climatol. 28:2031, in much simpler
// form. Both from memory; the figures of the weights are our own choices.
//
// The error is found by leaving out each station in turn and bringing the
// others to where it stands.
package areal
