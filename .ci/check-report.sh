#!/bin/sh
# Check report pages and drawings in headless Chromium, with axe-core and
# html-validate.
#
#     check-report.sh OUT PAGE.html... DRAWING.svg...
#
# Installs Debian's chromium, nodejs, npm and poppler-utils where they are
# absent, and the checkers into a folder that is removed afterwards. Leaves
# screenshots and PDFs beside each page, and pictures of drawings in OUT.
set -eu

[ $# -ge 2 ] || { echo "usage: check-report.sh OUT PAGE.html... DRAWING.svg..." >&2; exit 2; }
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)

need=
for pair in chromium:chromium node:nodejs npm:npm pdftotext:poppler-utils; do
	command -v "${pair%%:*}" >/dev/null || need="$need ${pair##*:}"
done
if [ -n "$need" ]; then
	apt-get update -qq
	# shellcheck disable=SC2086 # a list of packages
	DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $need fonts-dejavu-core
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
npm install --no-save --no-audit --no-fund --silent --prefix "$folder" \
	playwright-core@1.64.1 axe-core@4.14.1 html-validate@10.17.0

node "$here/check-report.mjs" "$folder" "$@"

# A page of paper without words is a fault of the layout.
for page in "$@"; do
	case $page in *.html) ;; *) continue ;; esac
	for paper in A4 Letter; do
		pdf="${page%.html}-$paper.pdf"
		sheets=$(pdfinfo "$pdf" | sed -n 's/^Pages: *//p')
		n=1
		while [ "$n" -le "$sheets" ]; do
			words=$(pdftotext -f "$n" -l "$n" "$pdf" - | wc -w)
			[ "$words" -ge 20 ] || { echo "$pdf: sheet $n of $sheets has $words words" >&2; exit 1; }
			n=$((n + 1))
		done
		echo "$pdf: $sheets sheets, none of them blank"
	done
done
