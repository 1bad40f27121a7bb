"""Holds tubes in space against the plates they were cut out of, by a model of its own.

    python check_space_tubes.py PLATES.json

Each plate has the points its tube goes by in the drawing of the plate (z above the top side), the
radius of its bends, the radius that is cut (clearance included), the `thickness`, the drawn `corners`,
and its outlines as polygons. The centre line is laid out here point by point. Along what was cut
the straight edge through the sheet comes within 0.05 mm of the tube and nowhere into it; of places
all over the plate none that is metal lies in the tube.
"""

import json
import math
import sys

import numpy as np
import shapely
from shapely.geometry import LinearRing, Point, Polygon

GAP = 0.05  # mm
INSIDE = 2e-4  # mm: chords of the polygons and of the centre line


def centre_line(points, radius):
    """Segments as pairs of ends, bends as many short ones."""
    points = [np.array(p, float) for p in points]
    starts, at = [], points[0]
    for before, corner, after in zip(points, points[1:], points[2:]):
        u = (corner - before) / np.linalg.norm(corner - before)
        v = (after - corner) / np.linalg.norm(after - corner)
        half = math.acos(np.clip(u @ v, -1, 1)) / 2
        back = radius * math.tan(half)
        first, last = corner - u * back, corner + v * back
        middle = (v - u) / np.linalg.norm(v - u)
        centre = corner + middle * radius / math.cos(half)
        starts.append((at, first))
        count = 2 + int(2 * half * radius / 0.2)
        for k in range(count):
            a, b = (2 * half * s / count - half for s in (k, k + 1))
            along = (u + v) / np.linalg.norm(u + v)
            place = lambda w: centre + radius * (-middle * math.cos(w) + along * math.sin(w))
            starts.append((place(a), place(b)))
        at = last
    starts.append((at, points[-1]))
    return np.array([s for s, _ in starts]), np.array([e for _, e in starts])


def distances(places, line):
    starts, ends = line
    best = np.full(len(places), np.inf)
    for s, e in zip(starts, ends):
        way = e - s
        share = np.clip((places - s) @ way / (way @ way), 0, 1)
        best = np.minimum(best, np.linalg.norm(places - s - share[:, None] * way, axis=1))
    return best


def main():
    plates = json.load(open(sys.argv[1]))
    worst = {str(lot): {"gap": 0.0, "inside": 0.0} for lot in (0, 1)}
    faults, count = [], 0
    for i, plate in enumerate(plates):
        line = centre_line(plate["path"], plate["bend"])
        depths = -plate["thickness"] * np.linspace(0, 1, 21)
        metal = Polygon(plate["outlines"][0], plate["outlines"][1:])
        drawn = LinearRing(plate["corners"])
        lot = worst[str(plate["lot"])]
        cut = [p for o in plate["outlines"] for p in o if drawn.distance(Point(p)) > 0.05]
        cut = cut[:: max(1, len(cut) // 150)]
        if len(cut) < 10:
            faults.append(f"plate {i}: nothing was cut")
            continue
        places = np.array([(x, y, z) for x, y in cut for z in depths])
        off = distances(places, line).reshape(len(cut), len(depths)).min(axis=1) - plate["radius"]
        lot["gap"], lot["inside"] = max(lot["gap"], off.max()), max(lot["inside"], -off.min())
        if off.max() > GAP or off.min() < -INSIDE:
            faults.append(f"plate {i}: from {off.min()} to {off.max()} mm beside the tube")
        # All over the plate.
        low, high = np.array(metal.bounds[:2]), np.array(metal.bounds[2:])
        grid = np.stack(np.meshgrid(*np.linspace(low, high, 60).T), -1).reshape(-1, 2)
        grid = grid[shapely.contains_xy(metal, grid[:, 0], grid[:, 1])]
        for z in depths[[0, 10, 20]]:
            at = np.column_stack([grid, np.full(len(grid), z)])
            least = distances(at, line).min() - plate["radius"]
            if least < -INSIDE:
                faults.append(f"plate {i}: metal {-least} mm inside the tube")
        count += len(cut)
    said = {"plates": len(plates), "places": count, "worst": worst, "faults": faults[:5]}
    print(json.dumps(said, default=float))
    return 1 if faults or not plates else 0


if __name__ == "__main__":
    sys.exit(main())
