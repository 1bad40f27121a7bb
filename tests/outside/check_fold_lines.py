"""Folds random plates along the lines drawn on them and compares flat and folded points.

    python check_fold_lines.py PARTS

PARTS is JSON: for each part its thickness, its drawn outline and the outline of its flat as edges
(from, to, bulge), its fold lines (two points, angle in degrees, inside radius, whether up, lot 0
or 1), and points: place in the flat, height above the upper side, place in space. A point lies on
the standing side, in the bend or beyond it; what lies beyond a line turns about the axis of its
cylinder as a rigid body, in the bend it rolls up. The neutral axis is that of DIN 6935:
k = 0.65 + 0.5 log10(r/s), at most 1, half a thickness times k from the inside.
"""

import json
import math
import sys

import numpy as np
from shapely.geometry import Polygon

NEAR = 1e-6  # mm
AREA = 1e-6  # mm² of which drawn and developed outline may differ
STEPS = 64


def polygon(edges):
    points = []
    for (x, y), (u, v), bulge in edges:
        points.append((x, y))
        if abs(bulge) < 1e-12:
            continue
        off = (1 - bulge * bulge) / (4 * bulge)
        cx, cy = (x + u) / 2 - off * (v - y), (y + v) / 2 + off * (u - x)
        radius, start = math.hypot(x - cx, y - cy), math.atan2(y - cy, x - cx)
        sweep = 4 * math.atan(bulge)
        for k in range(1, STEPS):
            angle = start + sweep * k / STEPS
            points.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle)))
    return Polygon(points)


class Line:
    def __init__(self, thickness, row):
        self.p = np.array(row["from"])
        way = np.array(row["to"]) - self.p
        self.along = way / np.hypot(*way)
        self.out = np.array([-self.along[1], self.along[0]])
        self.t, self.r, self.up = thickness, row["radius"], row["up"]
        self.theta = math.radians(row["angle"])
        k = min(0.65 + 0.5 * math.log10(self.r / self.t), 1.0) / 2
        self.allowance = self.theta * (self.r + k * self.t)
        self.mid = (np.array(row["from"]) + np.array(row["to"])) / 2

    def beyond(self, at):
        """How far a point of the flat lies past where the bend begins."""
        return float((np.array(at[:2]) - self.p) @ self.out) + self.allowance / 2

    def bent(self, point):
        """A point that lies flat on this side of the line or has been folded beyond it."""
        s = self.beyond(point)
        past = min(s, self.allowance)
        phi = self.theta * past / self.allowance
        rest = s - past
        # In the plane square to the line: y from where the bend begins, z up.
        z = point[2]
        if self.up:
            y, z = (self.r - z) * math.sin(phi), self.r - (self.r - z) * math.cos(phi)
            y, z = y + rest * math.cos(phi), z + rest * math.sin(phi)
        else:
            outer = self.r + self.t
            y, z = (outer + z) * math.sin(phi), (outer + z) * math.cos(phi) - outer
            y, z = y + rest * math.cos(phi), z - rest * math.sin(phi)
        x = float((point[:2] - self.p) @ self.along)
        flat = self.p + self.along * x + self.out * (y - self.allowance / 2)
        return np.array([flat[0], flat[1], z])

    def carried(self, point):
        """A folded point beyond the line, moved as the flat beyond it is."""
        a = self.allowance
        end = self.p + self.out * (a / 2)
        # Three points of the carried side and their positions after bending.
        base = [np.array([*end, 0.0]), np.array([*(end + self.along), 0.0]), np.array([*(end + self.out), 0.0])]
        to = [self.bent(b) for b in base]
        x, y = to[1] - to[0], to[2] - to[0]
        z = np.cross(x, y)
        local = [
            float((point[:2] - end) @ self.along),
            float((point[:2] - end) @ self.out),
            point[2],
        ]
        assert abs(np.linalg.norm(x) - 1) < 1e-9
        return to[0] + x * local[0] + y * local[1] + z * local[2]


def folded(lines, at, height):
    point = np.array([at[0], at[1], height])
    over = [l for l in lines if l.beyond(at) > 1e-9]
    # The farthest from the standing face first: that which most others carry.
    depth = lambda l: sum(1 for other in lines if other is not l and other.beyond(l.mid) > 0)
    over.sort(key=depth, reverse=True)
    for line in over:
        inside = line.beyond(at) < line.allowance - 1e-9
        point = line.bent(point) if inside else line.carried(point)
    return point


def main():
    parts = json.load(open(sys.argv[1]))
    worst = {"0": 0.0, "1": 0.0}
    area, count = 0.0, 0
    for part in parts:
        drawn, flat = polygon(part["drawn"]), polygon(part["flat"])
        area = max(area, drawn.symmetric_difference(flat).area)
        lines = [Line(part["thickness"], row) for row in part["lines"]]
        for at, height, space in part["points"]:
            off = np.linalg.norm(folded(lines, at, height) - np.array(space))
            worst[str(part["lot"])] = max(worst[str(part["lot"])], float(off))
            count += 1
    print(json.dumps({"parts": len(parts), "points": count, "off": worst, "area": area}))
    return 0 if max(worst.values()) <= NEAR and area <= AREA else 1


if __name__ == "__main__":
    sys.exit(main())
