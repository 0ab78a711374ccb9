#!/bin/sh
# Fifty readers of plan and feed at once for a minute; says what the slowest
# hundredth waited. Not a part of .ci/run: it tells how fast a machine is.
#
#     load.sh [PROGRAM [SECONDS [READERS]]]
set -eu
cd "$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)/.."
program=${1:-build/bloomtide}
folder=$(mktemp -d)
server=
trap '[ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$folder"' EXIT
env -i HOME="$folder" PATH="$PATH" "$program" serve --listen 127.0.0.1:0 --data "$folder/data" >"$folder/address" &
server=$!
for _ in 1 2 3 4 5 6 7 8 9 10; do
	[ -s "$folder/address" ] && break
	sleep 0.5
done
go run .ci/load/main.go "$(head -n 1 "$folder/address")" "${2:-60}" "${3:-50}"
