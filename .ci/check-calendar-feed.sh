#!/bin/sh
# Subscribe to the served calendars with two parsers that were not written
# here: events and task items, of one place and of all. Then record work, kill
# the program without warning, start it on a later issue date without one of
# the plants, and subscribe again: the same UIDs, moved and withdrawn ones under
# a higher SEQUENCE, what was done marked.
#
#     check-calendar-feed.sh [PROGRAM]      default: build/bloomtide
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
program=${1:-build/bloomtide}
. "$here/check-calendar-tools.sh"

serve() { # OPTIONS...: starts the page and sets $server and $address
	: >"$folder/address"
	env -i HOME="$folder" PATH="$PATH" "$program" serve --listen 127.0.0.1:0 --data "$folder/data" "$@" >"$folder/address" &
	server=$!
	for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
		[ -s "$folder/address" ] && break
		sleep 0.5
	done
	address=$(head -n 1 "$folder/address")
}

get() { # PATH FILE
	/usr/bin/python3 -c 'import sys, urllib.request as u; sys.stdout.buffer.write(u.urlopen(sys.argv[1]).read())' "$address$1" >"$folder/$2"
}

subscribe() { # WHEN
	get feed/sarnholt-county/calendar.ics "$1-events.ics"
	get "feed/sarnholt-county/calendar.ics?as=tasks" "$1-tasks.ics"
	get feed/calendar.ics "$1-all.ics"
}

serve --issue 2025-03-15
subscribe before
get "plan.csv?place=sarnholt-county" plan.csv
get "plan.csv?place=quillmarsh-county" other.csv
/usr/bin/python3 "$here/expected-events.py" plan <"$folder/plan.csv" >"$folder/expected.csv"
{
	/usr/bin/python3 "$here/expected-events.py" plan "Sarnholt County: " <"$folder/plan.csv"
	/usr/bin/python3 "$here/expected-events.py" plan "Quillmarsh County: " <"$folder/other.csv" | tail -n +2
} >"$folder/expected-all.csv"
for what in events:expected tasks:expected all:expected-all; do
	set -- "$folder/before-${what%%:*}.ics" "$folder/${what##*:}.csv"
	/usr/bin/python3 "$here/check-calendar.py" "$@"
	node "$here/check-calendar.mjs" "$@"
done

done=2025-super-on-1.sarnholt-county@bloomtide
/usr/bin/python3 -c 'import sys, urllib.parse as p, urllib.request as u
u.urlopen(sys.argv[1] + "note", p.urlencode({"kind": "done", "task": sys.argv[2], "back": "place=sarnholt-county", "day": "2025-05-20"}).encode())' "$address" "$done"
kill -9 "$server"
wait "$server" 2>/dev/null || true
"$program" forage | grep -v '^basswood,' >"$folder/forage.csv"
serve --issue 2025-04-10 --forage "$folder/forage.csv"
subscribe after
for what in events tasks all; do
	set -- "$folder/before-$what.ics" "$folder/after-$what.ics" 2025-04-10 "$done"
	/usr/bin/python3 "$here/check-calendar-update.py" "$@"
	node "$here/check-calendar-update.mjs" "$@"
done
