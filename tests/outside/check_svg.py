"""Shapes and paths of SVG, worked out by their definition, against the arcs they become.

    .venv/bin/python tests/outside/check_svg.py FOLDER draw SEED COUNT
    .venv/bin/python tests/outside/check_svg.py FOLDER check

The first writes COUNT shapes by lot into shapes.svg, each in a group called by its number, within
transforms and a page of half a millimetre to the unit, and places along each of them into
PLACES.npz, in mm, y up. The second reads EDGES.json, which has for each number the edges that it
became (from, to, bulge, in mm), and how far they were said to be off, and compares distance both
ways, length, bounds and, of closed ones, the area.
"""

import json
import math
import random
import sys
from pathlib import Path

import numpy as np
import shapely
from check_curves import CLOSE, arcs, from_edges
from shapely.geometry import LineString

PAGE = (400, 300)  # units
MM = 0.5
STEPS = np.linspace(0, 1, 2001)[1:]


def bezier(*points):
    """Places of a curve of Bézier without its first."""
    row = [np.array(p, float)[None, :] + 0 * STEPS[:, None] for p in points]
    while len(row) > 1:
        row = [a * (1 - STEPS[:, None]) + b * STEPS[:, None] for a, b in zip(row, row[1:])]
    return row[0]


def elliptic(start, radii, rotation, large, sweep, end):
    """Places of an arc of a path, by the notes of SVG 1.1 on its centre (F.6.5 and F.6.6)."""
    p, q = np.array(start, float), np.array(end, float)
    cos, sin = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
    turn = np.array([[cos, sin], [-sin, cos]])
    half = turn @ (p - q) / 2
    r = np.array(radii, float)
    r *= max(1.0, math.hypot(*(half / r)))
    rest = 1 / math.hypot(*(half / r)) ** 2 - 1
    middle = math.sqrt(max(0.0, rest)) * np.array([r[0] * half[1] / r[1], -r[1] * half[0] / r[0]])
    middle *= -1 if large == sweep else 1
    angle = lambda v: math.atan2(v[1] / r[1], v[0] / r[0])
    first, last = angle(half - middle), angle(-half - middle)
    through = (last - first) % math.tau
    through -= 0 if sweep else math.tau
    a = first + through * STEPS
    flat = np.column_stack([r[0] * np.cos(a), r[1] * np.sin(a)]) + middle
    return flat @ turn + (p + q) / 2


def path(lot):
    """A path by lot: its text, and places along it."""
    at = np.array([lot.uniform(-60, 60), lot.uniform(-60, 60)])
    start, places, text, handle = at, [at[None, :]], f"M{at[0]:.6f} {at[1]:.6f}", None
    at = start = np.round(at, 6)
    for _ in range(lot.randint(2, 6)):
        kind = lot.choice("CcSsQqTtAaLlHhVv")
        base = at if kind.islower() else np.zeros(2)
        step = lambda: np.round(np.array([lot.uniform(-40, 40), lot.uniform(-40, 40)]), 4)
        points = [at + step() for _ in range(3)]
        mirror = 2 * at - handle[1] if handle is not None and handle[0] in ("CS" if kind in "SsCc" else "QT") else at
        say = lambda *ps: " ".join(f"{v:.6f}" for p in ps for v in p - base)
        upper = kind.upper()
        if upper == "C":
            text += f"{kind}{say(*points)}"
            places.append(bezier(at, *points))
            handle, at = ("C", points[1]), points[2]
        elif upper == "S":
            text += f"{kind}{say(*points[:2])}"
            places.append(bezier(at, mirror, *points[:2]))
            handle, at = ("S", points[0]), points[1]
        elif upper == "Q":
            text += f"{kind}{say(*points[:2])}"
            places.append(bezier(at, *points[:2]))
            handle, at = ("Q", points[0]), points[1]
        elif upper == "T":
            text += f"{kind}{say(points[0])}"
            places.append(bezier(at, mirror, points[0]))
            handle, at = ("T", mirror), points[0]
        elif upper == "A":
            radii = (round(lot.uniform(4, 60), 3), round(lot.uniform(4, 60), 3))
            if lot.random() < 0.4:
                radii = (radii[0], radii[0])
            rotation, large, sweep = lot.choice([0, 30, -77]), lot.randint(0, 1), lot.randint(0, 1)
            # Flags may be written without a space behind them.
            text += f"{kind}{radii[0]} {radii[1]} {rotation} {large}{sweep}{say(points[0])}"
            places.append(elliptic(at, radii, rotation, large, sweep, points[0]))
            handle, at = None, points[0]
        else:
            to = {"L": points[0], "H": np.array([points[0][0], at[1]]), "V": np.array([at[0], points[0][1]])}[upper]
            text += kind + {"L": say(to), "H": f"{(to - base)[0]:.6f}", "V": f"{(to - base)[1]:.6f}"}[upper]
            places.append(bezier(at, to))
            handle, at = None, to
    if lot.random() < 0.6:
        text += "z"
        places.append(bezier(at, start))
    return f'<path d="{text}" fill="none" stroke="black"/>', np.vstack(places)


def shape(lot):
    """An element of another kind, and places along it."""
    kind = lot.choice(["circle", "ellipse", "rect", "polygon", "line"])
    x, y, a, b = (round(lot.uniform(5, 60), 3) for _ in range(4))
    whole = math.tau * np.concatenate([[0], STEPS])
    round_ = lambda x, y, a, b: np.array([x, y]) + np.column_stack([a * np.cos(whole), b * np.sin(whole)])
    if kind == "circle":
        return f'<circle cx="{x}" cy="{y}" r="{a}"/>', round_(x, y, a, a)
    if kind == "ellipse":
        return f'<ellipse cx="{x}" cy="{y}" rx="{a}" ry="{b}"/>', round_(x, y, a, b)
    if kind == "line":
        return f'<line x1="{x}" y1="{y}" x2="{a}" y2="{b}" stroke="black"/>', np.vstack([[(x, y)], bezier((x, y), (a, b))])
    if kind == "polygon":
        points = [(round(lot.uniform(-50, 50), 3), round(lot.uniform(-50, 50), 3)) for _ in range(5)]
        rows = [bezier(p, q) for p, q in zip(points, points[1:] + points[:1])]
        return f'<polygon points="{" ".join(f"{u},{v}" for u, v in points)}"/>', np.vstack([[points[0]], *rows])
    r, s = round(min(a, b) * 0.3, 3), round(min(a, b) * lot.choice([0.3, 0.2]), 3)
    rows = [bezier((x + r, y), (x + a - r, y)), elliptic((x + a - r, y), (r, s), 0, 0, 1, (x + a, y + s))]
    rows += [bezier((x + a, y + s), (x + a, y + b - s)), elliptic((x + a, y + b - s), (r, s), 0, 0, 1, (x + a - r, y + b))]
    rows += [bezier((x + a - r, y + b), (x + r, y + b)), elliptic((x + r, y + b), (r, s), 0, 0, 1, (x, y + b - s))]
    rows += [bezier((x, y + b - s), (x, y + s)), elliptic((x, y + s), (r, s), 0, 0, 1, (x + r, y))]
    return f'<rect x="{x}" y="{y}" width="{a}" height="{b}" rx="{r}" ry="{s}"/>', np.vstack([[(x + r, y)], *rows])


def transform(lot):
    """A transform by lot, and the same as a matrix of its own."""
    a, x, y = round(lot.uniform(-180, 180), 3), round(lot.uniform(-30, 30), 3), round(lot.uniform(-30, 30), 3)
    k, m = round(lot.uniform(0.4, 2), 3), round(lot.choice([-1, 1]) * lot.uniform(0.4, 2), 3)
    cos, sin, tan = math.cos(math.radians(a)), math.sin(math.radians(a)), math.tan(math.radians(a / 4))
    shift = lambda x, y: np.array([[1, 0, x], [0, 1, y], [0, 0, 1]])
    turned = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]])
    return lot.choice([
        ("", np.eye(3)),
        (f"translate({x})", shift(x, 0)),
        (f"rotate({a})", turned),
        (f"rotate({a}, {x}, {y})", shift(x, y) @ turned @ shift(-x, -y)),
        (f"translate({x} {y}) scale({k})", shift(x, y) @ np.diag([k, k, 1])),
        (f"scale({k},{m})", np.diag([k, m, 1])),
        (f"skewX({a / 4})", np.array([[1, tan, 0], [0, 1, 0], [0, 0, 1]])),
        (f"matrix({k} 0.2 -0.3 {m} {x} {y})", np.array([[k, -0.3, x], [0.2, m, y], [0, 0, 1]])),
    ])


def draw(folder, seed, count):
    lot, groups, all_places = random.Random(seed), [], {}
    for number in range(1, count + 1):
        text, places = path(lot) if lot.random() < 0.7 else shape(lot)
        (outer, one), (inner, other) = transform(lot), transform(lot)
        groups.append(f'<g id="{number}" transform="{outer}"><g transform="{inner}">{text}</g></g>')
        lifted = np.column_stack([places, np.ones(len(places))]) @ (one @ other).T
        all_places[str(number)] = np.column_stack([lifted[:, 0], PAGE[1] - lifted[:, 1]]) * MM
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{PAGE[0] * MM}mm" height="{PAGE[1] * MM}mm" viewBox="0 0 {PAGE[0]} {PAGE[1]}">'
    (folder / "shapes.svg").write_text("\n".join([head, *groups, "</svg>"]), encoding="utf-8")
    np.savez(folder / "PLACES.npz", **all_places)
    print("drawn")


def enclosed(rows):
    """The area of lines that form a closed contour, one way round."""
    return sum(float(np.sum(r[:-1, 0] * r[1:, 1] - r[:-1, 1] * r[1:, 0])) for r in map(np.array, rows)) / 2


def check(folder):
    made = json.loads((folder / "EDGES.json").read_text(encoding="utf-8"))
    faults, furthest, seen = [], 0.0, 0
    for number, places in np.load(folder / "PLACES.npz").items():
        ours = made.get(number)
        if ours is None:
            faults.append(f"{number}: not read")
            continue
        seen += 1
        rows = arcs(ours["edges"])
        own = np.vstack([[row[k * (len(row) - 1) // 12] for k in range(13)] for row in rows])
        theirs = LineString(places)
        off = from_edges(places, ours["edges"])
        back = float(shapely.distance(theirs, shapely.points(own)).max())
        furthest = max(furthest, off, back)
        # Between our places a curve leaves its chords by less than this.
        if off > ours["off"] + 1e-4 or back > ours["off"] + 1e-3 or ours["off"] > CLOSE:
            faults.append(f"{number}: {off:.5f} and {back:.5f} mm off, said {ours['off']:.5f}")
        long = sum(LineString(row).length for row in rows)
        if abs(long - theirs.length) > 2e-3 * theirs.length + 0.01:
            faults.append(f"{number}: {long:.4f} long, not {theirs.length:.4f}")
        every = np.vstack(rows)
        bounds = np.concatenate([every.min(axis=0), every.max(axis=0)])
        if np.abs(bounds - np.array(theirs.bounds)).max() > CLOSE + 1e-3:
            faults.append(f"{number}: within {bounds}, not {theirs.bounds}")
        if math.dist(places[0], places[-1]) < 1e-6:
            one, other = enclosed(rows), enclosed([places])
            if abs(one - other) > CLOSE * theirs.length:
                faults.append(f"{number}: {one:.3f} mm², not {other:.3f}")
    print(f"{seen} compared, {furthest:.5f} mm off at most")
    for fault in faults[:20]:
        print(fault)
    return 1 if faults or seen == 0 else 0


if __name__ == "__main__":
    where = Path(sys.argv[1])
    if sys.argv[2] == "draw":
        draw(where, int(sys.argv[3]), int(sys.argv[4]))
    else:
        sys.exit(check(where))
