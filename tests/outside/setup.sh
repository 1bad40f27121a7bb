#!/usr/bin/env bash
# Makes .venv in the root of the repository and installs the pinned foreign readers.
# May be run again at any time.
set -euo pipefail
cd "$(dirname "$0")/../.."
stop() {
    echo "setup.sh: $1" >&2
    exit 1
}
command -v python3 >/dev/null || stop "python3 is missing: install it (Debian: apt-get install python3 python3-venv)"
# A machine may have Python and lack what makes an environment.
python3 -c "import ensurepip, venv" 2>/dev/null ||
    stop "python3 cannot make environments: install its venv (Debian: apt-get install python3-venv)"
# An environment that was cut short has no pip.
.venv/bin/python -m pip --version >/dev/null 2>&1 || python3 -m venv --clear .venv
.venv/bin/python -m pip install --quiet --disable-pip-version-check -r tests/outside/requirements.txt
echo "ready: .venv/bin/python tests/outside/check_dxf.py OUT_DIR"
