#!/usr/bin/env bash
# Time the reading of large files beside DuckDB, wc -l and unpacking alone.
#
#     bench-ingest.sh [ROUNDS] [FOLDER]     default 3, a new temporary folder
#
# Generators, DuckDB's queries and the timing of whole processes are those of
# ../shared/performance. Needs python3, gcc (for DuckDB only, which is no part
# of the program) and 12 GB of disk. Believe the ratios, not the seconds. Not
# part of run: it takes minutes and a quiet machine.
set -euo pipefail
cd "$(dirname "$0")/.."

rounds=${1:-3}
tools=$(cd ../shared/performance && pwd)
work=${2:-}
if [ -z "$work" ]; then
  work=$(mktemp -d)
  trap 'rm -rf "$work"' EXIT
fi
mkdir -p "$work/bin" "$work/data"
export HOME=$work/none XDG_DATA_HOME=$work/none XDG_CONFIG_HOME=$work/none LC_ALL=C
step() { printf '\n== %s\n' "$*"; }

step "build"
GOCACHE=${GOCACHE:-$work/cache} GOMODCACHE=${GOMODCACHE:-$(HOME=$(getent passwd "$(id -u)" | cut -d: -f6) go env GOMODCACHE)}
export GOCACHE GOMODCACHE
CGO_ENABLED=0 go build -trimpath -o "$work/bin/bloomtide" ./cmd/bloomtide
for part in gen ingest duck; do
  [ -x "$work/bin/$part" ] && continue
  rm -rf "$work/$part" && cp -r "$tools/$part" "$work/$part" && chmod -R u+w "$work/$part"
  (cd "$work/$part" && go build -o "$work/bin/$part" .)
done
bt=$work/bin/bloomtide long=$work/data/long.csv wide=$work/data/wide

step "generate"
[ -s "$long" ] || "$work/bin/gen" long "$long" date
[ -s "$long.gz" ] || gzip -6 -k -f "$long"
[ -d "$wide" ] || "$work/bin/gen" wide "$wide"
[ -d "$work/data/many" ] || "$work/bin/gen" wide "$work/data/many" 1000 55
ls -l "$long" "$long.gz" | awk '{ print $5, $NF }'

step "the same numbers as DuckDB: usable days a station"
# DuckDB prints id, maxima, minima, days with both, ...; ingest prints
# "read ID ...: FIRST to LAST, N usable days".
ours() { sed -nE 's/^read +([^ :]+).* ([0-9]+) usable days.*/\1,\2/p' | sort; }
theirs() { awk -F, '$2 + $3 > 0 { print $1 "," $4 }' | sort; }
cmp <("$bt" ingest --dry-run "$long" | ours) <("$work/bin/duck" 2 "$tools/duck/long.sql" FILE="$long" | theirs)
cmp <("$bt" ingest --dry-run "$long.gz" | ours) <("$bt" ingest --dry-run "$long" | ours)
cmp <("$bt" ingest --dry-run "$wide" | ours) <("$work/bin/duck" 2 "$tools/duck/wide.sql" DIR="$wide" | theirs)
echo same

bench() { python3 "$tools/bench.py" --shell -n "$rounds" "$@"; }
step "by-year file: read at least 8 times as fast as DuckDB, within 5 times wc -l, below 200 MB; kept within 2.5 times the reading"
bench --ref read "read=exec $bt ingest --dry-run $long" "wc -l=exec wc -l $long" "DuckDB=exec $work/bin/duck 2 $tools/duck/long.sql FILE=$long" \
  "limit=exec $work/bin/ingest long fast $long 2" "into the archive=rm -rf $work/keep; exec $bt ingest $long --archive $work/keep"
step "the same packed: within 1.4 times unpacking alone"
bench --ref "gzip -dc" "gzip -dc=exec gzip -dc $long.gz" "unpack in Go=exec $work/bin/ingest unz std $long.gz" "read=exec $bt ingest --dry-run $long.gz"
step "500 by-station files: read at least 8 times as fast as DuckDB; kept within 2.5 times the reading"
bench --ref read "read=exec $bt ingest --dry-run $wide" "wc -l=exec wc -l $wide/*.csv" "DuckDB=exec $work/bin/duck 2 $tools/duck/wide.sql DIR=$wide" \
  "limit=exec $work/bin/ingest wide fast $wide 2" "into the archive=rm -rf $work/keep; exec $bt ingest $wide --archive $work/keep"
step "20 million days of an archive: scanned in less than a second"
rm -rf "$work/keep" && "$bt" ingest "$work/data/many" --archive "$work/keep" | tail -n 1
"$bt" stations --archive "$work/keep" --format csv | awk -F, 'NR > 1 { n += $(NF-5) } END { print n " days in " NR - 1 " stations" }'
bench --ref scan "scan=exec $bt stations --archive $work/keep --format csv"
rm -rf "$work/keep"
step "a tiny file: less than 20 ms from start to exit"
head -n 40 "$wide"/USC00010008.csv > "$work/tiny.csv"
bench --ref read "read=exec $bt ingest --dry-run $work/tiny.csv" "help=exec $bt --help"
