// Package web is the page that a keeper looks at: an HTTP handler with embedded
// pages. It answers one question first, what to do next and by when, and lets
// the keeper change place, issue date, forage and set-up, record work done, and
// subscribe to the plan as a calendar.
//
// Every page is whole without a script and every result has an address: all
// choices stand in the query. A script of ours, served from here, only fetches
// the same page again when a choice changes and puts the new parts in place.
//
// The package reads no file and no clock. Whoever serves it hands over small
// functions (Options): places, a forecast for a question, the keeper's log, a
// store for calendars, and a door for weather files.
//
// What is defended, and where: names in the Host header (guard.go, against
// rebinding of names), requests from other sites that would write (guard.go),
// sizes and times (server.go), work at once (cache.go), scripts and frames
// (headers in guard.go). Beyond loopback every address begins with a secret
// (Options.Base).
package web
