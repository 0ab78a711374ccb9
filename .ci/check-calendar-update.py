#!/usr/bin/python3
"""Check that a calendar follows an earlier one, with a parser that was not
written here: Debian's python3-icalendar.

    /usr/bin/python3 check-calendar-update.py BEFORE.ics AFTER.ics ISSUE DONE

Of what is not over on the issue date of the later one, no UID is lost; where
day, summary or status changed, SEQUENCE and LAST-MODIFIED are higher (RFC 5545
sections 3.8.7.3 and 3.8.7.4). At least one event has moved, one is cancelled,
and the one of UID DONE is marked as done.
"""

import datetime
import sys

from icalendar import Calendar


def read(path):
    with open(path, "rb") as f:
        parts = Calendar.from_ical(f.read()).walk()
    out = {}
    for p in parts:
        if p.name not in ("VEVENT", "VTODO"):
            continue
        last = p["DUE"].dt if p.name == "VTODO" else p["DTEND"].dt - datetime.timedelta(days=1)
        out[str(p["UID"])] = {
            "sequence": int(p["SEQUENCE"]), "modified": p["LAST-MODIFIED"].dt, "last": last,
            "said": (last, str(p["SUMMARY"]), str(p["STATUS"])),
            "cancelled": str(p["STATUS"]) == "CANCELLED",
            "done": str(p["SUMMARY"]).find("Done: ") >= 0 and (p.name == "VEVENT" or str(p["STATUS"]) == "COMPLETED"),
        }
    return out


def main(before, after, issue, done):
    old, new = read(before), read(after)
    issue = datetime.date.fromisoformat(issue)
    moved = cancelled = 0
    for uid, was in old.items():
        if was["last"] < issue:
            continue
        if uid not in new:
            sys.exit(f"{after}: python3-icalendar: {uid} is lost")
        now = new[uid]
        rose = now["sequence"] > was["sequence"] and now["modified"] > was["modified"]
        if now["sequence"] < was["sequence"] or now["said"] != was["said"] and not rose:
            sys.exit(f"{after}: python3-icalendar: {uid} changed from {was} to {now}")
        moved += now["last"] != was["last"] and not now["cancelled"]
        cancelled += now["cancelled"]
    if moved == 0 or cancelled == 0 or not new[done]["done"]:
        sys.exit(f"{after}: python3-icalendar: {moved} moved, {cancelled} cancelled, done: {new[done]}")
    print(f"python3-icalendar: {len(old)} before, {len(new)} after: {moved} moved, {cancelled} cancelled, one done")


if __name__ == "__main__":
    if len(sys.argv) != 5:
        sys.exit("usage: check-calendar-update.py BEFORE.ics AFTER.ics ISSUE DONE")
    main(*sys.argv[1:])
