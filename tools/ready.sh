#!/bin/sh
# Is what the system must bring here? Prints the one line that brings the rest.
#
#   tools/ready.sh python   print the path of a Python that can make an environment
#   tools/ready.sh test     bring the browser the tests drive and the shared libraries they load
set -eu

lacks() {
    echo "Missing: $*" >&2
    echo "As root, once:  apt-get install $*" >&2
    exit 1
}

find_python() {
    for name in python3.11 python3.12 python3.13 python3.14 python3; do
        if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            command -v "$name"
            return
        fi
    done
}

ready_python() {
    missing=""
    for tool in make git; do
        command -v "$tool" >/dev/null 2>&1 || missing="$missing $tool"
    done
    python=$(find_python)
    if [ -z "$python" ]; then
        missing="$missing python3.11-venv"
    elif ! "$python" -c 'import ensurepip, venv' 2>/dev/null; then
        version=$("$python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')
        missing="$missing python$version-venv"
    fi
    # Unquoted: one word a package.
    [ -z "$missing" ] || lacks $missing
    echo "$python"
}

ready_test() {
    missing=""
    loadable=$(PATH="$PATH:/sbin:/usr/sbin" ldconfig -p)
    for library in libgomp.so.1:libgomp1 libatomic.so.1:libatomic1; do
        case "$loadable" in
            *"${library%%:*} "*) ;;
            *) missing="$missing ${library##*:}" ;;
        esac
    done
    [ -x /usr/bin/chromium ] || missing="$missing chromium"
    command -v pdftotext >/dev/null 2>&1 || missing="$missing poppler-utils"
    [ -n "$missing" ] || return 0
    [ "$(id -u)" = 0 ] || lacks $missing
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq
    apt-get install -y -qq --no-install-recommends $missing
}

case "${1:-}" in
    python) ready_python ;;
    test) ready_test ;;
    *) sed -n '2,5s/^# \{0,1\}//p' "$0" >&2; exit 2 ;;
esac
