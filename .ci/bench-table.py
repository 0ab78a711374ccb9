#!/usr/bin/env python3
"""The ratios of bench-ingest.sh as one Markdown table.

bench-table.py FOLDER: FOLDER/NAME.json as bench.py of ../shared/performance
writes them, by name of command a list of rounds of wall s, CPU s and peak MiB.
Each ratio is the median over rounds of two commands of the same round.
"""
import json
import statistics
import sys

folder = sys.argv[1]


def load(name):
    with open(f"{folder}/{name}.json") as f:
        return json.load(f)


def ratio(group, over, under, field=0):
    return statistics.median(a[field] / b[field] for a, b in zip(group[over], group[under]))


def row(what, value, limit):
    print(f"| {what} | {value} | {limit} |")


def wall(group, name):
    return statistics.median(r[0] for r in group[name])


year, packed, wide, scan, tiny = map(load, ("year", "gz", "wide", "scan", "tiny"))
unpackers = [name for name in packed if name not in ("read", "unpack in Go")]
best = min(unpackers, key=lambda name: wall(packed, name))
print("| what | measured | at most or at least |")
print("|---|---|---|")
row("by-year file of 1.28 GB: DuckDB's time / ours", f"{ratio(year, 'DuckDB', 'read'):.1f}", ">= 8")
row("by-year file: ours / `wc -l`", f"{ratio(year, 'read', 'wc -l'):.1f}", "<= 5")
row("by-year file: ours / the hand-written reader of the shared folder", f"{ratio(year, 'read', 'limit'):.2f}", "")
row("by-year file: peak memory, MiB", f"{max(r[2] for r in year['read']):.0f}", "< 200")
row("by-year file: into the archive / reading", f"{ratio(year, 'into the archive', 'read'):.1f}", "<= 2.5")
row("by-year file: into the archive / copying the archive with `cp`", f"{ratio(year, 'into the archive', 'cp'):.2f}", "")
row("500 by-station files of 1.7 GB: DuckDB's time / ours", f"{ratio(wide, 'DuckDB', 'read'):.1f}", ">= 8")
row("by-station files: into the archive / reading", f"{ratio(wide, 'into the archive', 'read'):.2f}", "<= 2.5")
row("by-year .gz: ours / `gzip -dc`", f"{ratio(packed, 'read', 'gzip -dc'):.2f}", "<= 1.4")
row("by-year .gz: ours / unpacking alone with Go's compress/gzip", f"{ratio(packed, 'read', 'unpack in Go'):.2f}", "<= 1.4")
row(f"by-year .gz: ours / the fastest unpacker here, {best}", f"{ratio(packed, 'read', best):.2f}", "")
row("20 million days of an archive scanned, s", f"{wall(scan, 'scan'):.2f}", "< 1")
row("a tiny file from start to exit, ms", f"{1e3 * wall(tiny, 'read'):.1f}", "< 20")
row("an empty Go program from start to exit, ms", f"{1e3 * wall(tiny, 'empty Go program'):.1f}", "")
