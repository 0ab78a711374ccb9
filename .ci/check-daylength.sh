#!/bin/sh
# Check the program's daylength against an ephemeris that was not written here.
# Installs Debian's python3-ephem where it is absent.
set -eu

here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
if ! /usr/bin/python3 -c 'import ephem' 2>/dev/null; then
	apt-get update -qq
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends python3-ephem
fi
(cd "$here/.." && go run ./.ci/daylength) | /usr/bin/python3 "$here/check-daylength.py"
