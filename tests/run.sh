#!/bin/sh
# Installs what building and testing take, and runs every test.
set -e
cd "$(dirname "$0")/.."
. demo/packages.sh
# shellcheck disable=SC2086
install_packages $BUILD_PACKAGES git libcmocka-dev python3 python3-networkx python3-jsonschema \
    python3-mpmath python3-sarif-python-om python3-selenium chromium chromium-driver graphviz gringo librsvg2-bin \
    poppler-utils fonts-dejavu-core libxml2-utils w3c-sgml-lib units
# A general finite-element program, large and for one group of tests; never where machines run them.
[ -n "${CI:-}" ] || install_packages calculix-ccx
command -v npm > /dev/null || install_packages npm

# Two things come as packages of npm; without them the tests say that they are passed over.
make -s sarif-schema axe || echo "npm gave nothing: what needs it is passed over"
make -s check
