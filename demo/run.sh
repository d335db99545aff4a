#!/bin/sh
# From nothing to a strung racket on paper: installs what building takes, builds the command, and puts
# every output of a shipped pattern into a folder.
# usage: sh demo/run.sh [FILE.slv]
set -e
cd "$(dirname "$0")/.."
. demo/packages.sh
# shellcheck disable=SC2086
install_packages $BUILD_PACKAGES

make -s
file=${1:-patterns/kestrel.slv}
build/selvage check "$file"
build/selvage build "$file" -o build/sheets

echo
echo "For each pattern of $file there are now in $(pwd)/build/sheets:"
echo "  .steps.txt .steps.md .steps.csv   the step list to string from"
echo "  .svg                              the frame diagram: open it in a browser, print it on A4"
echo "  .dot                              what waits for what: dot -Tsvg turns it into a picture"
echo "  .json                             everything derived, for other programs"
echo
echo "Wear eye protection when you string; the maker's instructions come first."
