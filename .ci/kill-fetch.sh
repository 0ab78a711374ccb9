#!/usr/bin/env bash
# Kill `bloomtide fetch` at random moments and see that nothing is lost.
#
#     kill-fetch.sh [KILLS]     default 200
#
# A run that ends before its kill does not count. Below 50 kills it may be that
# none falls within a download, which is then no failure.
#
# A loopback server sends three invented records slowly and changes them now
# and then. After each kill every stored record must be there whole, of one
# version, and never an older one than before. The last run, which is not
# killed, must bring all of them to the newest version and leave no part.
set -euo pipefail
cd "$(dirname "$0")/.."

kills=${1:-200}
folder=$(mktemp -d)
server=
trap '[ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$folder"' EXIT

CGO_ENABLED=0 go build -o "$folder/bin/bloomtide" ./cmd/bloomtide
CGO_ENABLED=0 go build -o "$folder/bin/server" .ci/fetch-server.go
"$folder/bin/server" > "$folder/address" 2> "$folder/server.log" &
server=$!
for _ in $(seq 100); do [ -s "$folder/address" ] && break; sleep 0.05; done
at=$(cat "$folder/address")

export BLOOMTIDE_FETCH_STATIONS_ADDRESS=$at/stations.txt BLOOMTIDE_FETCH_INVENTORY_ADDRESS=$at/inventory.txt
export BLOOMTIDE_FETCH_RECORDS_ADDRESS=$at/records/ BLOOMTIDE_FETCH_OUTLOOK_ADDRESS=$at/outlook
export BLOOMTIDE_FETCH_PAUSE_S=0 BLOOMTIDE_FETCH_ALLOW_HTTP=true BLOOMTIDE_FETCH_ALLOW_PRIVATE=true
export HOME=$folder/none XDG_CONFIG_HOME=$folder/none
cd "$folder"
fetch() { exec bin/bloomtide fetch --again --lat 47.1 --lon -93.2 --archive keep --format csv; }

# version FILE: the one version that all lines carry, or an error.
version() {
  awk -F'"' 'NR==1 { next } { v=$6+0; if (NR>2 && v!=first) { print "versions " first " and " v " in line " NR; bad=1; exit } first=v; last=$4 }
    END { if (bad) exit 1; if (last!="2999-12-31") { print "ends on " last; exit 1 } print first }' "$1"
}

declare -A before
check() {
  local f v
  for f in "${!before[@]}"; do [ -f "$f" ] || { echo "kill $1: $f is gone"; exit 1; }; done
  for f in keep/download/ghcn-daily/by-station/*.csv; do
    [ -e "$f" ] || continue
    v=$(version "$f") || { echo "kill $1: $f is torn: $v"; exit 1; }
    [ "$v" -ge "${before[$f]:-0}" ] || { echo "kill $1: $f went back from ${before[$f]} to $v"; exit 1; }
    before[$f]=$v
  done
}

hit=0 parts=0 n=0
while [ "$hit" -lt "$kills" ] && [ "$n" -lt $((5 * kills)) ]; do
  n=$((n + 1))
  fetch > out 2> err &
  pid=$!
  sleep "0.$(printf %03d $((RANDOM % 400)))"
  kill -9 "$pid" 2>/dev/null || true
  how=0
  wait "$pid" 2>/dev/null || how=$?
  if [ "$how" = 137 ]; then hit=$((hit + 1)); fi # else it had ended before
  if ls keep/download/ghcn-daily/by-station/.*.part >/dev/null 2>&1; then parts=$((parts + 1)); fi
  check "$n"
done

# Bash speaks enough HTTP to ask for the version.
host=${at#http://}
exec 3<>"/dev/tcp/${host%:*}/${host#*:}"
printf 'GET /freeze HTTP/1.0\r\n\r\n' >&3
read -r newest resumed < <(tail -n 1 <&3)
exec 3>&-
(fetch) > out 2> err || { echo "the last run failed:"; cat err; exit 1; }
check last
for id in 1 2 3; do
  f=keep/download/ghcn-daily/by-station/XX00000000$id.csv
  [ "${before[$f]}" = "$newest" ] || { echo "$f has version ${before[$f]}, the server $newest"; exit 1; }
done
litter=$(find keep -name '*.part*' -o -name '*.new')
[ -z "$litter" ] || { echo "left behind: $litter"; exit 1; }
[ "$hit" = "$kills" ] || { echo "only $hit of $kills kills hit a running process"; exit 1; }
[ "$parts" -gt 0 ] && [ "$resumed" -gt 0 ] || [ "$kills" -lt 50 ] || { echo "no kill fell within a download: run more"; exit 1; }
echo "$n runs, $hit killed while running, $parts times within a download; $newest versions, $resumed downloads gone on with; nothing lost, nothing torn"
