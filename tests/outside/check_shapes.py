"""Measures and places the parts of a finished output folder anew, with other tools.

    .venv/bin/python tests/outside/check_shapes.py OUT_DIR

check_dxf.py believes in the bulges of a file; here ezdxf takes every outline apart into
lines and arcs, they are flattened finely, and shapely measures what comes of it:

- area and length of each flat against OUT_DIR/report.json;
- each sheet against the flats: the part's own file, turned about its origin and shifted
  as the report says, must be one plate of the sheet, and all plates of it;
- the gaps between the plates so placed, and from the edge;
- where OUT_DIR/belts.json gives a flat as discs under a belt, the flat against shapely's
  convex hull of the discs.

Prints one line for each fact that fails and one line of totals; exits 1 when a fact
failed or when there was nothing to check, 2 without a report.
"""

import json
import math

import ezdxf
import shapely
from check_dxf import NEAR, UNITS, placed
from shapely import STRtree
from shapely.affinity import translate
from shapely.geometry import GeometryCollection, LinearRing, Point, Polygon
from tally import Tally, folder_and_report

SHARE = 2e-4  # areas and lengths agree within 0.02 %
FLAT = 5e-4  # mm an arc may lie from its chords


def cut_of(path):
    """What is on layer CUT."""
    return [e for e in ezdxf.readfile(path).modelspace() if e.dxf.layer == "CUT"]


def rings(cut, units, flat=FLAT):
    """What is cut, as closed rings of points in mm."""
    scale = UNITS[units][1]
    return [[(x * scale, y * scale) for x, y in points(e, flat / scale)] for e in cut]


def points(entity, flat):
    if entity.dxftype() == "CIRCLE":
        return [(p.x, p.y) for p in entity.flattening(flat)]
    chain = []
    for corner, piece in zip(entity.get_points("xy"), entity.virtual_entities()):
        chain.append(tuple(corner))
        if piece.dxftype() == "LINE":
            continue
        run = [(p.x, p.y) for p in piece.flattening(flat)]
        # Arcs are given anticlockwise, whichever way the outline runs.
        if math.dist(run[-1], corner) < math.dist(run[0], corner):
            run.reverse()
        chain += run[1:-1]
    return chain


def plate(found):
    """The largest ring with the others as its holes."""
    found = sorted(found, key=lambda ring: Polygon(ring).area, reverse=True)
    return Polygon(found[0], found[1:])


def check_flat(name, cut, part, units, tally):
    shape = plate(rings(cut, units))
    tally.check(shape.is_valid, name, "its outlines cross or touch")
    tally.same(shape.area, part["area_mm2"], name, "area", SHARE)
    tally.same(shape.length, part["cut_length_mm"], name, "cut length", SHARE)
    holes = len(shape.interiors)
    tally.check(holes == part["holes"], name, f"{holes} holes, the report says {part['holes']}")
    left, low, right, high = shape.bounds
    away = max(abs(left), abs(low))
    tally.check(away <= NEAR, name, f"its lower left corner lies {away:.4f} mm from the origin")
    for found, wanted in zip((right, high), part["size_mm"]):
        good = abs(found - wanted) <= NEAR
        tally.check(good, name, f"measures {found:.4f} mm, the report says {wanted:.4f}")
    return shape


def check_belt(name, shape, belt, tally):
    """A belt round discs is their convex hull; discs without radius are points."""
    discs = [Point(x, y).buffer(r, quad_segs=4096) if r else Point(x, y) for x, y, r in belt["discs"]]
    hull = GeometryCollection(discs).convex_hull
    left, low, _, _ = hull.bounds
    for x, y, r in belt["holes"]:
        hull -= Point(x, y).buffer(r, quad_segs=4096)
    hull = translate(hull, -left, -low)
    off = hull.symmetric_difference(shape).area
    good = off <= SHARE * hull.area
    tally.check(good, name, f"differs by {off:.5f} mm² from the hull of its discs")


def alike(one, other):
    """No corner of either lies further than NEAR from the other."""
    near = all(abs(a - b) <= 2 * NEAR for a, b in zip(one.bounds, other.bounds))
    return near and lies_on(one, other) and lies_on(other, one)


def lies_on(ring, other):
    shapely.prepare(other)
    # The first of the two is looked up in its index.
    return bool(shapely.dwithin(other, shapely.points(ring.coords), NEAR).all())


def check_sheet(folder, sheet, units, shapes, tally):
    name = sheet["file"]
    laid = [placed(shapes[p["part"]], p) for p in sheet["placed"]]
    cuts = [LinearRing(ring) for ring in rings(cut_of(folder / name), units)]
    tree, free = STRtree(cuts), set(range(len(cuts)))
    for place, shape in zip(sheet["placed"], laid):
        for ring in (shape.exterior, *shape.interiors):
            near = (i for i in tree.query(ring) if i in free)
            same = next((i for i in near if alike(ring, cuts[i])), None)
            words = f"{place['part']} is not cut at {place['x_mm']}, {place['y_mm']}"
            if tally.check(same is not None, name, words):
                free.remove(same)
    tally.check(not free, name, f"{len(free)} of its cuts belong to no part of the report")
    gap, margin = sheet["gap_mm"], sheet["margin_mm"]
    close = zip(*STRtree(laid).query(laid, predicate="dwithin", distance=gap + 1))
    least = min((laid[i].distance(laid[j]) for i, j in close if i < j), default=math.inf)
    tally.check(least >= gap - NEAR, name, f"two parts are {least:.4f} mm apart, not {gap}")
    reported = sheet["min_gap_mm"]
    if reported is not None and least < math.inf:
        good = abs(reported - least) <= NEAR
        tally.check(good, name, f"the least gap is {least:.4f} mm, the report says {reported}")
    length, width = sheet["size_mm"]
    left, low, right, high = shapely.total_bounds(laid)
    least = min(left, low, length - right, width - high)
    tally.check(least >= margin - NEAR, name, f"a part is {least:.4f} mm from the edge, not {margin}")


def check_folder(folder, report, belts, tally):
    units, shapes = report["units"], {}
    for part in report["parts"]:
        name = part["name"]
        for file in part["files"]:
            if file.endswith(".dxf"):
                cut = cut_of(folder / file)
                shape = check_flat(file, cut, part, units, tally)
                if name in belts:
                    check_belt(file, shape, belts[name], tally)
                shapes[name] = shape
        tally.check(name in shapes, name, "has no DXF file")
    for name in belts:
        tally.check(name in shapes, name, "is given as a belt but is not in the report")
    for sheet in report["sheets"]:
        check_sheet(folder, sheet, units, shapes, tally)
    tally.check(bool(shapes), str(folder), "holds no part")


def main():
    folder, report = folder_and_report()
    belts = folder / "belts.json"
    belts = json.loads(belts.read_text(encoding="utf-8")) if belts.exists() else {}
    tally = Tally()
    check_folder(folder, report, belts, tally)
    tally.end()


if __name__ == "__main__":
    main()
