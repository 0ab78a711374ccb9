// Package ical writes a hive plan as an iCalendar file whose events a calendar
// program updates, rather than doubles, when the plan is made again; and reads
// back what it needs from such a file.
//
// References, with how each was checked:
//
//	RFC 5545, Internet Calendaring and Scheduling Core Object Specification,
//	2009 (§3.1 read in a mirror of its text; other sections from memory, and
//	every rule used here tried on two parsers in .ci/check-calendar.sh).
//	RFC 7986, New Properties for iCalendar, 2016: NAME, REFRESH-INTERVAL
//	(from memory, tried likewise).
//	RFC 5546, iTIP, 2009, §2.1.4: meaning of SEQUENCE (from memory).
//
// # How an event stays the same event
//
// The UID says what the event is (season, task, number, place), never when, so
// that a task that moves keeps it. SEQUENCE starts as the number of days from
// 2000-01-01 to the issue date: a plan made on a later day has higher numbers
// even where nothing was kept of the one before. Where the earlier calendar is
// at hand, an unchanged event keeps its SEQUENCE and its times, a changed one
// gets the next higher, and one that is gone is written once more as
// cancelled. Times come from the issue date, never from a clock.
//
// Whether an event changed is seen by computing its digest from the earlier
// file's own dates and texts. The alternative, a property of ours that holds
// the digest, would be lost by a program that drops what it does not know, and
// would go on vouching for a text that somebody has edited since. The price is
// that a program that rewrites the text makes the event count as changed once,
// which does no harm.
package ical
