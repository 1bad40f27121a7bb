"""Curves of every kind, drawn and measured by ezdxf, against the arcs they become.

    .venv/bin/python tests/outside/check_curves.py FOLDER draw SEED COUNT
    .venv/bin/python tests/outside/check_curves.py FOLDER check

The first writes COUNT curves by lot and one of each other kind of entity into curves-V.dxf, each
on a layer called by its number. The second reads EDGES.json,
which has for each number the edges that it became (from, to, bulge, in mm), and how far they were
said to be off. It compares length, bounds and the distance both ways, of splines and ellipses
with their definition, of all else with the flattening of ezdxf, of hatches the area as well; looks
for kinks, and compares the number of arcs with the least that any row of arcs within the tolerance
can have.
"""

import json
import math
import random
import sys
from pathlib import Path

import ezdxf
import numpy as np
import shapely
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


PLACES = 20001


def along(entity):
    """Places of a spline or an ellipse from its definition, none of another entity.

    The flattening of ezdxf is not asked: it runs beyond the ends of knots that are not repeated,
    and between its points it is a chord. A spline is worked out by the rule of de Boor.
    """
    if entity.dxftype() == "ELLIPSE":
        start, end = entity.dxf.start_param, entity.dxf.end_param
        t = start + np.linspace(0, 1, PLACES) * ((end - start) % math.tau or math.tau)
        centre, major, minor = (np.array([v.x, v.y]) for v in (entity.dxf.center, entity.dxf.major_axis, entity.minor_axis))
        return centre + np.outer(np.cos(t), major) + np.outer(np.sin(t), minor)
    if entity.dxftype() != "SPLINE":
        return None
    tool = entity.construction_tool()
    p, knots = tool.degree, np.array(tool.knots())
    points = np.array([[v.x, v.y] for v in tool.control_points])
    weights = np.array(tool.weights()) if tool.is_rational else np.ones(len(points))
    lifted = np.column_stack([points * weights[:, None], weights])
    u = np.linspace(knots[p], knots[len(points)], PLACES)
    i = np.clip(np.searchsorted(knots, u, side="right") - 1, p, len(points) - 1)
    row = [lifted[i - p + j] for j in range(p + 1)]
    for r in range(1, p + 1):
        for j in range(p, r - 1, -1):
            low, high = knots[i - p + j], knots[i + j - r + 1]
            share = ((u - low) / (high - low))[:, None]
            row[j] = row[j - 1] * (1 - share) + row[j] * share
    return row[p][:, :2] / row[p][:, 2:]


def from_edges(points, edges):
    """The largest distance of points from the nearest of our edges."""
    least = np.full(len(points), np.inf)
    for start, end, bulge in edges:
        a, b = np.array(start), np.array(end)
        chord = b - a
        if abs(bulge) < 1e-12:
            share = np.clip((points - a) @ chord / max(chord @ chord, 1e-30), 0, 1)
            off = np.linalg.norm(points - a - share[:, None] * chord, axis=1)
        else:
            centre = (a + b) / 2 + np.array([-chord[1], chord[0]]) * ((1 - bulge**2) / (4 * bulge))
            radius = np.linalg.norm(chord) * (1 + bulge**2) / (4 * abs(bulge))
            out, sweep = points - centre, 4 * math.atan(bulge)
            begins = math.atan2(a[1] - centre[1], a[0] - centre[0])
            past = ((np.arctan2(out[:, 1], out[:, 0]) - begins) * np.sign(sweep)) % math.tau
            ends = np.minimum(np.linalg.norm(points - a, axis=1), np.linalg.norm(points - b, axis=1))
            off = np.where(past <= abs(sweep), np.abs(np.linalg.norm(out, axis=1) - radius), ends)
        least = np.minimum(least, off)
    return float(least.max())


def apart(entity, edges):
    """How far a curve is from our edges, and these from it."""
    curve = along(entity)
    rows = arcs(edges)
    points = [row[k * (len(row) - 1) // 12] for row in rows for k in range(13)]
    back = shapely.distance(LineString(curve), shapely.points(points))
    return from_edges(curve, edges), float(back.max())


def enclosed(rows):
    """The area of lines in a row, each row closed by a line where the next begins elsewhere."""
    total, ring = 0.0, []
    for row in rows + [None]:
        if ring and (row is None or math.dist(ring[-1], row[0]) > 1e-6):
            x, y = np.array(ring).T
            total += abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2
            ring = []
        ring += list(row or [])
    return total


def gaps(rows):
    """How long the lines are that close rows: their paths of hatches end where they begin."""
    total, begins = 0.0, None
    for i, row in enumerate(rows):
        begins = row[0] if begins is None else begins
        if i + 1 == len(rows) or math.dist(row[-1], rows[i + 1][0]) > 1e-6:
            total, begins = total + math.dist(row[-1], begins), None
    return total


def flat(entity):
    """Lines that follow an entity closely."""
    curve = along(entity)
    if curve is not None:
        return [curve]
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
        steps = max(12, int(sweep / math.acos(max(0.0, 1 - 2e-5 / max(radius, 1e-3)))) + 1)
        row = [(centre.x + radius * math.cos(start + sweep * i / steps), centre.y + radius * math.sin(start + sweep * i / steps)) for i in range(steps + 1)]
        points.append(row if bulge > 0 else row[::-1])
    return points


def ways(edge):
    """Directions at the start and the end of an edge, degrees."""
    (x, y), (u, v), bulge = edge
    chord, half = math.degrees(math.atan2(v - y, u - x)), 2 * math.degrees(math.atan(bulge))
    return chord - half, chord + half


def kink(edges, corners):
    """The largest angle at a joint, degrees, but for joints at corners of the curve itself."""
    worst = 0.0
    for one, other in zip(edges, edges[1:]):
        turn = (ways(other)[0] - ways(one)[1] + 180) % 360 - 180
        if len(corners) and np.min(np.hypot(*(corners - np.array(one[1])).T)) <= CLOSE:
            continue
        worst = max(worst, abs(turn))
    return worst


def least(entity, close):
    """Fewest arcs, tangent or not, that stay within a tolerance: an arc of length L over a curve
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
    return max(1, math.ceil(float(np.sum(np.cbrt(change / (192 * close)) * speed) * width)))


def tolerance(entity):
    """What is asked of arcs: a thousandth of the extent of a small curve."""
    low, high = along(entity).min(axis=0), along(entity).max(axis=0)
    return min(CLOSE, max(0.001, 0.001 * math.dist(low, high)))


def check(folder):
    made = json.loads((folder / "EDGES.json").read_text(encoding="utf-8"))
    faults, furthest, nearest, worst_kink, count, fewest, seen = [], 0.0, 0.0, 0.0, 0, 0, 0
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
            if kind in ("SPLINE", "ELLIPSE") and len(entities) == 1:
                off, back = apart(entities[0], ours["edges"])
                # Between our places a curve leaves its chords by less than this.
                if off > ours["off"] + 1e-9 or back > ours["off"] + 1e-4 or ours["off"] > CLOSE:
                    faults.append(f"{layer} {kind}: {off:.6f} and {back:.6f} mm off, said {ours['off']:.6f}")
                nearest = max(nearest, ours["off"] - max(off, back))
            else:
                off = theirs.hausdorff_distance(own)
                # Their circles are curves themselves.
                if kind != "HATCH" and off > ours["off"] + 3e-3:
                    faults.append(f"{layer} {kind}: {off:.5f} mm off, said {ours['off']:.5f}")
            furthest = max(furthest, off)
            long = own.length
            if kind == "HATCH":
                # Their path of an open row is closed.
                long = min(long, long + gaps(arcs(ours["edges"])), key=lambda x: abs(x - theirs.length))
            if abs(theirs.length - long) > (5e-4 if kind == "HATCH" else 2e-3) * theirs.length + 0.01:
                faults.append(f"{layer} {kind}: {long} long, not {theirs.length}")
            if kind == "HATCH":
                one, other = enclosed(arcs(ours["edges"])), enclosed([row for e in entities for row in flat(e)])
                if abs(one - other) > 5e-4 * other + 2e-3 * long:
                    faults.append(f"{layer} {kind}: {one} mm², not {other}")
            if max(abs(a - b) for a, b in zip(theirs.bounds, own.bounds)) > CLOSE + 4e-4:
                faults.append(f"{layer} {kind}: within {own.bounds}, not {theirs.bounds}")
            if kind in ("SPLINE", "ELLIPSE") and len(entities) == 1:
                turn = kink(ours["edges"], corners(entities[0]))
                few = least(entities[0], tolerance(entities[0]))
                if few is not None and len(ours["edges"]) > 1:
                    count, fewest = count + len(ours["edges"]), fewest + few
                if turn > 0.01:
                    worst_kink = max(worst_kink, turn)
                    faults.append(f"{layer} {kind}: a kink of {turn:.3f} degrees")
    print(f"{seen} compared, {furthest:.5f} mm off at most, said {nearest:.5f} too much at most; {count} arcs and lines, at least {fewest}")
    if count > 1.75 * fewest:
        faults.append(f"{count} arcs where {fewest} may do")
    for fault in faults[:20]:
        print(fault)
    return 1 if faults or seen == 0 else 0


def corners(entity):
    """Where a spline itself has a corner: it turns there by more than 20 degrees within a spot, a
    quarter of the tolerance."""
    if entity.dxftype() != "SPLINE":
        return np.empty((0, 2))
    points = along(entity)
    steps = np.diff(points, axis=0)
    moves = np.hypot(steps[:, 0], steps[:, 1]) > 1e-9
    points, steps = points[:-1][moves], steps[moves]
    angles = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    far = np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))
    behind = np.minimum(np.searchsorted(far, far + tolerance(entity) / 4), len(far) - 1)
    return points[np.abs(angles[behind] - angles) > math.radians(20)]


if __name__ == "__main__":
    where = Path(sys.argv[1])
    if sys.argv[2] == "draw":
        draw(where, int(sys.argv[3]), int(sys.argv[4]))
    else:
        sys.exit(check(where))
