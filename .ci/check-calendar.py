#!/usr/bin/python3
"""Check a calendar against a table of what it should hold, with a parser that
was not written here: Debian's python3-icalendar.

    /usr/bin/python3 check-calendar.py FILE.ics EXPECTED.csv

The table has one row an event or task item; DATE columns are YYYY-MM-DD and
the end is the day after the last one, which a task item calls DUE. Other columns are ignored. Cancelled events of the
calendar are not expected in the table. Every difference is an error.

Version 4.0.3 of the parser misreads a backslash followed by n, N, a comma or a
semicolon in a text; keep those out of the calendars checked.
"""

import csv
import datetime
import sys
from collections import Counter

from icalendar import Calendar

# Column names of the expected table.
UID, START, END, SUMMARY = "uid", "start", "end", "summary"


def expected(path):
    with open(path, encoding="utf-8-sig", newline="") as f:
        table = csv.DictReader(f)
        missing = {UID, START, END, SUMMARY} - set(table.fieldnames or [])
        if missing:
            sys.exit(f"{path}: no column {', '.join(sorted(missing))}")
        return [(r[UID], r[START], r[END], r[SUMMARY]) for r in table]


def day(event, name):
    value = event[name].dt
    if type(value) is not datetime.date:  # a datetime is a date too
        raise ValueError(f"{event.get('UID')}: {name} is no all-day date: {value!r}")
    return value.isoformat()


def days(part):
    """First day, and the day after the last one."""
    if part.name == "VEVENT":
        return day(part, "DTSTART"), day(part, "DTEND")
    after = datetime.date.fromisoformat(day(part, "DUE")) + datetime.timedelta(days=1)
    return day(part, "DTSTART" if "DTSTART" in part else "DUE"), after.isoformat()


def check_lines(data):
    """RFC 5545 section 3.1, which the parser does not insist on."""
    lines = data.split(b"\r\n")
    if lines.pop():
        raise ValueError("last line does not end in CRLF")
    for number, line in enumerate(lines, 1):
        if len(line) > 75:
            raise ValueError(f"line {number} has {len(line)} octets")
        if b"\r" in line or b"\n" in line:
            raise ValueError(f"line {number} holds a bare CR or LF")
        line.decode("utf-8")  # a fold must not cut a character


def found(path):
    with open(path, "rb") as f:
        data = f.read()
    check_lines(data)
    events = []
    calendars = Calendar.from_ical(data, multiple=True)
    if len(calendars) != 1:
        raise ValueError(f"{len(calendars)} calendars instead of one")
    for part in calendars[0].walk():
        if part.errors:
            raise ValueError(f"{part.name}: {part.errors}")
        if part.name not in ("VEVENT", "VTODO"):
            continue
        for needed in ("UID", "DTSTAMP", "SEQUENCE", "LAST-MODIFIED"):
            if needed not in part:
                raise ValueError(f"{part.get('UID')}: no {needed}")
        if str(part.get("STATUS", "")) == "CANCELLED":
            continue
        start, end = days(part)
        events.append((str(part["UID"]), start, end, str(part["SUMMARY"])))
    return events


def main(ics, table):
    want = expected(table)
    try:
        got = found(ics)
    except (ValueError, KeyError) as e:
        sys.exit(f"{ics}: python3-icalendar: {e!r}")
    missing, extra = Counter(want) - Counter(got), Counter(got) - Counter(want)
    for event in sorted(missing.elements()):
        print(f"{ics}: python3-icalendar: missing {event}", file=sys.stderr)
    for event in sorted(extra.elements()):
        print(f"{ics}: python3-icalendar: not expected {event}", file=sys.stderr)
    if missing or extra:
        sys.exit(1)
    print(f"python3-icalendar: {len(got)} events or tasks as expected")


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: check-calendar.py FILE.ics EXPECTED.csv")
    main(sys.argv[1], sys.argv[2])
