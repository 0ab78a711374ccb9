#!/bin/sh
# Check a calendar with two parsers that were not written here.
#
#     check-calendar.sh FILE.ics EXPECTED.csv
#
# EXPECTED.csv has the columns uid,start,end,summary; see check-calendar.py.
set -eu

[ $# -eq 2 ] || { echo "usage: check-calendar.sh FILE.ics EXPECTED.csv" >&2; exit 2; }
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
. "$here/check-calendar-tools.sh"
/usr/bin/python3 "$here/check-calendar.py" "$1" "$2"
node "$here/check-calendar.mjs" "$1" "$2"
