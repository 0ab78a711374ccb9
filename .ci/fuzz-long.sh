#!/usr/bin/env bash
# Fuzz every reader of files until so many executions ran in total.
#
#     fuzz-long.sh [EXECUTIONS]     default 10000000
#
# Each target gets an equal share of what is left when its turn comes, and at
# most FUZZ_SECONDS, default 3600; the next ones make up for one that is
# slow. Prints executions and seconds of each target and the sum. A finding
# ends it, with the input kept in the package's testdata/fuzz by go test.
set -euo pipefail
cd "$(dirname "$0")/.."

want=${1:-10000000}
packages="ingest/format ingest/archive ingest/records ingest/county ingest/weather ingest/fetch ingest/fill ingest"
targets=()
for p in $packages; do
  for t in $(go test -list '^Fuzz' "./$p" | grep '^Fuzz' || true); do targets+=("$p $t"); done
done

total=0 spent=0 n=${#targets[@]}
for i in "${!targets[@]}"; do
  read -r p t <<< "${targets[$i]}"
  share=$(((want - total) / (n - i)))
  if [ "$share" -lt 1 ]; then share=1; fi
  begin=$EPOCHSECONDS
  log=$(mktemp)
  if ! timeout -s INT -k 20 "${FUZZ_SECONDS:-3600}" go test -run '^$' -fuzz "^$t\$" -fuzztime "${share}x" -fuzzminimizetime 1x "./$p" > "$log" 2>&1; then
    if [ $((EPOCHSECONDS - begin)) -lt "${FUZZ_SECONDS:-3600}" ]; then
      cat "$log"
      echo "$p $t: a finding after $total executions of the targets before"
      exit 1
    fi
  fi
  took=$((EPOCHSECONDS - begin))
  ran=$(grep -o 'execs: [0-9]*' "$log" | tail -n 1 | tr -dc 0-9 || true)
  rm -f "$log"
  total=$((total + ${ran:-0})) spent=$((spent + took))
  printf '%-16s %-20s %10d executions %6d s\n' "$p" "$t" "${ran:-0}" "$took"
done
echo "$total executions of $n targets in $spent s, no finding"
