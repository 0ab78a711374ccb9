#!/usr/bin/env bash
# Fuzz every target of the repository for so many seconds, one on each
# processor at a time. A finding fails, with the input kept in the package's
# testdata/fuzz.
#
#     fuzz-each.sh [SECONDS]     default 10
set -euo pipefail
cd "$(dirname "$0")/.."

export FOR=${1:-10}
FOLDER=$(mktemp -d) # programs, and the inputs that were found interesting
export FOLDER
trap 'rm -rf "$FOLDER"' EXIT
module=$(go list -m)
: > "$FOLDER/targets"
for p in $(go list ./...); do
  p=${p#"$module"/}
  found=$(go test -list '^Fuzz' "./$p" | grep '^Fuzz' || true)
  [ -n "$found" ] || continue
  go test -c -fuzz Fuzz -o "$FOLDER/${p//\//-}" "./$p" # once a package, made for fuzzing
  for t in $found; do echo "$p $t" >> "$FOLDER/targets"; done
done

# Go's fuzzing now and then fails because its own clock ran out in the middle of
# an execution. That is no finding: it says so and keeps no input.
clock_only() { grep -q 'context deadline exceeded' "$1" && ! grep -q 'Failing input\|panic' "$1"; }

one() {
  log=$FOLDER/$2-${1//\//-}.log
  if (cd "$1" && "$FOLDER/${1//\//-}" -test.run '^$' -test.fuzz "^$2\$" -test.fuzztime "${FOR}s" -test.parallel 1 \
    -test.fuzzminimizetime 1x -test.fuzzcachedir "$FOLDER/cache/$2" > "$log" 2>&1) || clock_only "$log"; then
    echo "$1 $2: $(grep -o 'execs: [0-9]*' "$log" | tail -n 1)"
  else
    cat "$log"
    echo "$1 $2: a finding"
    exit 255 # ends xargs
  fi
}
export -f one clock_only
xargs -P "$(nproc)" -L 1 bash -c 'one "$0" "$1"' < "$FOLDER/targets"
echo "$(wc -l < "$FOLDER/targets") targets, no finding"
