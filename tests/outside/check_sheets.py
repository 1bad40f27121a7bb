"""Checks the pictures of sheets and the templates of a finished output folder.

    .venv/bin/python tests/outside/check_sheets.py OUT_DIR

Reads OUT_DIR/report.json, the flats as DXF, the pictures of sheets as SVG, and the templates as
PDF, by its outlines. A picture: every piece of the layout has its number on it, within the metal, or beside it with a leader
from a dot in its metal;
the legend's quantities are those of the layout; the strip says what the report says; the remnant
measures what is printed, is clear of all pieces, and adds up with what is used; no word lies on
another or beyond the frame. A template: every copy of the part is there at true size, whole, clear
of the others, and the pages are as many as they say. Prints one line for each fact that fails and
one line of totals; exits 1 when a fact failed or when there was nothing to check, 2 without a
report.
"""

import math
import re
import xml.etree.ElementTree as ElementTree

import ezdxf
import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
from check_drawings import read
from check_dxf import UNITS, loop_of, placed, plates
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from tally import Tally, folder_and_report

SPACE = "{http://www.w3.org/2000/svg}"
NEAR = 0.02  # mm on paper: what is written with three decimals
MARGIN = 9.0  # mm, from the edge of the paper to the frame
SCISSORS = 1.9  # mm, between two pieces of a template
LANDING = 2.0  # mm, between the end of a leader and what it leads to
ZONES = 5.0  # mm, where numbers of zones stand outside the frame
MM = 25.4 / 72


def flat(folder, name, units):
    """The metal of a part as its DXF has it, mm."""
    _, scale = UNITS[units]
    space = ezdxf.readfile(folder / "flats" / f"{name}.dxf").modelspace()
    loops = [loop_of(entity, scale) for entity in space if entity.dxf.layer == "CUT"]
    [(shape, _)] = plates([loop for loop in loops if loop])
    return shape


class Word:
    def __init__(self, element, page):
        self.text, self.page = element.text or "", page
        size, length = float(element.get("font-size")), float(element.get("textLength"))
        self.height = size * 0.714
        turned = element.get("transform")
        if turned:
            x, y = map(float, re.match(r"translate\((\S+) (\S+)\)", turned).groups())
            self.box = box(x - self.height, y - length, x, y)
        else:
            x, y = float(element.get("x")), float(element.get("y"))
            self.box = box(x, y - self.height, x + length, y)
        self.heavy = element.get("class") == "heavy"
        self.start = (x, y)


def pages_of(path):
    root = ElementTree.parse(path).getroot()
    width = float(root.get("width").removesuffix("mm"))
    return width, [group for group in root if group.tag == f"{SPACE}g"]


def check_words(tally, words, size, where):
    width, height = size
    for i, word in enumerate(words):
        tally.check(word.height > 2.49, where, f"{word.text!r} is {word.height:.2f} mm high")
        inside = word.box.within(box(ZONES, ZONES, width - ZONES, height - ZONES))
        tally.check(inside, where, f"{word.text!r} leaves the page")
        over = [other.text for other in words[:i] if other.box.intersection(word.box).area > 0.05]
        tally.check(not over, where, f"{word.text!r} lies on {over}")


def check_legend(tally, words, counts, where):
    """The number of each part, by the rows of the legend: number, name, quantity in one line."""
    numbers = {}
    for name, count in counts.items():
        # A long name takes several lines: the first is beside number and quantity.
        starts = [w for w in words if not w.heavy and len(w.text) > 1 and name.startswith(w.text.strip())]
        rows = []
        for start in starts:
            line = [w for w in words if w.heavy and abs(w.start[1] - start.start[1]) < 0.01]
            left = [w for w in line if w.box.bounds[2] < start.start[0] and w.text.isdigit()]
            right = [w for w in line if w.start[0] > start.box.bounds[2] and w.text.isdigit()]
            if left and right:
                near = min(left, key=lambda w: start.start[0] - w.start[0])
                rows.append((len(start.text), near.text, min(right, key=lambda w: w.start[0]).text))
        if tally.check(rows, where, f"{name} is not in the legend"):
            _, number, quantity = max(rows)
            numbers[name] = number
            tally.check(int(quantity) == count, where, f"{quantity} of {name}, the layout has {count}")
    tally.check(len(set(numbers.values())) == len(numbers), where, "two parts have one number")
    return numbers


def check_picture(tally, folder, sheet, report, flats):
    path = folder / sheet["file"].replace(".dxf", "-picture.svg")
    where = path.name
    if not tally.check(path.exists(), where, "there is no picture"):
        return
    pdf = pdfium.PdfDocument(path.with_suffix(".pdf"))
    width, pages = pages_of(path)
    tally.check(len(pdf) == len(pages), where, f"{len(pages)} pages, as PDF {len(pdf)}")
    height = pdf[0].get_height() * MM
    words = [[Word(e, i) for e in page.iter(f"{SPACE}text")] for i, page in enumerate(pages)]
    counts = {}
    for row in sheet["placed"]:
        counts[row["part"]] = counts.get(row["part"], 0) + 1
    everywhere = [word for page in words for word in page]
    numbers = check_legend(tally, everywhere, counts, where)
    said = [word.text for word in words[0]]
    inch = report["units"] == "in"
    cut = sheet["cut_length_mm"]
    cut = f"{cut / 304.8:.1f}" if inch else f"{cut / 1000:.2f}"
    plain = lambda text: text.rstrip("0").rstrip(".") if "." in text else text
    for wanted in [
        f"{plain(cut)} {'ft' if inch else 'm'}",
        str(sheet["pierces"]),
        f"{plain(format(sheet['yield_percent'], '.2f'))} %",
        f"{plain(format(sheet['used']['gross_percent'], '.2f'))} %",
        f"{plain(format(sheet['used']['upper_bound_percent'], '.2f'))} %",
        f"{sheet['cost']:.2f}" if "cost" in sheet else "not given",
    ]:
        stands = any(wanted == text or wanted in text.split(", ") for text in said)
        tally.check(stands, where, f"{wanted!r} is not in the strip")
    numbered = set()
    for i, page in enumerate(pages):
        check_words(tally, words[i], (width, height), f"{where} page {i + 1}")
        numbered |= check_pieces(tally, page, words[i], sheet, numbers, flats, f"{where} page {i + 1}")
    short = [re.search(r"(\d+) pieces? (?:is|are) too small for a number", word.text) for word in everywhere]
    short = max((int(found[1]) for found in short if found), default=0)
    bare = len(sheet["placed"]) - len(numbered)
    tally.check(bare == short, where, f"{bare} pieces have no number, {short} are said")
    first = pages[0].findall(f".//{SPACE}g[@data-kind='piece']")
    tally.check(len(first) == len(sheet["placed"]), where, f"{len(first)} pieces, the layout has {len(sheet['placed'])}")
    check_remnant(tally, pages[0], words[0], sheet, inch, where)


def window_of(page, note):
    """What of a page shows an item: the window it stands in, else all."""
    parents = {child: parent for parent in page.iter() for child in parent}
    while note in parents and not note.get("clip-path"):
        note = parents[note]
    name = (note.get("clip-path") or "")[5:-1]
    for clip in page.iter(f"{SPACE}clipPath"):
        if clip.get("id") == name:
            points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", clip.find(f"{SPACE}path").get("d"))
            xs, ys = zip(*((float(x), float(y)) for x, y in points))
            return box(min(xs), min(ys), max(xs), max(ys))
    return box(-1e6, -1e6, 1e6, 1e6)


def leaders(page):
    """The leaders that begin at a dot: the centre of the dot, and the other end."""
    circle = re.compile(r"M(\S+) (\S+) A0\.5 0\.5 0 0 0 (\S+) (\S+) A")
    drawn = [path.get("d") for path in page.iter(f"{SPACE}path")]
    dots = [tuple(map(float, found.groups())) for found in map(circle.match, drawn) if found]
    dots = [((x + to) / 2, y) for x, y, to, _ in dots]
    straight = [d for d in drawn if not re.search("[AZ]", d)]
    ends = [[tuple(map(float, at)) for at in re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)] for d in straight]
    ends = [(at[0], at[-1]) for at in ends if len(at) > 1]
    ends += [(b, a) for a, b in ends]
    return [(dot, b) for dot in dots for a, b in ends if math.dist(dot, a) < NEAR]


def check_pieces(tally, page, words, sheet, numbers, flats, where):
    notes = page.findall(f".//{SPACE}g[@data-kind='piece']")
    shapes = [placed(flats[row["part"]], row) for row in sheet["placed"]]
    numbered = set()
    if not notes:
        return numbered
    scale, window = float(notes[0].get("data-scale")), window_of(page, notes[0])
    foot = lambda note: tuple(map(float, note.get("data-feet").split(",")))
    # Pieces of the page against those of the layout, by the centre of their boxes.
    centre = lambda shape: ((shape.bounds[0] + shape.bounds[2]) / 2, (shape.bounds[1] + shape.bounds[3]) / 2)
    centres = [centre(shape) for shape in shapes]
    led = leaders(page)
    x0, y0 = min(f[0] for f in map(foot, notes)), max(f[1] for f in map(foot, notes))
    left, low = min(c[0] for c in centres), min(c[1] for c in centres)
    spots = [(x0 + (x - left) * scale, y0 - (y - low) * scale) for x, y in centres]
    for i, (shape, spot, row) in enumerate(zip(shapes, spots, sheet["placed"])):
        number = numbers.get(row["part"])
        near = [n for n in notes if math.dist(foot(n), spot) < NEAR and n.get("data-text") == number]
        tally.check(near, where, f"no piece {number} at {spot}, where {row['part']} lies")
        x, y = centre(shape)
        drawn = affinity.affine_transform(shape, [scale, 0, 0, -scale, spot[0] - x * scale, spot[1] + y * scale])
        on = [w for w in words if w.text == number and w.heavy and w.box.within(drawn)]
        of = [w for w in words if w.text == number and w.heavy]
        ends = [end for dot, end in led if drawn.contains(Point(dot))]
        beside = any(w.box.distance(Point(end)) < LANDING for w in of for end in ends)
        if on or beside:
            numbered.add(i)
        seen = drawn.intersection(window)
        foreign = [w.text for w in words if w.box.intersection(seen).area > 1e-3 and w not in on]
        tally.check(not foreign, where, f"{foreign} lie on {row['part']}")
    return numbered


def check_remnant(tally, page, words, sheet, inch, where):
    size = sheet.get("remnant_mm")
    if not size:
        return
    notes = page.findall(f".//{SPACE}g[@data-kind='piece']")
    scale = float(notes[0].get("data-scale"))
    dashed = [p for p in page.iter(f"{SPACE}path") if p.get("stroke-dasharray", "").replace(",", " ").split() == ["3", "1.2"]]
    found = []
    for path in dashed:
        points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d"))
        xs, ys = [float(x) for x, _ in points], [float(y) for _, y in points]
        found.append(((max(xs) - min(xs)) / scale, (max(ys) - min(ys)) / scale))
    near = [f for f in found if all(abs(a - b) < NEAR / scale for a, b in zip(f, size))]
    tally.check(near, where, f"the remnant is drawn {found}, the report says {size}")
    step = 0.254 if inch else 0.1
    written = [f"{round(mm / (25.4 if inch else 1), 3):g}" for mm in size]
    text = " × ".join(written)
    tally.check(any(text in w.text for w in words), where, f"{text!r} is not printed")
    # Behind all pieces, whether keep-outs leave its whole width or not.
    if sheet["remnant_at_mm"][0] >= sheet["used_length_mm"] > 0:
        whole = sheet["used"]["length_mm"] + size[0]
        tally.check(abs(whole - sheet["size_mm"][0]) < 1e-6, where, f"used and remnant are {whole}")
    for mm, all_of in zip(size, sheet["size_mm"]):
        steps = mm / step
        rounded = abs(steps - round(steps)) < 1e-6 or abs(mm - all_of) < 1e-6
        tally.check(rounded, where, f"the remnant of {mm} mm is not rounded down")


def check_clear(tally, sheet, flats):
    """The remnant is as far from all pieces as they are from each other."""
    if "remnant_mm" not in sheet:
        return
    (x, y), (long, wide) = sheet["remnant_at_mm"], sheet["remnant_mm"]
    remnant = box(x, y, x + long, y + wide)
    least = min(remnant.distance(placed(flats[row["part"]], row)) for row in sheet["placed"])
    tally.check(least >= sheet["gap_mm"] - 1e-3, sheet["file"], f"the remnant is {least} mm from a piece")


STEPS = np.arange(1, 17) / 16
# The weights of the four points of a cubic curve in 16 places along it.
CURVE = np.stack(
    [(1 - STEPS) ** 3, 3 * STEPS * (1 - STEPS) ** 2, 3 * STEPS**2 * (1 - STEPS), STEPS**3], axis=1
)


def closed_paths(page):
    """The closed outlines of a page in mm, y up, as polygons; curves in pieces."""
    found = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=4):
        matrix = item.get_matrix()
        count = raw.FPDFPath_CountSegments(item.raw)
        points, pending = [], []
        for i in range(count):
            segment = raw.FPDFPath_GetPathSegment(item.raw, i)
            x, y = raw.c_float(), raw.c_float()
            raw.FPDFPathSegment_GetPoint(segment, x, y)
            p = tuple(v * MM for v in matrix.on_point(x.value, y.value))
            kind = raw.FPDFPathSegment_GetType(segment)
            if kind == raw.FPDF_SEGMENT_BEZIERTO:
                pending.append(p)
                if len(pending) == 3:
                    a, (b, c, d) = points[-1], pending
                    points.extend(map(tuple, CURVE @ (a, b, c, d)))
                    pending = []
            else:
                if kind == raw.FPDF_SEGMENT_MOVETO:
                    points = []
                points.append(p)
            if raw.FPDFPathSegment_GetClose(segment) and len(points) > 2:
                found.append(Polygon(points))
    return found


def congruent(shape, wanted):
    """Whether a shape is another, turned but not mirrored."""
    if abs(shape.area - wanted.area) > 2e-3 * wanted.area + 0.02:
        return False
    if abs(shape.length - wanted.length) > 2e-3 * wanted.length + 0.02:
        return False
    to_centre = lambda s: affinity.translate(s, -s.centroid.x, -s.centroid.y)
    a, b = to_centre(shape), to_centre(wanted)
    return any(coincide(a, affinity.rotate(b, angle, origin=(0, 0))) for angle in range(0, 360, 15))


def coincide(a, b):
    """Whether no point of either is 0.1 mm from the other; what no box can show is measured."""
    return all(abs(i - j) < 0.1 for i, j in zip(a.bounds, b.bounds)) and a.hausdorff_distance(b) < 0.1


def check_template(tally, path, wanted, where):
    """`wanted` are outlines with how often each is cut."""
    document = pdfium.PdfDocument(path)
    text = " ".join(read(page) for page in document)
    times = int((re.search(r"Print these pages (\d+) times", text) or [0, 1])[1])
    said = re.search(r"page 1 of (\d+)", text)
    pages = int(said[1]) if said else 1
    tally.check(pages == len(document), where, f"{len(document)} pages, says {pages}")
    if "To join" in text:
        return
    found = {name: 0 for name in wanted}
    for i, page in enumerate(document):
        width, height = page.get_width() * MM, page.get_height() * MM
        pieces = []
        for shape in closed_paths(page):
            name = next((n for n, (w, _) in wanted.items() if congruent(shape, w)), None)
            if name:
                found[name] += 1
                pieces.append(shape)
                inside = shape.within(box(10, 10, width - 10, height - 10))
                tally.check(inside, f"{where} page {i + 1}", f"{name} is cut off")
        for k, piece in enumerate(pieces):
            apart = min((piece.distance(other) for other in pieces[:k]), default=9.0)
            tally.check(apart >= SCISSORS, f"{where} page {i + 1}", f"two pieces are {apart:.2f} mm apart")
    for name, (_, pieces) in wanted.items():
        enough = pieces <= found[name] * times < pieces + times
        tally.check(enough, where, f"{found[name]} outlines of {name} printed {times} times, {pieces} are cut")


def main():
    folder, report = folder_and_report()
    tally = Tally()
    flats = {part["name"]: flat(folder, part["name"], report["units"]) for part in report["parts"]}
    for sheet in report["sheets"]:
        check_picture(tally, folder, sheet, report, flats)
        check_clear(tally, sheet, flats)
    for part in report["parts"]:
        path = folder / "templates" / f"{part['name']}.pdf"
        if path.exists():
            outline = Polygon(flats[part["name"]].exterior)
            check_template(tally, path, {part["name"]: (outline, max(1, part["pieces"]))}, path.name)
    tally.end()


if __name__ == "__main__":
    main()
