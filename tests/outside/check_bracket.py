"""A fairing bracket as somebody draws it, and what becomes of it up to the order.

    .venv/bin/python tests/outside/check_bracket.py FOLDER draw
    .venv/bin/python tests/outside/check_bracket.py FOLDER check

The first writes FOLDER/bracket.dxf: a closed spline, three holes, a bend line on its own layer, a
note. The second measures the flat, the sheet and the order in FOLDER/out/job against that drawing.
"""

import sys
import zipfile
from pathlib import Path

import ezdxf
from check_curves import along
from ezdxf import path
from ezdxf.math import Vec3
from shapely.geometry import LineString, Point, Polygon

CURVE = [(0, 10), (40, 0), (90, 4), (120, 30), (112, 70), (60, 84), (12, 72), (-6, 40)]
HOLES = [((25, 25), 6.5), ((90, 25), 6.5), ((55, 65), 9.0)]
BEND = 45
NOTE = "FAIRING BRACKET LH, 2 OFF, 2 mm 5754"


def draw(folder):
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    for layer in ("OUTLINE", "BEND LINE", "NOTES"):
        document.layers.add(layer)
    space.add_spline(dxfattribs={"layer": "OUTLINE"}).set_closed([Vec3(p) for p in CURVE], degree=3)
    for at, diameter in HOLES:
        space.add_circle(at, diameter / 2, dxfattribs={"layer": "OUTLINE"})
    space.add_line((-20, BEND), (140, BEND), dxfattribs={"layer": "BEND LINE"})
    text = space.add_text(NOTE, dxfattribs={"layer": "NOTES", "height": 4})
    text.set_placement((0, -20))
    document.saveas(folder / "bracket.dxf")
    print("drawn")


def outline(space, layer):
    """The closed curves on a layer as polygons."""
    of_layer = [e for e in space if e.dxf.layer == layer]
    splines = [Polygon(along(e)) for e in of_layer if e.dxftype() == "SPLINE"]
    rows = [path.make_path(e).flattening(1e-4) for e in of_layer if e.dxftype() == "LWPOLYLINE"]
    return splines + [Polygon([(p.x, p.y) for p in row]) for row in rows]


def judged(space, wanted, pieces, what):
    """Facts of a cut file: outlines, holes, bend lines and texts of so many pieces."""
    yield f"{what}: no spline", not space.query("SPLINE")
    plates = outline(space, "CUT")
    yield f"{what}: {len(plates)} outlines", len(plates) == pieces
    for plate in plates:
        yield f"{what}: area {plate.area}, not {wanted.area}", abs(plate.area - wanted.area) < 0.02 * wanted.length
    sizes = sorted(round(2 * e.dxf.radius, 6) for e in space.query("CIRCLE") if e.dxf.layer == "CUT")
    yield f"{what}: holes {sizes}", sizes == sorted([d for _, d in HOLES] * pieces)
    bends = [e for e in space.query("LINE") if e.dxf.layer == "BEND"]
    yield f"{what}: {len(bends)} bend lines", len(bends) == pieces
    for bend in bends:
        line = LineString([bend.dxf.start.vec2, bend.dxf.end.vec2])
        inside = [plate for plate in plates if plate.buffer(0.05).contains(line)]
        yield f"{what}: a bend line in {len(inside)} pieces", len(inside) == 1
    words = [e.dxf.text for e in space.query("TEXT")]
    yield f"{what}: the note {words}", not any("FAIRING" in text for text in words)
    yield f"{what}: layers", {e.dxf.layer for e in space} <= {"CUT", "BEND", "MARK", "NOTE"}


def check(folder):
    drawn = ezdxf.readfile(folder / "bracket.dxf").modelspace()
    wanted = outline(drawn, "OUTLINE")[0]
    out = folder / "out/job"
    flat = ezdxf.readfile(out / "flats/my-bracket.dxf").modelspace()
    facts = list(judged(flat, wanted, 1, "flat"))
    left, bottom, right, top = wanted.bounds
    plate = outline(flat, "CUT")[0]
    moved = [plate.bounds[0] - left, plate.bounds[1] - bottom]
    sides = [plate.bounds[2] - moved[0] - right, plate.bounds[3] - moved[1] - top]
    facts.append((f"flat: bounds {plate.bounds}", max(map(abs, sides)) < 0.04))
    bend = next(e for e in flat.query("LINE") if e.dxf.layer == "BEND")
    ys = [bend.dxf.start.y - moved[1], bend.dxf.end.y - moved[1]]
    facts.append((f"flat: bend at {ys}", all(abs(y - BEND) < 0.03 for y in ys)))
    holes = [e.dxf.center for e in flat.query("CIRCLE") if e.dxf.layer == "CUT"]
    for at, diameter in HOLES:
        near = min(Point(c.x - moved[0], c.y - moved[1]).distance(Point(at)) for c in holes)
        # The corner of the flat is that of its arcs, within 0.02 mm of the curve both ways.
        facts.append((f"flat: hole {at}: {near}", near < 0.03))
    sheets = list(out.glob("sheets/*.dxf"))
    facts.append((f"{len(sheets)} sheets", len(sheets) == 1))
    facts += judged(ezdxf.readfile(sheets[0]).modelspace(), wanted, 2, "sheet")
    orders = list(out.glob("order/*.zip"))
    facts.append((f"{[o.name for o in orders]}", [o.name for o in orders] == ["5754-H111-2mm.zip"]))
    with zipfile.ZipFile(orders[0]) as archive:
        names = archive.namelist()
        cut = [name for name in names if name.endswith(".dxf")]
        facts.append((f"order: {names}", len(cut) == 1 and "_2x_" in cut[0]))
        archive.extract(cut[0], folder)
        facts += judged(ezdxf.readfile(folder / cut[0]).modelspace(), wanted, 1, "order")
    failed = [words for words, holds in facts if not holds]
    for words in failed:
        print(words)
    print(f"{len(facts) - len(failed)} passed, {len(failed)} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    where = Path(sys.argv[1])
    sys.exit(draw(where) if sys.argv[2] == "draw" else check(where))
