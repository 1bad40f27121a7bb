"""Checks the drawings and templates of a finished output folder by looking at them.

    .venv/bin/python tests/outside/check_drawings.py OUT_DIR

Reads OUT_DIR/report.json, then renders every page of drawings/ and templates/ with a
renderer that shares no code with the writer. Pages have the stated size, are not blank
and keep their margin; the name of the part and its general notes can be read out of the
file; on each page of a template the bars of 100 mm, both ways, and of 4 in are measured in
pixels, and flats that fit on one page have their true size; the wrap templates under tubes/
have the same bars. Prints one line for each fact that fails and one line of totals; exits 1
when a fact failed or when there was nothing to check, 2 without a report.
"""

import re

import numpy as np
import pypdfium2 as pdfium
from tally import Tally, folder_and_report

PER_MM = 20  # pixels; a bar is off by at most a pixel at each end
TOLERANCE = 0.1  # mm
DARK = 128
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MARGIN = 12.0  # mm to where the bars begin
LINE = 0.25  # mm, width of the finished edge
NOTES = ["Flat, ", "Blank size", "Tolerance", "Issue", "Checks: "]
CAUTION = "no check here proves strength"


def read(page):
    text = page.get_textpage()
    return " ".join(text.get_text_range().split())


def picture(page, per_mm):
    # Grey from the start: a page at this scale has 25 million pixels.
    return page.render(scale=per_mm * 25.4 / 72, grayscale=True).to_numpy().squeeze()


def size_of(page):
    return tuple(points * 25.4 / 72 for points in page.get_size())


def is_a_format(size):
    both = [size, size[::-1]]
    return any(abs(a - w) < 0.05 and abs(b - h) < 0.05 for a, b in both for w, h in SIZES.values())


def longest_run(line):
    """Ends of the longest dark stretch of a row of pixels."""
    dark = np.flatnonzero(np.diff(np.concatenate(([0], line < DARK, [0])).astype(int)))
    runs = dark.reshape(-1, 2)
    if not len(runs):
        return 0, 0
    return tuple(runs[np.argmax(runs[:, 1] - runs[:, 0])])


def bars(tally, pixels, where):
    """The level bars at the foot, in their lower half where no tick is, and the upright one."""
    height, width = pixels.shape
    row = lambda mm: pixels[height - 1 - round(mm * PER_MM)]
    for name, mm, wanted in [("100 mm", MARGIN + 0.5, 100.0), ("4 in", MARGIN + 5.5, 101.6)]:
        start, end = longest_run(row(mm))
        found = (end - start) / PER_MM
        tally.check(abs(found - wanted) <= TOLERANCE, where, f"the bar of {name} is {found:.2f} mm")
        begins = start / PER_MM
        tally.check(abs(begins - MARGIN) <= TOLERANCE, where, f"the bar of {name} begins at {begins:.2f} mm")
    column = pixels[:, width - 1 - round((MARGIN + 0.5) * PER_MM)]
    start, end = longest_run(column)
    found = (end - start) / PER_MM
    tally.check(abs(found - 100.0) <= TOLERANCE, where, f"the upright bar is {found:.2f} mm")


def true_size(tally, pixels, part, where):
    """The flat of a template of one page, by the outermost dark pixels of its window."""
    height, width = pixels.shape
    # The upright bar begins where the window does.
    column = pixels[:, width - 1 - round((MARGIN + 0.5) * PER_MM)]
    _, foot = longest_run(column)
    window = pixels[:foot, : width - round(16.5 * PER_MM)]
    # Letters are dark as well: the flat is found by the longest rows and columns of its outline.
    dark = window < DARK
    found = []
    for axis in (0, 1):
        reach = np.flatnonzero(dark.any(axis=axis))
        found.append((reach[-1] - reach[0] + 1) / PER_MM - LINE if len(reach) else 0.0)
    # A piece may lie turned on its page, and others beside it.
    for is_, wanted in zip(sorted(found), sorted(part["size_mm"])):
        # Labels and crosses near the edge may reach beyond it, never make it smaller.
        tally.check(is_ >= wanted - TOLERANCE, where, f"{is_:.2f} mm are seen of {wanted} mm")


def check_paper(tally, path, part):
    document = pdfium.PdfDocument(path)
    tally.check(len(document) > 0, path.name, "no page")
    words = " ".join(read(page) for page in document)
    for note in NOTES + [CAUTION, part["material"]]:
        tally.check(note in words, path.name, f"does not say {note!r}")
    for bend in part["bends"]:
        tally.check(bend["name"].replace("_", " ") in words, path.name, f"bend {bend['name']} is not in it")
    for i, page in enumerate(document):
        where = f"{path.name} page {i + 1}"
        tally.check(is_a_format(size_of(page)), where, f"is {size_of(page)}")
        squeezed = "".join(read(page).split())
        tally.check(part["name"].replace(" ", "") in squeezed, where, "does not name its part")
        pixels = picture(page, 4)
        margin = 4 * 4
        inside = pixels[margin:-margin, margin:-margin]
        tally.check((inside < DARK).sum() > 500, where, "is blank")
        outside = (pixels < DARK).sum() - (inside < DARK).sum()
        tally.check(outside == 0, where, "something reaches into its margin")


def fits(piece, page):
    """Whether a piece goes onto a page in one, beside the bar and above the words."""
    room = (page[0] - 30, page[1] - 80)
    return all(size <= free for size, free in zip(sorted(piece), sorted(room)))


def check_template(tally, path, part):
    document = pdfium.PdfDocument(path)
    tally.check(len(document) > 0, path.name, "no page")
    for i, page in enumerate(document):
        where = f"{path.name} page {i + 1}"
        tally.check(is_a_format(size_of(page)), where, f"is {size_of(page)}")
        words = read(page)
        apart = 2 if path.stem.endswith("-clock") else 1
        name = part["name"] if part else " ".join(path.stem.rsplit("-", apart))
        notes = ["side up", "finished edge", part["material"]] if part else ["this side out", "butt at the heel line"]
        for said in [name, "100 mm", "4 in", "100 %"] + notes:
            tally.check(said in words, where, f"does not say {said!r}")
        if part and part["holes_to_finish"]:
            steps = "pilot Ø" in words or "tap drill" in words
            tally.check(steps, where, "does not say which holes are finished after cutting")
        # Of one piece after the other, or of a piece larger than a page.
        if len(document) > 1 and (not part or not fits(part["size_mm"], size_of(page))):
            tally.check(re.search(r"join page \d+ here", words) and "To join" in words, where, "does not say how it is joined")
        pixels = picture(page, PER_MM)
        bars(tally, pixels, where)
        if part and len(document) == 1:
            true_size(tally, pixels, part, where)


def main():
    folder, report = folder_and_report()
    tally = Tally()
    for part in report["parts"]:
        for kind, check in [("drawings", check_paper), ("templates", check_template)]:
            path = folder / kind / f"{part['name']}.pdf"
            named = f"{kind}/{part['name']}.pdf"
            tally.check(named in part["files"], named, "the report does not name it")
            tally.check(path.exists(), named, "is missing")
            if path.exists():
                check(tally, path, part)
    for path in sorted((folder / "tubes").glob("*.pdf")):
        check_template(tally, path, None)
    tally.end()


if __name__ == "__main__":
    main()
