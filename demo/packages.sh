# Installs the Debian packages named on the command line, as far as they are missing.
# Sourced by demo/run.sh and tests/run.sh.

install_packages() {
    missing=
    for package in "$@"; do
        state=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) || state=
        [ "$state" = installed ] || missing="$missing $package"
    done
    [ -n "$missing" ] || return 0
    root=
    [ "$(id -u)" = 0 ] || root=sudo
    echo "installing:$missing"
    $root env DEBIAN_FRONTEND=noninteractive apt-get update -q
    # shellcheck disable=SC2086
    $root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
}

# What it takes to build the command.
BUILD_PACKAGES="gcc libc6-dev binutils make flex bison gperf libgraphviz-dev libyajl-dev liblapack-dev"
