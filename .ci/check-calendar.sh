#!/bin/sh
# Check a calendar with two parsers that were not written here.
#
#     check-calendar.sh FILE.ics EXPECTED.csv
#
# EXPECTED.csv has the columns uid,start,end,summary; see check-calendar.py.
# Installs Debian's python3-icalendar and nodejs where they are absent, and
# ical.js into a folder that is removed afterwards.
set -eu

[ $# -eq 2 ] || { echo "usage: check-calendar.sh FILE.ics EXPECTED.csv" >&2; exit 2; }
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)

need=
/usr/bin/python3 -c 'import icalendar' 2>/dev/null || need=python3-icalendar
command -v node >/dev/null || need="$need nodejs"
command -v npm >/dev/null || need="$need npm"
if [ -n "$need" ]; then
	apt-get update -qq
	# shellcheck disable=SC2086 # a list of packages
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $need
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" ical.js@2.2.1

/usr/bin/python3 "$here/check-calendar.py" "$1" "$2"
ICAL_JS="$folder/node_modules/ical.js/dist/ical.js" node "$here/check-calendar.mjs" "$1" "$2"
