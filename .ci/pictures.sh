#!/bin/sh
# Take the README's pictures anew from the running program, in real headless
# Chromium, into testdata/pictures. Each must stay below 150 kB.
#
#     pictures.sh [PROGRAM]      default: build/bloomtide
#
# Installs what check-web.sh installs.
set -eu
cd "$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)/.."
program=${1:-build/bloomtide}
. .ci/check-web-tools.sh
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" playwright-core@1.64.1
mkdir -p testdata/pictures
"$program" report --place Sarnholt --output "$folder/plan.html"
serve
MODULES="$folder/node_modules/" CHROMIUM=$(command -v chromium) node .ci/pictures.mjs "$address" "$folder/plan.html" testdata/pictures
large=$(find testdata/pictures -name '*.png' -size +150k)
[ -z "$large" ] || { echo "above 150 kB: $large" >&2; exit 1; }
