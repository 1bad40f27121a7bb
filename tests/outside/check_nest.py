"""Checks layouts from outside: rebuilds every part from its outline and measures.

    .venv/bin/python tests/outside/check_nest.py LAYOUTS.json [MORE.json ...]
    .venv/bin/python tests/outside/check_nest.py --instance SET.json LAYOUT.json

LAYOUTS.json is a list of {"instance": …, "layout": …}. An instance has `items`, each with
`id`, `qty`, `rotations` (degrees; null is any), `outer` and `holes`; a corner is [x, y] or
[x, y, bulge] where an arc leaves it. A layout has `gap`, `margin`, and either one strip as
`height`, `strip_length` and `placed`, or `sheets`, each with `height`, `length` and `placed`.
A place has `id`, `turn` (degrees about the origin of the outline), `x` and `y`. Parts named as
left over stand in `left`, by id.

Every part must be there as often as asked, turned only as allowed, inside its sheet by the
margin, apart from all others by the gap, holes counting as room. Prints one line for each
fact that fails and one line of totals; exits 1 when a fact failed or when there was nothing
to check, 2 without a layout.
"""

import json
import math
import sys
from collections import Counter
from pathlib import Path

from shapely import STRtree
from shapely.affinity import affine_transform
from shapely.geometry import Polygon
from tally import Tally

FLAT = 1e-4  # mm an arc may lie from its chords
NEAR = 1e-3  # mm a distance may fall short
SHARE = 1e-7  # and as a share of the sheet, where units are no mm


def ring(corners, flat):
    """Points along lines and arcs."""
    points = []
    for (x, y, *bulge), (u, v, *_) in zip(corners, corners[1:] + corners[:1]):
        points.append((x, y))
        if bulge and bulge[0]:
            points += along(x, y, u, v, bulge[0], flat)
    return points


def along(x, y, u, v, bulge, flat):
    """Points on an arc between its ends; a positive bulge turns left."""
    sweep = 4 * math.atan(bulge)
    chord = math.dist((x, y), (u, v))
    radius = chord / (2 * math.sin(abs(sweep) / 2))
    # From the middle of the chord to the centre, along its left normal.
    reach = (1 - bulge * bulge) / (4 * bulge)
    cx, cy = (x + u) / 2 - (v - y) * reach, (y + v) / 2 + (u - x) * reach
    largest = 2 * math.acos(max(0.0, 1 - flat / radius))
    steps = max(2, math.ceil(abs(sweep) / largest))
    start = math.atan2(y - cy, x - cx)
    angles = (start + sweep * i / steps for i in range(1, steps))
    return [(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in angles]


def turned(shape, degrees, x, y):
    quarters = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}
    radians = math.radians(degrees)
    cos, sin = quarters.get(degrees % 360, (math.cos(radians), math.sin(radians)))
    return affine_transform(shape, [cos, -sin, sin, cos, x, y])


def least_distance(laid, gap):
    """Of all pairs not further apart than the gap and a little; below 0 when two overlap."""
    reach = gap + max(1e-6, gap / 10)
    pairs = zip(*STRtree(laid).query(laid, predicate="dwithin", distance=reach))
    least, where = math.inf, None
    for i, j in pairs:
        if i < j:
            apart = laid[i].distance(laid[j])
            if apart == 0:
                # How deep, on the whole, the one reaches into the other.
                edge = min(laid[i].length, laid[j].length)
                apart = -laid[i].intersection(laid[j]).area / edge
            if apart < least:
                least, where = apart, (int(i), int(j))
    return least, where


def check(instance, layout, tally):
    name = layout.get("name", instance.get("name", "layout"))
    items = {str(i["id"]): i for i in instance["items"]}
    gap, margin = layout["gap"], layout["margin"]
    sheets = layout.get("sheets")
    if sheets is None:
        sheets = [{**layout, "length": layout["strip_length"]}]
    shapes = {
        key: Polygon(ring(i["outer"], FLAT), [ring(h, FLAT) for h in i["holes"]])
        for key, i in items.items()
    }
    for key, shape in shapes.items():
        tally.check(shape.is_valid, name, f"{key} is no outline")
    found = Counter(str(key) for key in layout.get("left", []))
    for number, sheet in enumerate(sheets):
        where = f"{name}, sheet {number + 1}"
        length, height, placed = sheet["length"], sheet["height"], sheet["placed"]
        near = max(NEAR if gap else 0.0, SHARE * height)
        known = [p for p in placed if str(p["id"]) in items]
        tally.check(len(known) == len(placed), where, "holds a part nobody asked for")
        found.update(str(p["id"]) for p in known)
        for p in known:
            allowed = items[str(p["id"])]["rotations"]
            good = allowed is None or p["turn"] % 360 in {a % 360 for a in allowed}
            tally.check(good, where, f"{p['id']} is turned by {p['turn']}")
        laid = [turned(shapes[str(p["id"])], p["turn"], p["x"], p["y"]) for p in known]
        for p, shape in zip(known, laid):
            left, low, right, high = shape.bounds
            least = min(left, low, length - right, height - high)
            words = f"{p['id']} is {least:.6f} from the edge, not {margin}"
            tally.check(least >= margin - near, where, words)
        if len(laid) > 1:
            least, pair = least_distance(laid, gap)
            words = f"parts {pair} are {least:.6f} apart, not {gap}"
            tally.check(least >= gap - near, where, words)
    for key, item in items.items():
        words = f"{found[key]} of {key} are given, {item['qty']} are asked for"
        tally.check(found[key] == item["qty"], name, words)


def main():
    arguments = sys.argv[1:]
    alone = arguments[:1] == ["--instance"] and len(arguments) == 3
    if not arguments or (arguments[0].startswith("--") and not alone):
        sys.exit("usage: check_nest.py [--instance SET.json] LAYOUT.json ...")
    try:
        read = [json.loads(Path(a).read_text(encoding="utf-8")) for a in arguments if a[0] != "-"]
    except (OSError, ValueError) as error:
        print(f"no layout: {error}", file=sys.stderr)
        sys.exit(2)
    pairs = [{"instance": read[0], "layout": read[1]}] if alone else sum(read, [])
    tally = Tally()
    for pair in pairs:
        check(pair["instance"], pair["layout"], tally)
    tally.end()


if __name__ == "__main__":
    main()
