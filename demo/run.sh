#!/bin/sh
# From nothing to sheets on the wall: installs what building and printing take, builds the command, and puts
# every output of the patterns of a file into a folder: lists, drawings, pages for the bench, a wall chart.
# usage: sh demo/run.sh [FILE.slv]
set -e
cd "$(dirname "$0")/.."
. demo/packages.sh
# shellcheck disable=SC2086
install_packages $BUILD_PACKAGES librsvg2-2 fonts-dejavu-core

make -s
file=${1:-patterns/kestrel.slv}
build/selvage check "$file"
build/selvage build "$file" -o build/sheets
build/selvage chart "$file" --paper A3 -o build/sheets/chart.pdf
build/selvage catalogue "$file" -o build/sheets/catalogue

echo
echo "For each pattern of $file there are now in $(pwd)/build/sheets:"
echo "  .steps.txt .steps.md .steps.csv   the step list to string from"
echo "  .svg                              the frame diagram: open it in a browser, print it on A4"
echo "  .dot                              what waits for what: dot -Tsvg turns it into a picture"
echo "  .json                             everything derived, for other programs"
echo
echo "Besides:"
echo "  chart.pdf                         cards of all patterns for the wall, on A3"
echo "  catalogue/index.html              all of it as pages for a browser, with a page for the bench"
echo
echo "Wear eye protection when you string; the maker's instructions come first."
