"""Pictures of the page of the demo for the README: a desk and a phone.

    .venv/bin/python tests/outside/draw_page.py PROGRAM FOLDER DESK.png PHONE.png
    .venv/bin/python tests/outside/draw_page.py --same PROGRAM FOLDER DESK.png PHONE.png

FOLDER holds the demo as parts/jobs and parts/shop.toml. With --same nothing is written: exits 1 when a
picture is not of this page. Letters differ from machine to machine, so pictures are compared by what
stands where: in tiles, of which few may differ by more than a shade.
"""

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
from browser import ARGUMENTS, browser_path
from PIL import Image
from playwright.sync_api import sync_playwright

VIEWS = [("#/part/box-switch", 1280, 860, False), ("#/load/0", 390, 844, True)]
# Px of a tile, by how much its mean may differ, and the share of tiles that may differ by more.
TILE, SHADE, SHARE = 20, 36, 0.06


def drawn(program, folder):
    job = "parts/jobs/vineyard-cart.toml"
    run = subprocess.Popen([program, "page", job], cwd=folder, stdout=subprocess.PIPE, text=True)
    try:
        address = run.stdout.readline().strip()
        with sync_playwright() as tools:
            browser = tools.chromium.launch(executable_path=browser_path(), args=ARGUMENTS)
            for view, width, height, touch in VIEWS:
                page = browser.new_context(viewport={"width": width, "height": height}, has_touch=touch).new_page()
                page.goto(address)
                page.wait_for_selector("html[data-ready]")
                page.evaluate("view => { location.hash = view }", view)
                # The layout, the form, and the formed part.
                for part in ("#sum b", ".cells input", ".turn[data-drawn]"):
                    page.wait_for_selector(part)
                page.wait_for_timeout(300)
                shot = Image.open(io.BytesIO(page.screenshot()))
                yield shot.convert("RGB")
            browser.close()
    finally:
        run.kill()
        run.wait()


def tiles(picture):
    grey = np.asarray(picture.convert("L")).astype(float)
    high, wide = (n // TILE * TILE for n in grey.shape)
    return grey[:high, :wide].reshape(high // TILE, TILE, wide // TILE, TILE).mean((1, 3))


def main():
    same = sys.argv[1] == "--same"
    program, folder, *paths = sys.argv[-4:]
    wrong = 0
    for picture, path in zip(drawn(program, Path(folder)), paths):
        if not same:
            picture.quantize(64).save(path, optimize=True)
            continue
        known = Image.open(path)
        if known.size != picture.size:
            print(f"{path} has another size than the page")
            return 1
        off = (abs(tiles(known) - tiles(picture)) > SHADE).mean()
        if off > SHARE:
            print(f"{path} differs from the page in {100 * off:.1f} % of its tiles")
            wrong = 1
    return wrong


if __name__ == "__main__":
    sys.exit(main())
