"""Sections of rolled bends and hems, drawn anew: developed length, area, clear distance.

    python check_rolled.py PARTS

PARTS is JSON: for each part its lot, form, thickness, width, inside radius, bend angle in degrees,
the straight sheet before and after the bend, and what the program found: height of the blank, volume
and clear distance of the eye. The neutral axis is that of DIN 6935, k = 0.65 + 0.5 log10(r/s), at
most 1, half a thickness times k from the inside. A closed hem is two sheets on each other, folded round
nothing: its neutral axis is the middle of the sheet, half a thickness from the fold, and either leg ends
a thickness short of the outside of the fold. The arc is walked in short chords, so no formula of a circle's length is used.
"""

import json
import math
import sys

import numpy as np
from shapely.geometry import LineString, Polygon, box

CHORDS = 12000
LENGTH = 5e-5  # mm: what chords are shorter than the arc
AREA = 1e-6  # as a share
GAP = 2e-3  # mm: the program looks at points half a degree apart
HEM = 5e-3  # mm: what a closed hem may be thicker or longer than two sheets on each other


def arc(radius, inside, sweep, count=CHORDS):
    turn = np.linspace(0.0, sweep, count + 1)
    return np.stack([radius * np.sin(turn), inside - radius * np.cos(turn)], axis=1)


def length(points):
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def onward(point, sweep, by):
    return point + by * np.array([math.cos(sweep), math.sin(sweep)])


def check(row):
    t, r, sweep = row["thickness"], row["radius"], math.radians(row["angle"])
    if row["form"] == "closed-hem":
        fibre = t / 2
    else:
        fibre = r + t * min(0.65 + 0.5 * math.log10(r / t), 1.0) / 2
    flat = row["before"] + length(arc(fibre, fibre, sweep)) + row["after"]
    closed = row["form"] == "closed-hem"
    off = abs(flat - row["height"])
    inner, outer = arc(r, r, sweep), arc(r + t, r, sweep)
    ends = [onward(line[-1], sweep, row["after"]) for line in (inner, outer)]
    bent = list(inner) + ends + list(outer[::-1])
    area = Polygon(bent).area + row["before"] * t
    heavy = abs(area * row["width"] / row["volume"] - 1)
    wrong = []
    # From the upper side of the one to that of the other: the return is above, or below both sheets.
    apart = row["over"] if row["over"] > 0 else -row["over"] - 2 * t
    if closed and not 0 <= apart <= HEM:
        wrong.append(f"its sides are {apart} apart")
    if off > (HEM if closed else LENGTH):
        wrong.append(f"blank is {row['height']}, not {flat}")
    if heavy > (HEM / (row["before"] + row["after"]) if closed else AREA):
        wrong.append(f"volume is {row['volume']}, not {area * row['width']}")
    clear = None
    if row["angle"] > 180:
        half = np.nonzero(np.linspace(0.0, sweep, CHORDS + 1) >= math.pi)[0]
        far = LineString(list(outer[half][::8]) + [outer[-1]] + ends[::-1])
        clear = far.distance(box(-row["before"], -t, 0.0, 0.0))
        if row["gap"] is None or abs(clear - row["gap"]) > GAP:
            wrong.append(f"clear distance is {row['gap']}, not {clear}")
    return wrong, off, heavy, clear is not None


def main():
    rows = json.loads(open(sys.argv[1]).read())
    lots = [{"parts": 0, "eyes": 0, "length": 0.0, "volume": 0.0} for _ in range(2)]
    failed = 0
    for row in rows:
        wrong, off, heavy, eye = check(row)
        lot = lots[row["lot"]]
        lot["parts"] += 1
        lot["eyes"] += eye
        lot["length"], lot["volume"] = max(lot["length"], off), max(lot["volume"], heavy)
        for words in wrong:
            print(f"{row['form']} {row['angle']} of {row['thickness']}: {words}")
        failed += bool(wrong)
    if failed:
        sys.exit(1)
    print(json.dumps(lots))


main()
