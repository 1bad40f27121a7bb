"""Compares what an arm sweeps with a dense union of its places, by another library.

    python check_arms.py ARMS.json

Each entry has the arm (`radius` from the pivot to the centre of its round end, `width`, `from`,
`sweep` in degrees), and what was drawn: `area` and `points`. No place of the arm may reach beyond
what was drawn, and what was drawn may hold no more than the union of its places and what lies
between two of them.
"""

import json
import math
import sys

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

ROUND = 64  # chords in a quarter of a round end
PLACES = 240  # of the arm, or more where they would lie farther apart than an eighth of its width
AREA = 1e-4  # share by which areas differ: chords and places


def main():
    arms = json.load(open(sys.argv[1]))
    faults, worst_out, worst_area, worst_over = [], 0.0, 0.0, 0.0
    for i, arm in enumerate(arms):
        radius, half = arm["radius"], arm["width"] / 2
        drawn = Polygon(arm["points"])

        def tip(share):
            angle = math.radians(arm["from"] + arm["sweep"] * share)
            return radius * math.cos(angle), radius * math.sin(angle)

        arc = radius * math.radians(arm["sweep"])
        many = max(PLACES, math.ceil(arc / (half / 4)))
        places = [
            LineString([(0, 0), tip(k / many)]).buffer(half, quad_segs=16) for k in range(many + 1)
        ]
        union = unary_union(places)
        # The gap between two places of the round ends, and between chords and an arc.
        between = half - math.sqrt(half * half - (arc / many / 2) ** 2)
        slack = between + 2 * half * (1 - math.cos(math.pi / 64)) + 1e-4
        out = union.difference(drawn.buffer(1e-4)).area
        over = drawn.difference(union.buffer(slack)).area
        # Exactly: the sector, grown by half the width.
        count = max(500, int(arm["sweep"] * 4))
        corners = [tip(k / count) for k in range(count + 1)]
        if arm["sweep"] < 360:
            corners = [(0, 0), *corners]
        exact = Polygon(corners).buffer(0).buffer(half, quad_segs=ROUND).area
        off = abs(arm["area"] - exact) / exact
        worst_out, worst_over = max(worst_out, out), max(worst_over, over)
        worst_area = max(worst_area, off)
        if out > 1e-6 or over > 1e-6 or off > AREA or not drawn.is_valid:
            faults.append(f"arm {i}: {out} mm² outside, {over} mm² too much, area off by {off}")
    said = {"arms": len(arms), "outside": worst_out, "over": worst_over, "area": worst_area}
    print(json.dumps({**said, "faults": faults[:5]}))
    return 1 if faults or not arms else 0


if __name__ == "__main__":
    sys.exit(main())
