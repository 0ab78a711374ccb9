#!/bin/sh
# Drive the page in a real browser without a window. Pictures, a printed plan,
# the browser's trace and what was measured stay in build/.
#
#     check-web.sh [PROGRAM]      default: build/bloomtide
#
# Installs Debian's chromium and nodejs where they are absent, and the driver
# and the accessibility checker into a folder that is removed afterwards.
set -eu
cd "$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)/.."
program=${1:-build/bloomtide}
. .ci/check-web-tools.sh
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" playwright-core@1.64.1 axe-core@4.14.1
mkdir -p build
serve
MODULES="$folder/node_modules/" CHROMIUM=$(command -v chromium) node .ci/check-web.mjs "$address" build
