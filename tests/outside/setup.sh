#!/bin/sh
# Makes .venv in the root of the repository and installs the pinned foreign readers.
# May be run again at any time.
set -eu
cd "$(dirname "$0")/../.."
[ -x .venv/bin/python ] || python3 -m venv .venv
.venv/bin/python -m pip install --quiet --disable-pip-version-check -r tests/outside/requirements.txt
echo "ready: .venv/bin/python tests/outside/check_dxf.py OUT_DIR"
