#!/bin/sh
# Read an archive with a Parquet reader that was not written here.
#
#     check-archive.sh [BLOOMTIDE]     default build/bloomtide
#
# Adds invented records to an archive and compares every row that hyparquet
# reads there with what awk takes from the input. Installs Debian's nodejs and
# npm where they are absent, and hyparquet into a folder that is removed.
set -eu

here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
bloomtide=${1:-$here/../build/bloomtide}
need=
command -v node >/dev/null || need=nodejs
command -v npm >/dev/null || need="$need npm"
if [ -n "$need" ]; then
	apt-get update -qq
	# shellcheck disable=SC2086 # a list of packages
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $need
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" hyparquet@1.33.0

# Three invented stations, a year each, in the by-year layout of GHCN-Daily:
# gaps, frost, flagged values, and rain on some days. The first two measure wind.
awk 'BEGIN { OFS = ","
  for (d = 0; d < 366; d++) { date = strftime("%Y%m%d", 1704067200 + d * 86400, 1)
    for (s = 1; s <= 3; s++) { id = "QZ00000000" s
      lo = int(90 - 160 * cos((d - 20) / 58.1)) + 7 * s - (d * 7919 + s) % 53; hi = lo + 40 + (d * 31 + s) % 97
      if ((d + s) % 17) print id, date, "TMAX", hi, "", (d % 29 == 3 ? "I" : ""), "7", "0700"
      if ((d + s) % 13) print id, date, "TMIN", lo, "", "", "7", "0700"
      if ((d + s) % 3) print id, date, "PRCP", (d * 13) % 211, (d % 5 ? "" : "T"), "", "7", "0700"
      if (s < 3 && (d + s) % 7) print id, date, "AWND", (d * 17 + s) % 163, "", (d % 31 == 4 ? "X" : ""), "W", ""
      print id, date, "SNOW", 0, "", "", "7", ""
    } } }' > "$folder/2024.csv"
"$bloomtide" ingest "$folder/2024.csv" --archive "$folder/keep"

# station,date,tmin,tmax,rain,wind,flags of the four; an empty cell is no value.
awk -F, '$3 ~ /TMIN|TMAX|PRCP|AWND/ { d = $1 "," substr($2,1,4) "-" substr($2,5,2) "-" substr($2,7,2)
    v[d,$3] = $4; f[d,$3] = $6 == "" ? 1 : 5; if ($3 ~ /TM/) t[d] = 1; seen[d] = 1 }
  END { for (d in seen) { split(d, p, ","); if (t[d] && (!(p[1] in first) || p[2] < first[p[1]])) first[p[1]] = p[2]
                          if (t[d] && p[2] > last[p[1]]) last[p[1]] = p[2] }
    for (d in seen) { split(d, p, ","); if (p[2] < first[p[1]] || p[2] > last[p[1]]) continue
      print d "," v[d,"TMIN"] "," v[d,"TMAX"] "," v[d,"PRCP"] "," v[d,"AWND"] "," f[d,"TMIN"]+0 "," f[d,"TMAX"]+0 "," f[d,"PRCP"]+0 "," f[d,"AWND"]+0 } }' \
  "$folder/2024.csv" | sort > "$folder/expected.csv"
HYPARQUET="$folder/node_modules/hyparquet/src/node.js" node "$here/check-archive.mjs" "$folder"/keep/stations/*.parquet | sort > "$folder/read.csv"
diff "$folder/expected.csv" "$folder/read.csv" || { echo "the archive does not hold what the input says" >&2; exit 1; }
rows=$(wc -l < "$folder/read.csv")
[ "$rows" -gt 1000 ] || { echo "only $rows rows were compared" >&2; exit 1; }
echo "hyparquet read $rows rows as awk has them from the input"
