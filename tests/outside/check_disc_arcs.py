"""Compares outlines whose arcs touch discs with what another library rolls round them.

    python check_disc_arcs.py SHAPES.json

Each entry has `discs` (x, y, radius), perhaps a `foot` (half its width, and how far below 0 it
reaches), the `radius` of the arcs, less than 0 where they are hollow, and what was drawn: `area`
and `points`. Hollow arcs are those of a disc that rolls in the gap: the union, closed. Bulging ones
are the common part of all discs of that radius that hold both.
"""

import json
import sys

from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

QUARTER = 512  # chords in a quarter of a disc
AREA = 3e-4  # share by which areas differ: chords of the rolling disc
OUT = 5e-2  # mm by which an outline differs: chords, most where an arc ends in a cusp
BULGING = 2  # times the area for bulging arcs, of fewer chords and places


def disc(x, y, radius, quarter=QUARTER):
    return Point(x, y).buffer(radius, quad_segs=quarter)


def rolled(shape):
    parts = [disc(*of) for of in shape["discs"]]
    if "foot" in shape:
        half, down = shape["foot"]
        parts.append(box(-half, -down, half, 0))
    union, radius = unary_union(parts), shape["radius"]
    if radius < 0:
        return union.buffer(-radius, quad_segs=QUARTER).buffer(radius, quad_segs=QUARTER)
    # Where the centre of such a disc may be, its corners among the points taken.
    allowed = [disc(x, y, radius - r, 96) for x, y, r in shape["discs"]]
    centres = allowed[0].intersection(allowed[1])
    held = None
    for x, y in centres.exterior.coords:
        one = disc(x, y, radius, 128)
        held = one if held is None else held.intersection(one)
    return held


def main():
    shapes = json.load(open(sys.argv[1]))
    faults, worst_area, worst_out = [], 0.0, 0.0
    for i, shape in enumerate(shapes):
        drawn, other = Polygon(shape["points"]), rolled(shape)
        loose = 1 if shape["radius"] < 0 else BULGING
        off = abs(shape["area"] - other.area) / other.area / loose
        out = drawn.exterior.hausdorff_distance(other.exterior)
        worst_area, worst_out = max(worst_area, off), max(worst_out, out)
        if not drawn.is_valid or off > AREA or out > OUT:
            faults.append(f"shape {i}: area off by {off}, outline by {out} mm")
    said = {"shapes": len(shapes), "area": worst_area, "outline": worst_out}
    print(json.dumps({**said, "faults": faults[:5]}))
    return 1 if faults or not shapes else 0


if __name__ == "__main__":
    sys.exit(main())
