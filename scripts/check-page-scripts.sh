#!/bin/sh
# Check the scripts of the pages. "required": fail without the checker. "wanted": say so and go on.
set -eu
need=${1:-wanted}
cd "${0%/*}/.."

if command -v tsc >/dev/null 2>&1; then
    exec node scripts/check-page-scripts.cjs "$(command -v tsc)" tsconfig.json tsconfig.worker.json
fi
if [ "$need" = required ]; then
    echo "The scripts of the pages could not be checked: node-typescript is missing" >&2
    exit 1
fi
echo "Left out: the check of the pages' scripts. To run it: sudo apt-get install node-typescript"
