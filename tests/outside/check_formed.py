"""Flares and beads by another model: rings and chords by the thousand, buffers by shapely.

    python check_formed.py FOLDER

FOLDER/formed.json has flares with their measures, pilot, what the solid loses and the stretch of
the edge, and beads with their line, measures, stretch, length and outline (from, to, bulge).
"""

import json
import math
import sys
from pathlib import Path

import numpy as np
from shapely.geometry import LineString, Polygon

passed, failed = 0, []


def fact(true, words):
    global passed
    if true:
        passed += 1
    else:
        failed.append(words)


def near(a, b, share=1e-6):
    return abs(a - b) <= share * max(1.0, abs(a), abs(b))


def flare(i, row):
    """The middle of the sheet runs half the thickness from both sides, cut off square at the tip:
    its area is that of thin rings, and so are the volumes by washers of the profile."""
    t, angle = row["thickness"], math.radians(row["angle"])
    radius = row["radius"]
    out = np.array([-math.cos(angle), math.sin(angle)])  # up the lip
    normal = np.array([math.sin(angle), math.cos(angle)])  # out of its outer side
    foot = np.array([row["outside"] / 2, 0.0])
    if radius:
        turns = np.linspace(0, angle, 4001)
        centre = foot + [0, radius]
        rounds = [centre - r * np.array([np.sin(turns), np.cos(turns)]).T
                  for r in (radius, radius + t / 2, radius + t)]
    else:
        rounds = [np.array([foot])] * 3
    top, mid, low = rounds
    tip = top[-1] + out * ((row["height"] - top[-1][1]) / math.sin(angle))
    inner = tip - t * normal
    fact(near(2 * inner[0], row["inside"]), f"flare {i}: its mouth is {2 * inner[0]}")
    if not radius:
        # The plate's lower side z = -t meets the line of the lip's inner side.
        low = np.array([inner + out * ((-t - inner[1]) / out[1])])
        mid = (foot + low) / 2
    middle = np.vstack([mid, np.linspace(mid[-1], (tip + inner) / 2, 20001)])
    step = np.hypot(*np.diff(middle, axis=0).T)
    area = float(np.sum(math.pi * (middle[1:, 0] + middle[:-1, 0]) * step))
    square = mid[0][0] ** 2 - area / math.pi
    pilot = 2 * math.sqrt(square)
    edge = (tip + inner)[0]
    stretch = edge / pilot - 1
    fact(near(pilot, row["pilot"], 1e-5) and near(stretch, row["stretch"], 1e-5),
         f"flare {i}: its pilot is {pilot}, not {row['pilot']}")
    # Pappus: area of the lip's section times the way of its centroid, for the formed metal.
    section = Polygon([*top, tip, inner, *low[::-1], (foot[0], -t)])
    formed = 2 * math.pi * section.centroid.x * section.area
    flat = math.pi * (foot[0] ** 2 - row["pilot"] ** 2 / 4) * t
    # The rounds are chords: the difference of the two is off by a share of either.
    off = abs(flat - formed - row["loss"])
    fact(off <= (1e-7 * flat if radius else 1e-6 * max(1.0, abs(row["loss"]))), f"flare {i}: it loses {flat - formed}, not {row['loss']}")


def chords(edges):
    points = []
    for (x, y), (u, v), bulge in edges:
        points.append((x, y))
        if bulge:
            off = (1 - bulge * bulge) / (4 * bulge)
            cx, cy = (x + u) / 2 - off * (v - y), (y + v) / 2 + off * (u - x)
            radius, start = math.hypot(x - cx, y - cy), math.atan2(y - cy, x - cx)
            sweep = 4 * math.atan(bulge)
            for k in range(1, 400):
                a = start + sweep * k / 400
                points.append((cx + radius * math.cos(a), cy + radius * math.sin(a)))
    return Polygon(points)


def bead(i, row):
    line, half = LineString(row["line"]), row["width"] / 2
    wanted = line.buffer(half, quad_segs=200, join_style="mitre", mitre_limit=10)
    outline = chords(row["outline"])
    apart = outline.symmetric_difference(wanted).area
    fact(outline.is_valid and apart < 1e-3 * wanted.area, f"bead {i}: {apart} mm² apart")
    fact(near(line.length + 2 * half, row["length"]), f"bead {i}: its length is {row['length']}")
    x = np.linspace(-half, half, 200001)
    if row["section"] == "v":
        y = row["depth"] * (1 - np.abs(x) / half)
    else:
        radius = (half * half + row["depth"] ** 2) / (2 * row["depth"])
        y = np.sqrt(np.maximum(radius * radius - x * x, 0)) - radius + row["depth"]
    developed = float(np.sum(np.hypot(np.diff(x), np.diff(y))))
    stretch = developed / (2 * half) - 1
    fact(near(stretch, row["stretch"], 1e-4), f"bead {i}: it stretches {stretch}, not {row['stretch']}")


def main():
    asked = json.loads((Path(sys.argv[1]) / "formed.json").read_text())
    for i, row in enumerate(asked["flares"]):
        flare(i, row)
    for i, row in enumerate(asked["beads"]):
        bead(i, row)
    for words in failed:
        print(words)
    print(f"{passed} passed, {len(failed)} failed")
    sys.exit(1 if failed or not passed else 0)


main()
