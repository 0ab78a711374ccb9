// Package county knows the outlines and names of the counties of the United
// States, and reads outlines of any other place from GeoJSON.
//
// Outlines and names: npm us-atlas 3.0.1, counties-10m.json, ISC licence
// (LICENSE.us-atlas in this folder), made from the US Census Bureau's
// cartographic boundary files, edition of 2017, public domain. The file is
// embedded as published, gzipped. Its traps, as met here: some rings are
// collapsed to two or three points and hold no area; Falls Church in Virginia
// has no other ring, so it is a spot without an outline; the Aleutians lie on
// both sides of the 180th meridian; Connecticut has its eight old counties, and
// Valdez-Cordova in Alaska is not yet divided (see aliases.go).
//
// Formats: TopoJSON by its open specification (Bostock and others), GeoJSON by
// RFC 7946; both from memory.
package county
