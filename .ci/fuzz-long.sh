#!/usr/bin/env bash
# Fuzz every reader of files until so many executions ran in total.
#
#     fuzz-long.sh [EXECUTIONS]     default 10000000
#
# Each target gets an equal share of what is left when its turn comes, so that
# later ones make up for one that is slow, and at most FUZZ_SECONDS, default
# 3600. FUZZ_PACKAGES names the packages, default all that read files. Prints
# executions and seconds of each target and the sum. A finding ends it, with the
# input kept in the package's testdata/fuzz.
set -euo pipefail
cd "$(dirname "$0")/.."

want=${1:-10000000}
packages=${FUZZ_PACKAGES:-ingest/format ingest/archive ingest/records ingest/county ingest/weather ingest/fetch ingest}
folder=$(mktemp -d) # programs, and the inputs that were found interesting
trap 'rm -rf "$folder"' EXIT
targets=()
for p in $packages; do
  go test -c -fuzz Fuzz -o "$folder/${p//\//-}" "./$p" # once a package, made for fuzzing
  for t in $(go test -list '^Fuzz' "./$p" | grep '^Fuzz' || true); do targets+=("$p $t"); done
done

total=0 spent=0 n=${#targets[@]}
for i in "${!targets[@]}"; do
  read -r p t <<< "${targets[$i]}"
  share=$(((want - total) / (n - i)))
  if [ "$share" -lt 1 ]; then share=1; fi
  begin=$EPOCHSECONDS
  log=$folder/log
  how=0
  (cd "$p" && timeout -s INT -k 20 "${FUZZ_SECONDS:-3600}" "$folder/${p//\//-}" -test.run '^$' -test.fuzz "^$t\$" \
    -test.fuzztime "${share}x" -test.fuzzminimizetime 1x -test.fuzzcachedir "$folder/cache/$t" > "$log" 2>&1) || how=$?
  took=$((EPOCHSECONDS - begin))
  if [ "$how" != 0 ] && grep -q 'Failing input\|^panic\|--- FAIL.*[1-9]' "$log" && ! grep -q 'context canceled' "$log"; then
    cat "$log"
    echo "$p $t: a finding after $total executions of the targets before"
    exit 1
  fi
  ran=$(grep -o 'execs: [0-9]*' "$log" | tail -n 1 | tr -dc 0-9 || true)
  total=$((total + ${ran:-0})) spent=$((spent + took))
  printf '%-16s %-20s %10d executions %6d s\n' "$p" "$t" "${ran:-0}" "$took"
done
echo "$total executions of $n targets in $spent s, no finding"
