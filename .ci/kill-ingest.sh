#!/usr/bin/env bash
# Kill `bloomtide ingest` at random moments and see that nothing is lost.
#
#     kill-ingest.sh [KILLS]     default 200
#
# A run that ends before its kill does not count. Below 50 kills it may be that
# none falls within the writing, which is then no failure.
#
# Version v of sixty invented records has 400 + v days. After each kill the
# archive must list every station that it had, none damaged, none shorter than
# before and none of another length than a version. The last run, which is not
# killed, must bring all to the newest version and leave nothing half written;
# one more run must change nothing.
set -euo pipefail
cd "$(dirname "$0")/.."

kills=${1:-200}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
CGO_ENABLED=0 go build -o "$folder/bloomtide" ./cmd/bloomtide
export HOME=$folder/none XDG_CONFIG_HOME=$folder/none XDG_DATA_HOME=$folder/none
cd "$folder"
stations=60

# write VERSION: the records of a version, in the by-year layout of GHCN-Daily.
write() {
  awk -v days=$((400 + $1)) -v stations=$stations 'BEGIN { OFS = ","
    for (d = 0; d < days; d++) { date = strftime("%Y%m%d", 1672531200 + d * 86400, 1)
      for (s = 0; s < stations; s++) { id = sprintf("QZ%09d", s)
        print id, date, "TMAX", 150 + (d * 7 + s) % 90, "", "", "7", ""
        print id, date, "TMIN", 10 + (d * 11 + s) % 90, "", "", "7", "" } } }' > records.csv
}
ingest() { exec ./bloomtide ingest records.csv --archive keep; }

declare -A before
mixed=0
check() {
  local id days least=99999 most=0
  ./bloomtide stations --archive keep --format csv > list 2> err || { echo "kill $1: the archive is damaged"; cat err; exit 1; }
  declare -A now=()
  while IFS=, read -r id days usable; do
    [ "$days" = "$usable" ] || { echo "kill $1: $id has $usable usable of $days days"; exit 1; }
    [ "$days" -ge "${before[$id]:-0}" ] || { echo "kill $1: $id went back from ${before[$id]} to $days days"; exit 1; }
    [ "$days" -ge 401 ] && [ "$days" -le $((400 + version)) ] || { echo "kill $1: $id has $days days, which no version has"; exit 1; }
    now[$id]=$days
    if [ "$days" -lt $least ]; then least=$days; fi
    if [ "$days" -gt $most ]; then most=$days; fi
  done < <(awk -F, 'NR > 1 { print $1 "," $8 "," $9 }' list)
  for id in "${!before[@]}"; do [ -n "${now[$id]:-}" ] || { echo "kill $1: $id is gone"; exit 1; }; done
  for id in "${!now[@]}"; do before[$id]=${now[$id]}; done
  if [ $most -gt $least ] && [ $most -gt 0 ]; then mixed=$((mixed + 1)); fi
}

# How long a run takes here, in ms, so that kills fall within it.
version=1
write 1
start=${EPOCHREALTIME/./}
(ingest) > out 2> err
long=$(((${EPOCHREALTIME/./} - start) / 1000 + 20))
check first

hit=0 litter=0 n=0
while [ "$hit" -lt "$kills" ] && [ "$n" -lt $((5 * kills)) ]; do
  n=$((n + 1))
  version=$((1 + n / 2)) # a version is tried twice
  write "$version"
  ingest > out 2> err &
  pid=$!
  sleep "$(awk -v ms=$((RANDOM * long / 32768)) 'BEGIN { printf "%.3f", ms / 1000 }')"
  kill -9 "$pid" 2>/dev/null || true
  how=0
  wait "$pid" 2>/dev/null || how=$?
  if [ "$how" = 137 ]; then hit=$((hit + 1)); fi # else it had ended before
  if ls keep/stations/.new-* >/dev/null 2>&1; then litter=$((litter + 1)); fi
  check "$n"
done

(ingest) > out 2> err || { echo "the last run failed:"; cat err; exit 1; }
mixed_before=$mixed
check last
[ "$mixed" = "$mixed_before" ] || { echo "the last run left stations behind"; exit 1; }
[ "${#before[@]}" = $stations ] || { echo "${#before[@]} of $stations stations"; exit 1; }
left=$(find keep -name '.new-*')
[ -z "$left" ] || { echo "left behind: $left"; exit 1; }
(ingest) > out 2> err
grep -q "^$stations unchanged; " out || { echo "a second run changed something:"; tail -n 1 out; exit 1; }
[ "$hit" = "$kills" ] || { echo "only $hit of $kills kills hit a running process"; exit 1; }
# Stations are put in place many at once, so few kills fall between them.
[ $((mixed + litter)) -gt 0 ] || [ "$kills" -lt 50 ] || { echo "no kill fell within the writing: run more"; exit 1; }
echo "$n runs, $hit killed while running, $mixed times between stations, $litter times before all were in place; nothing lost, nothing torn"
