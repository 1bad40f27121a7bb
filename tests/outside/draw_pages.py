"""Draws one page of a PDF as PNG, for the pictures of the documents.

    .venv/bin/python tests/outside/draw_pages.py FILE.pdf PICTURE.png
    .venv/bin/python tests/outside/draw_pages.py --same FILE.pdf PICTURE.png

With --same nothing is written: exits 1 when the picture is not of this file. Renderers
differ by a shade at edges, so a few pixels in a thousand may.
"""

import sys

import numpy as np
import pypdfium2 as pdfium
from PIL import Image

PER_INCH = 75
SHADE = 64
SHARE = 0.002


def draw(path):
    page = pdfium.PdfDocument(path)[0]
    return page.render(scale=PER_INCH / 72).to_pil().convert("L").quantize(16)


def main():
    same = sys.argv[1] == "--same"
    path, picture = sys.argv[-2:]
    drawn = draw(path)
    if not same:
        drawn.save(picture, optimize=True)
        return 0
    known = np.asarray(Image.open(picture).convert("L")).astype(int)
    found = np.asarray(drawn.convert("L")).astype(int)
    if known.shape != found.shape:
        print(f"{picture} has another size than {path}")
        return 1
    off = (abs(known - found) > SHADE).mean()
    if off > SHARE:
        print(f"{picture} differs from {path} in {100 * off:.1f} % of its pixels")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
