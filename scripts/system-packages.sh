#!/bin/sh
# Bring the programs that some checks and tests drive. "required": fail without them. "wanted": say so
# and go on.
set -eu
need=${1:-wanted}

missing=""
command -v soffice >/dev/null 2>&1 || missing="$missing libreoffice-calc-nogui"
command -v pdftoppm >/dev/null 2>&1 || missing="$missing poppler-utils"
command -v chromium >/dev/null 2>&1 || missing="$missing chromium"
command -v tsc >/dev/null 2>&1 || missing="$missing node-typescript"
# The server is not on the path: its programs lie in a folder of their version.
{ command -v initdb || ls /usr/lib/postgresql/*/bin/initdb; } >/dev/null 2>&1 ||
    missing="$missing postgresql"
[ -z "$missing" ] && exit 0

if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
    echo "Installing for the tests:$missing"
    if apt-get update -qq && DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends $missing >/dev/null; then
        exit 0
    fi
fi
if [ "$need" = required ]; then
    echo "These packages are needed and could not be installed:$missing" >&2
    exit 1
fi
echo "Left out: the checks and tests that need$missing. To run them: sudo apt-get install$missing"
