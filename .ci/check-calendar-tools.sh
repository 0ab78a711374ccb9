# Sourced by the checks of calendars: two parsers that were not written here.
# Installs Debian's python3-icalendar and nodejs where they are absent, and
# ical.js into $folder, which is removed at the end. Sets ICAL_JS.
need=
/usr/bin/python3 -c 'import icalendar' 2>/dev/null || need=python3-icalendar
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
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" ical.js@2.2.1
ICAL_JS="$folder/node_modules/ical.js/dist/ical.js"
export ICAL_JS
