#!/usr/bin/env bash
# Measure the reading of large files beside DuckDB, wc -l and unpacking alone.
#
#     bench-ingest.sh [ROUNDS]     default 5
#
# Builds and generates into build/bench, with the generators, DuckDB's queries
# and the timing of whole processes of ../shared/performance; checks that ours
# and DuckDB find the same usable days; runs every command once a round, in
# turn, and prints a table of ratios at the end. DuckDB comes as a Go module.
# Needs python3, gcc (for DuckDB only, which is no part of the program) and
# 8 GB of disk. Believe the ratios, not the seconds; see the load. Not part of
# run: it takes minutes and a quiet machine.
set -euo pipefail
cd "$(dirname "$0")/.."

rounds=${1:-5}
tools=$(cd ../shared/performance && pwd)
mkdir -p build/bench/bin build/bench/data build/bench/results
work=$(cd build/bench && pwd)
# Only now, since the cache of built packages lies below the home folder.
GOCACHE=$(go env GOCACHE) GOMODCACHE=$(go env GOMODCACHE)
export GOCACHE GOMODCACHE LC_ALL=C
export HOME=$work/none XDG_DATA_HOME=$work/none XDG_CONFIG_HOME=$work/none
step() { printf '\n== %s\n' "$*"; }

step "build"
CGO_ENABLED=0 go build -trimpath -o "$work/bin/bloomtide" ./cmd/bloomtide
for part in gen ingest duck; do
  [ -x "$work/bin/$part" ] && continue
  rm -rf "${work:?}/$part" && cp -r "$tools/$part" "$work/$part" && chmod -R u+w "$work/$part"
  (cd "$work/$part" && go build -o "$work/bin/$part" .)
done
mkdir -p "$work/empty"
printf 'module empty\ngo 1.26\n' > "$work/empty/go.mod"
printf 'package main\n\nfunc main() {}\n' > "$work/empty/main.go"
(cd "$work/empty" && CGO_ENABLED=0 go build -o "$work/bin/empty" .)
bt=$work/bin/bloomtide duck="$work/bin/duck 2" limit=$work/bin/ingest
long=$work/data/long.csv wide=$work/data/wide many=$work/data/many keep=$work/keep

step "generate"
[ -s "$long.gz" ] || { "$work/bin/gen" long "$long" date && gzip -6 -k -f "$long"; }
[ -d "$wide" ] || { "$work/bin/gen" wide "$wide.part" && mv "$wide.part" "$wide"; }
[ -d "$many" ] || { # 1000 stations of 55 years: 20 million days
  rm -rf "$many" "$many.part"
  "$work/bin/gen" wide "$many.csv" 1000 55
  "$bt" ingest "$many.csv" --archive "$many.part" | tail -n 1
  rm -rf "$many.csv" && mv "$many.part" "$many"
}
ls -l "$long" "$long.gz" | awk '{ print $5, $NF }'
head -n 40 "$wide/USC00010008.csv" > "$work/tiny.csv"

step "the same numbers as DuckDB: usable days a station"
# DuckDB prints id, maxima, minima, days with both, ...; ingest prints
# "read ID ...: FIRST to LAST, N usable days".
ours() { sed -nE 's/^[a-z]+ +([^ :]+).* ([0-9]+) usable days.*/\1,\2/p' | sort; }
theirs() { awk -F, '$2 + $3 > 0 { print $1 "," $4 }' | sort; }
$duck "$tools/duck/long.sql" FILE="$long" | theirs > "$work/long.days"
cmp <("$bt" ingest --dry-run "$long" | ours) "$work/long.days"
cmp <("$bt" ingest --dry-run "$long.gz" | ours) "$work/long.days"
rm -rf "$keep"
cmp <("$bt" ingest "$long" --archive "$keep" | ours) "$work/long.days"
cmp <("$bt" ingest --dry-run "$wide" | ours) <($duck "$tools/duck/wide.sql" DIR="$wide" | theirs)
echo same

bench() { # bench NAME --ref NAME COMMAND...
  local name=$1
  shift
  python3 "$tools/bench.py" --shell -n "$rounds" -o "$work/results/$name.json" "$@"
}
# Each round fills a folder of its own, and all are removed in the end: removing
# is no part of the work, and ext4 looks long for room among thousands of files
# that were removed within the last five minutes. Before another run, wait so long.
step "by-year file"
bench year --ref read "read=exec $bt ingest --dry-run $long" "wc -l=exec wc -l $long" \
  "DuckDB=exec $duck $tools/duck/long.sql FILE=$long" "limit=exec $limit long fast $long 2" \
  "into the archive=exec $bt ingest $long --archive $keep.new.\$\$" \
  "cp=exec cp -r $keep $keep.copy.\$\$"
step "the same packed"
unpackers=("gzip -dc=exec gzip -dc $long.gz")
for tool in pigz igzip libdeflate-gunzip; do
  if command -v $tool > /dev/null; then unpackers+=("$tool=exec $tool -dc $long.gz"); fi
done
bench gz --ref read "read=exec $bt ingest --dry-run $long.gz" "unpack in Go=exec $limit unz std $long.gz" \
  "klauspost/compress=exec $limit unz klauspost $long.gz" "${unpackers[@]}"
step "500 by-station files"
bench wide --ref read "read=exec $bt ingest --dry-run $wide" "wc -l=exec wc -l $wide/*.csv" \
  "DuckDB=exec $duck $tools/duck/wide.sql DIR=$wide" "limit=exec $limit wide fast $wide 2" \
  "into the archive=exec $bt ingest $wide --archive $keep.wide.\$\$"
step "20 million days of an archive"
"$bt" stations --archive "$many" --format csv | awk -F, 'NR > 1 { n += $(NF-6) } END { print n " days in " NR - 1 " stations" }'
bench scan --ref scan "scan=exec $bt stations --archive $many --format csv"
step "a tiny file, 50 times"
rounds=50
bench tiny --ref read "read=exec $bt ingest --dry-run $work/tiny.csv" "help=exec $bt --help" "empty Go program=exec $work/bin/empty"

rm -rf "$keep" "$keep".*
step "ratios"
uptime
python3 .ci/bench-table.py "$work/results"
