"""Turns the CSV of `bloomtide plan` or `bloomtide bloom` into the events that
the calendar of the same forecast must hold: uid,start,end,summary. A second
argument leads every summary."""

import csv
import datetime
import sys


lead = sys.argv[2] if len(sys.argv) > 2 else ""


def day_after(text):
    return (datetime.date.fromisoformat(text) + datetime.timedelta(days=1)).isoformat()


def plan(rows):
    for r in rows:
        yield r["uid"], r["likely"], day_after(r["likely"]), lead + r["title"] + " (invented)"


def bloom(rows):
    first, end, name = {}, {}, {}
    for r in rows:
        if float(r["share"]) == 0:
            continue
        name[r["uid"]] = r["plant"]
        if r["stage"] == "first":
            first[r["uid"]] = r["likely"]
        if r["stage"] == "end":
            end[r["uid"]] = r["likely"]
    for uid, start in first.items():
        yield uid, start, day_after(max(start, end[uid])), name[uid] + " in bloom (invented)"


out = csv.writer(sys.stdout)
out.writerow(["uid", "start", "end", "summary"])
out.writerows({"plan": plan, "bloom": bloom}[sys.argv[1]](csv.DictReader(sys.stdin)))
