"""Compares openings that lighten plates with those that shapely finds by its own buffers.

    python check_lighten.py PLATES

PLATES is JSON: for each plate its outline, holes and openings as edges (from, to, bulge), the
wall, the radius of the corners, and the ribs with their width. Without `openings` the program
refused the plate because metal would fall out of one.
"""

import json
import math
import sys

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

STEPS = 256  # chords of a quarter of a circle
AREA = 0.2  # mm² by which the chords may change an area
OFF = 2e-3  # mm by which they may change a distance


def polygon(edges):
    points = []
    for (x, y), (u, v), bulge in edges:
        points.append((x, y))
        if bulge == 0:
            continue
        # Distance of the centre to the left of the chord, in chords, from its middle.
        off = (1 - bulge * bulge) / (4 * bulge)
        cx, cy = (x + u) / 2 - off * (v - y), (y + v) / 2 + off * (u - x)
        radius, start = math.hypot(x - cx, y - cy), math.atan2(y - cy, x - cx)
        sweep = 4 * math.atan(bulge)
        count = max(2, int(abs(sweep) / (math.pi / 2) * STEPS))
        for k in range(1, count):
            angle = start + sweep * k / count
            points.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle)))
    return Polygon(points)


def pieces(shape):
    return [p for p in getattr(shape, "geoms", [shape]) if not p.is_empty and p.area > 1e-4]


def main():
    plates = json.load(open(sys.argv[1]))
    totals = {"plates": len(plates), "same": 0, "parted": 0, "round_metal": 0}
    faults = []

    def expect(holds, *words):
        if not holds:
            faults.append(" ".join(map(str, words)))

    for i, plate in enumerate(plates):
        wall, radius, width = plate["wall"], plate["radius"], plate["width"]
        outer = polygon(plate["outer"])
        holes = [polygon(h) for h in plate["holes"]]
        assert outer.is_valid and all(h.is_valid for h in holes)
        kept = [outer.exterior.buffer(wall + radius, quad_segs=STEPS)]
        kept += [h.buffer(wall + radius, quad_segs=STEPS) for h in holes]
        ribs = [LineString(r) for r in plate["ribs"]]
        kept += [r.buffer(width / 2 + radius, quad_segs=STEPS) for r in ribs]
        centres = pieces(outer.difference(unary_union(kept)))
        wanted = [c.buffer(radius, quad_segs=STEPS) for c in centres]
        if "openings" not in plate:
            totals["round_metal"] += 1
            encloses = any(len(p.interiors) > 0 for p in wanted)
            expect(encloses, i, "refused, but no metal would fall out")
            continue
        openings = [polygon(o) for o in plate["openings"]]
        assert all(o.is_valid for o in openings)
        expect(all(not p.interiors for p in wanted), i, "metal falls out")
        between = min([wall] + ([width] if ribs else []))
        for a, one in enumerate(openings):
            expect(outer.contains(one), i, "an opening off the plate")
            expect(one.distance(outer.exterior) >= wall - OFF, i, "wall at the edge")
            expect(all(one.distance(h) >= wall - OFF for h in holes), i, "wall at a hole")
            expect(all(one.distance(r) >= width / 2 - OFF for r in ribs), i, "rib")
            expect(all(one.distance(o) >= between - OFF for o in openings[:a]), i, "between")
            # No corner is sharper than the radius: opening it by a disc changes nothing.
            smooth = one.buffer(-radius + OFF, quad_segs=STEPS).buffer(radius - OFF, quad_segs=STEPS)
            expect(one.area - smooth.area < AREA, i, "a corner is sharp", one.area - smooth.area)
        cut, all_of = unary_union(openings), unary_union(wanted)
        expect(cut.difference(all_of).area < AREA, i, "more is cut than shapely cuts")
        near = [
            (a, b)
            for k, a in enumerate(centres)
            for b in centres[:k]
            if a.distance(b) < between + 2 * radius - OFF
        ]
        missing = all_of.difference(cut)
        if not near:
            totals["same"] += bool(openings)
            expect(missing.area < AREA, i, "less is cut than shapely cuts", missing.area)
        else:
            totals["parted"] += 1
            # What is missing lies at necks: a rib there is four times as long as wide.
            reach = 4 * (between + 2 * radius)
            necks = unary_union([a.buffer(reach).intersection(b.buffer(reach)) for a, b in near])
            expect(missing.difference(necks).area < AREA, i, "missing away from a neck")
    print("\n".join(faults) if faults else json.dumps(totals))
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
