# Sourced by what drives the page in a browser: installs Debian's chromium and
# nodejs where they are absent, makes $folder, removed at the end, and serves.
need=
command -v chromium >/dev/null || need=chromium
command -v node >/dev/null || need="$need nodejs"
command -v npm >/dev/null || need="$need npm"
if [ -n "$need" ]; then
	apt-get update -qq
	# shellcheck disable=SC2086 # a list of packages
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $need fonts-dejavu-core
fi
folder=$(mktemp -d)
server=
trap '[ -z "$server" ] || kill "$server" 2>/dev/null || true; rm -rf "$folder"' EXIT

serve() { # OPTIONS...: starts $program as a page with an empty record and sets $server and $address
	env -i HOME="$folder" PATH="$PATH" "$program" serve --listen 127.0.0.1:0 --data "$folder/data" "$@" >"$folder/address" &
	server=$!
	for _ in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20; do
		[ -s "$folder/address" ] && break
		sleep 0.5
	done
	address=$(head -n 1 "$folder/address")
}
