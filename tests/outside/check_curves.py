"""Curves of every kind, drawn and measured by ezdxf, against the arcs they become.

    .venv/bin/python tests/outside/check_curves.py FOLDER draw SEED COUNT
    .venv/bin/python tests/outside/check_curves.py FOLDER check

The first writes COUNT curves by lot and one of each other kind of entity into curves-V.dxf, each
on a layer called by its number, and curves.svg with some of them. The second reads EDGES.json,
which has for each number the edges that it became (from, to, bulge, in mm), and how far they were
said to be off; it compares area, length, bounds and Hausdorff distance with ezdxf's own
flattening, looks for kinks, and compares the number of arcs with the least that any row of arcs
within the tolerance can have.
"""

import json
import math
import random
import sys
from pathlib import Path

import ezdxf
import numpy as np
from ezdxf import disassemble, path
from ezdxf.math import BSpline, Vec3
from shapely.geometry import LineString, MultiLineString

CLOSE = 0.02
VERSIONS = ["R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]


def walk(lot, count, step):
    """Points of a wandering line."""
    x, y, way = lot.uniform(-90, 90), lot.uniform(-90, 90), lot.uniform(0, 360)
    points = []
    for _ in range(count):
        points.append((x, y))
        way += lot.uniform(-75, 75)
        long = lot.uniform(0.4, 1.6) * step
        x, y = x + long * math.cos(math.radians(way)), y + long * math.sin(math.radians(way))
    return points


def draw_one(lot, document, space, layer):
    """One curve by lot; whether it has no corner."""
    attributes = {"layer": layer}
    kind = lot.choice(["controls", "controls", "weights", "fit", "tangents", "closed", "ellipse", "part", "down", "block"])
    if kind in ("controls", "weights"):
        degree = lot.choice([2, 3, 3, 3, 4, 5])
        points = walk(lot, lot.randint(degree + 1, 14), lot.choice([3, 12, 40]))
        if kind == "weights":
            weights = [lot.uniform(0.4, 2.5) for _ in points]
            space.add_rational_spline(points, weights, degree=degree, dxfattribs=attributes)
        else:
            space.add_open_spline(points, degree=degree, dxfattribs=attributes)
    elif kind in ("fit", "tangents"):
        spline = space.add_spline(walk(lot, lot.randint(3, 12), lot.choice([5, 20])), dxfattribs=attributes)
        if kind == "tangents":
            spline.dxf.start_tangent = Vec3.from_deg_angle(lot.uniform(0, 360))
            spline.dxf.end_tangent = Vec3.from_deg_angle(lot.uniform(0, 360))
    elif kind == "closed":
        corners = [Vec3.from_deg_angle(a, lot.uniform(20, 60)) for a in range(0, 360, lot.choice([40, 60, 72]))]
        space.add_spline(dxfattribs=attributes).set_closed(corners, degree=3)
    elif kind == "block":
        name = f"B{layer}"
        block = document.blocks.new(name)
        block.add_circle((3, 4), lot.uniform(2, 20), dxfattribs=attributes)
        space.add_blockref(name, (lot.uniform(-50, 50), 9), dxfattribs={
            "xscale": lot.choice([-1, 1]) * lot.uniform(0.5, 3), "yscale": lot.uniform(0.5, 3),
            "rotation": lot.uniform(0, 360), **attributes,
        })
    else:
        start = lot.uniform(0, 6) if kind != "ellipse" else 0
        end = start + lot.uniform(0.3, 6) if kind != "ellipse" else math.tau
        major = Vec3.from_deg_angle(lot.uniform(0, 360), lot.choice([4, 30, 200]) * lot.uniform(0.5, 2))
        ellipse = space.add_ellipse((lot.uniform(-50, 50), 9), major, lot.uniform(0.05, 1), start, end, dxfattribs=attributes)
        if kind == "down":
            ellipse.dxf.extrusion = (0, 0, -1)
    # A spline of degree 2 has jumps of curvature, none of direction.
    return True


def others(document, space, first):
    """One of each kind that has no curve by lot."""
    made = []

    def on(number):
        made.append(number)
        return {"layer": str(number)}

    n = iter(range(first, first + 99))
    space.add_line((0, 0), (30, 40), dxfattribs=on(next(n)))
    space.add_circle((5, 6), 7, dxfattribs=on(next(n)))
    space.add_arc((5, 6), 7, 300, 80, dxfattribs=on(next(n)))
    space.add_lwpolyline([(0, 0, 0.3), (9, 0, -1), (9, 9, 0)], "xyb", close=True, dxfattribs=on(next(n)))
    space.add_polyline2d([(0, 0, 0.3), (9, 0, -1), (9, 9, 0)], "xyb", close=True, dxfattribs=on(next(n)))
    space.add_solid([(0, 0), (9, 0), (0, 9), (9, 9)], dxfattribs=on(next(n)))
    space.add_solid([(0, 0), (9, 0), (0, 9)], dxfattribs={**on(next(n)), "extrusion": (0, 0, -1)})
    hatch = space.add_hatch(dxfattribs=on(next(n)))
    edges = hatch.paths.add_edge_path()
    edges.add_line((0, 0), (20, 0))
    edges.add_arc((20, 5), 5, -90, 90)
    edges.add_ellipse((10, 10), (10, 0), 0.4, 0, 180)
    edges.add_line((0, 10), (0, 0))
    hatch = space.add_hatch(dxfattribs=on(next(n)))
    edges = hatch.paths.add_edge_path()
    edges.add_arc((0, 0), 6, 0, 180, ccw=False)
    edges.add_line((6, 0), (-6, 0))
    hatch = space.add_hatch(dxfattribs=on(next(n)))
    edges = hatch.paths.add_edge_path()
    edges.add_ellipse((4, 4), (8, 3), 0.4, 15, 190, ccw=False)
    edges = hatch.paths.add_edge_path()
    edges.add_spline(control_points=[(0, 0), (9, 20), (22, -8), (30, 5)], degree=3, knot_values=[0, 0, 0, 0, 1, 1, 1, 1])
    hatch = space.add_hatch(dxfattribs=on(next(n)))
    hatch.paths.add_polyline_path([(0, 0, 0.2), (30, 0), (30, 20), (0, 20)], is_closed=True)
    block = document.blocks.new("ODD")
    block.add_lwpolyline([(0, 0, 0.3), (9, 0, -1), (9, 9, 0)], "xyb", close=True, dxfattribs=on(next(n)))
    space.add_blockref("ODD", (7, 8), dxfattribs={"xscale": 2, "yscale": -1.3, "rotation": 33, "layer": str(made[-1])})
    return made


def draw(folder, seed, count):
    lot = random.Random(seed)
    per = -(-count // len(VERSIONS))
    number = 0
    for version in VERSIONS:
        document = ezdxf.new(version, units=4)
        space = document.modelspace()
        for _ in range(min(per, count - number)):
            draw_one(lot, document, space, str(number + 1))
            number += 1
        if version == VERSIONS[-1]:
            others(document, space, count + 1)
        name = folder / f"curves-{version}.dxf"
        # Every second one in the form of bytes.
        document.saveas(name, fmt="bin" if VERSIONS.index(version) % 2 else "asc")
    print("drawn")


def flat(entity):
    """Lines that follow an entity closely."""
    if entity.dxftype() == "SPLINE" and entity.closed:
        # Its own flattening runs beyond the ends of knots that are not repeated.
        tool = entity.construction_tool()
        knots = tool.knots()
        low, high = knots[tool.degree], knots[-tool.degree - 1]
        return [[(p.x, p.y) for p in tool.points(np.linspace(low, high, 4001)[:-1])]]
    if entity.dxftype() in ("SPLINE", "ELLIPSE"):
        points = entity.flattening(2e-4, 16) if entity.dxftype() == "SPLINE" else entity.flattening(2e-4, 64)
        return [[(p.x, p.y) for p in points]]
    paths = path.from_hatch(entity) if entity.dxftype() == "HATCH" else [path.make_path(entity)]
    return [[(p.x, p.y) for p in one.flattening(2e-4, 64)] for one in paths]


def arcs(edges):
    """Our edges as lines, closely."""
    points = []
    for (x, y), (u, v), bulge in edges:
        if abs(bulge) < 1e-12:
            points.append([(x, y), (u, v)])
            continue
        centre, start, end, radius = ezdxf.math.bulge_to_arc((x, y), (u, v), bulge)
        sweep = (end - start) % math.tau
        steps = max(8, int(sweep / math.acos(max(0.0, 1 - 2e-4 / max(radius, 1e-3)))) + 1)
        row = [(centre.x + radius * math.cos(start + sweep * i / steps), centre.y + radius * math.sin(start + sweep * i / steps)) for i in range(steps + 1)]
        points.append(row if bulge > 0 else row[::-1])
    return points


def ways(edge):
    """Directions at the start and the end of an edge, degrees."""
    (x, y), (u, v), bulge = edge
    chord, half = math.degrees(math.atan2(v - y, u - x)), 2 * math.degrees(math.atan(bulge))
    return chord - half, chord + half


def kink(edges):
    worst = 0.0
    for one, other in zip(edges, edges[1:]):
        turn = (ways(other)[0] - ways(one)[1] + 180) % 360 - 180
        worst = max(worst, abs(turn))
    return worst


def least(entity):
    """Fewest arcs, tangent or not, that stay within the tolerance: an arc of length L over a curve
    whose curvature changes at the rate k leaves it by k L³ / 192 at best."""
    ts = np.linspace(0, 1, 2001)[1:-1]
    if entity.dxftype() == "ELLIPSE":
        a, b = entity.dxf.major_axis.magnitude, entity.dxf.major_axis.magnitude * entity.dxf.ratio
        t = entity.dxf.start_param + ts * ((entity.dxf.end_param - entity.dxf.start_param) % math.tau or math.tau)
        d = [np.array([-a * np.sin(t), b * np.cos(t)]), np.array([-a * np.cos(t), -b * np.sin(t)]), np.array([a * np.sin(t), -b * np.cos(t)])]
        width = (t[-1] - t[0]) / len(t)
    elif entity.dxftype() == "SPLINE":
        tool: BSpline = entity.construction_tool()
        if tool.degree < 3 or tool.is_rational:
            # Their third derivatives are not to be had there.
            return None
        knots = tool.knots()
        low, high = knots[tool.degree], knots[-tool.degree - 1]
        rows = list(tool.derivatives(low + ts * (high - low), n=3))
        d = [np.array([[r[k].x, r[k].y] for r in rows]).T for k in (1, 2, 3)]
        width = (high - low) / len(ts)
    else:
        return None
    speed = np.maximum(np.hypot(*d[0]), 1e-9)
    cross = d[0][0] * d[1][1] - d[0][1] * d[1][0]
    rate = d[0][0] * d[2][1] - d[0][1] * d[2][0]
    dot = (d[0] * d[1]).sum(axis=0)
    change = np.abs(rate / speed**3 - 3 * cross * dot / speed**5) / speed
    return max(1, math.ceil(float(np.sum(np.cbrt(change / (192 * CLOSE)) * speed) * width)))


def check(folder):
    made = json.loads((folder / "EDGES.json").read_text(encoding="utf-8"))
    faults, furthest, worst_kink, count, fewest, seen = [], 0.0, 0.0, 0, 0, 0
    for file in sorted(folder.glob("curves-*.dxf")):
        document = ezdxf.readfile(file)
        shown = {}
        for entity in disassemble.recursive_decompose(document.modelspace()):
            shown.setdefault(entity.dxf.layer, []).append(entity)
        for layer, entities in shown.items():
            ours = made.get(layer)
            if ours is None:
                faults.append(f"{layer}: not read")
                continue
            seen += 1
            theirs = MultiLineString([row for entity in entities for row in flat(entity)])
            own = MultiLineString(arcs(ours["edges"]))
            kind = entities[0].dxftype()
            off = theirs.hausdorff_distance(own)
            furthest = max(furthest, off)
            if kind != "HATCH" and off > CLOSE + 4e-4 or kind != "HATCH" and off > ours["off"] + 3e-3:
                faults.append(f"{layer} {kind}: {off:.5f} mm off, said {ours['off']:.5f}")
            if abs(theirs.length - own.length) > 2e-3 * theirs.length + 0.01 and kind != "HATCH":
                faults.append(f"{layer} {kind}: {own.length} long, not {theirs.length}")
            if max(abs(a - b) for a, b in zip(theirs.bounds, own.bounds)) > CLOSE + 4e-4:
                faults.append(f"{layer} {kind}: within {own.bounds}, not {theirs.bounds}")
            if kind in ("SPLINE", "ELLIPSE") and len(entities) == 1:
                turn = kink(ours["edges"])
                few = least(entities[0])
                if few is not None and len(ours["edges"]) > 1:
                    count, fewest = count + len(ours["edges"]), fewest + few
                # A cusp is a corner of the curve itself.
                if turn > 0.01 and not cusp(entities[0]):
                    worst_kink = max(worst_kink, turn)
                    faults.append(f"{layer} {kind}: a kink of {turn:.3f} degrees")
    print(f"{seen} compared, {furthest:.5f} mm off at most; {count} arcs and lines, at least {fewest}")
    if count > 2.5 * fewest:
        faults.append(f"{count} arcs where {fewest} may do")
    for fault in faults[:20]:
        print(fault)
    return 1 if faults or seen == 0 else 0


def cusp(entity):
    """Whether a spline itself has a corner: two points of the frame in one, or a pen at rest."""
    if entity.dxftype() != "SPLINE":
        return False
    rows = np.array([[p.x, p.y] for p in entity.flattening(1e-5, 64)])
    ways = np.diff(rows, axis=0)
    ways = ways[np.hypot(ways[:, 0], ways[:, 1]) > 1e-9]
    angles = np.unwrap(np.arctan2(ways[:, 1], ways[:, 0]))
    return bool(np.max(np.abs(np.diff(angles))) > math.radians(20))


if __name__ == "__main__":
    where = Path(sys.argv[1])
    if sys.argv[2] == "draw":
        draw(where, int(sys.argv[3]), int(sys.argv[4]))
    else:
        sys.exit(check(where))
