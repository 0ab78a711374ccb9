#!/bin/sh
# Drive the page in a real browser without a window. Pictures and a printed
# plan stay in build/.
#
#     check-web.sh [PROGRAM]      default: build/bloomtide
#
# Installs Debian's chromium and nodejs where they are absent, and the driver
# and the accessibility checker into a folder that is removed afterwards.
set -eu
cd "$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)/.."
program=${1:-build/bloomtide}

need=
command -v chromium >/dev/null || need=chromium
command -v node >/dev/null || need="$need nodejs"
command -v npm >/dev/null || need="$need npm"
if [ -n "$need" ]; then
	apt-get update -qq
	# shellcheck disable=SC2086 # a list of packages
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $need
fi
folder=$(mktemp -d)
server=
trap '[ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$folder"' EXIT
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" playwright-core@1.64.1 axe-core@4.14.1

mkdir -p build
env -i HOME="$folder" PATH="$PATH" "$program" serve --listen 127.0.0.1:0 --data "$folder/data" >"$folder/address" &
server=$!
for _ in 1 2 3 4 5 6 7 8 9 10; do
	[ -s "$folder/address" ] && break
	sleep 0.5
done
MODULES="$folder/node_modules/" CHROMIUM=$(command -v chromium) node .ci/check-web.mjs "$(head -n 1 "$folder/address")" build
