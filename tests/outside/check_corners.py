"""Gaps at corners, measured in the solid by a geometry kernel, against those reported.

    .venv/bin/python tests/outside/check_corners.py PROGRAM FIRST COUNT

Random corners: two walls on neighbouring edges of a base whose corner is 60° to 120°, each
bent by 45° to 135°, closed, mitred or overlapped, with every kind of relief; every third has a
wall that tapers away from the corner above half of its height. The program makes the STEP; of
its sides those that belong to a wall, above its bend, are taken, the side of each that faces the
corner is followed from its relief to its top (the walls are straight: an arc belongs to a
relief), and the kernel measures from both surfaces there
to the other wall, at 25 places of each of its edges, opposite the corners of that wall and half
way between, then at 25 about the widest of them, ever nearer. The least and the widest of that
must be those of report.json, and those specified where the report has no finding about the
corner. One wall is then moved 0.1 mm off the other, which must be seen.

Prints one line for each fact that fails and one line of totals; exits 1 when a fact failed
or when there was nothing to check.
"""

import collections
import itertools
import json
import math
import random
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.GeomAbs import GeomAbs_Line
from OCP.gp import gp_Pnt
from OCP.gp import gp_Trsf
from OCP.gp import gp_Vec
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Compound

PLACES = 25
FINER = 3  # times that the places are set anew, about the widest of them
MOVED = 0.1  # mm by which a wall is moved, to see that it is seen
NEAR = 1e-4  # mm: on a plane
ALIKE = 0.03  # mm by which two ways of measuring may differ
PASSES = 0.06  # mm by which a gap may be off before it must be found


class Corner:
    """A recipe with one corner, and where its walls stand."""

    def __init__(self, number):
        r = random.Random(f"corner {number}")
        self.thickness = r.choice([1.5, 2.0, 3.0])
        self.radius = r.choice([self.thickness, 1.5 * self.thickness])
        self.plan = math.radians(r.choice([60, 75, 90, 90, 90, 105, 120]))
        self.turns = [r.randint(45, 135), r.randint(45, 135)]
        if r.random() < 0.4:
            self.turns[1] = self.turns[0]
        self.joint = r.choice(["closed", "mitre", "overlap"])
        self.gap = r.choice([0.3, 0.5, 0.8, 1.2])
        self.relief = r.choice(["square", "round", "hole"])
        self.high = r.choice([25, 35])
        # How far in from the corner a wall begins and ends above half of its height.
        self.taper = sorted(r.uniform(0, 12) for _ in range(2)) if number % 3 == 2 else None
        self.tapered = r.choice([0, 1])
        # The edges run to the corner and from it; the base lies to their left.
        self.front = np.array([1.0, 0.0])
        self.right = np.array([math.cos(math.pi - self.plan), math.sin(math.pi - self.plan)])

    def recipe(self):
        far = 120 * self.right
        corners = [(0, 0), (120, 0), (120 + far[0], far[1]), (far[0], far[1])]
        words = [f'["{x:.6f} mm", "{y:.6f} mm"]' for x, y in corners]
        base = f'{{ at = {words[0]}, edge = "front" }}, {{ at = {words[1]}, edge = "right" }}, {words[2]}, {words[3]}'
        text = f'about = "Corner"\n[face.base]\nblank = [ {{ add = "polygon", corners = [ {base} ] }} ]\n'
        # Wide enough for any lean: metal is only removed. The far ends stay clear. Seen
        # from its bend a flange has the end of the edge on its left.
        wide = 100
        for k, (name, turn) in enumerate(zip(("front", "right"), self.turns)):
            near, end = (-60 - wide, 20) if name == "front" else (-20, 60 + wide)
            outline = [(near, 0), (end, 0), (end, self.high), (near, self.high)]
            if self.taper and self.tapered == k:
                outline = self.cut_back(outline, k)
            corners = ", ".join(f'["{x:.6f} mm", "{y:.6f} mm"]' for x, y in outline)
            text += f'[face.{name}]\nblank = [ {{ add = "polygon", corners = [ {corners} ] }} ]\n'
            corner = "open" if self.joint == "overlap" and name == "right" else self.joint
            text += (f'[bend.{name}]\non = "base.{name}"\nto = "{name}"\nangle = "{turn} deg"\nradius = "{self.radius} mm"\n'
                     f'relief = "{self.relief}"\ncorner = "{corner}"\ngap = "{self.gap} mm"\n')
        return text

    def cut_back(self, outline, k):
        """The corners of a wall that tapers away from the corner above half of its height."""
        side, middle = (-1, self.high / 2) if k == 0 else (1, self.high / 2)
        first, second = ((side * (60 - taper), y) for taper, y in zip(self.taper, (middle, self.high)))
        corner = (outline[0][0] if k == 0 else outline[1][0], middle)
        return [*outline[:3], second, first, corner] if k == 0 else [*outline[:2], corner, first, second, outline[3]]

    def job(self):
        return (f'process = "laser"\n[[sheet]]\nname = "s"\nmaterial = "S235"\nthickness = "{self.thickness} mm"\n'
                'stock = [ { size = ["1000 mm", "1000 mm"] } ]\n[[part]]\nrecipe = "r"\nname = "p"\nsheet = "s"\n')

    def wall(self, k):
        """Where a wall begins above its bend, on the upper side: origin, along, up, out of it."""
        along = np.append([self.front, self.right][k], 0.0)
        out = np.array([along[1], -along[0], 0.0])
        turn, r, t = math.radians(self.turns[k]), self.radius, self.thickness
        # Outside dimensions: the edge as drawn is the mould line.
        begins = np.array([120.0, 0, 0]) - out * math.tan(turn / 2) * (r + t)
        up = math.cos(turn) * out + math.sin(turn) * np.array([0, 0, 1.0])
        normal = math.cos(turn) * np.array([0, 0, 1.0]) - math.sin(turn) * out
        return begins + out * r * math.sin(turn) + np.array([0, 0, r * (1 - math.cos(turn))]), along, up, normal


def read(path):
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    return reader.OneShape()


def pieces(shape, kind):
    found, explorer = [], TopExp_Explorer(shape, kind)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def corners_of(face):
    """The corners of a face, in space."""
    vertices = [TopoDS.Vertex_s(v) if hasattr(TopoDS, "Vertex_s") else TopoDS.Vertex(v) for v in pieces(face, TopAbs_VERTEX)]
    points = [BRep_Tool.Pnt_s(v) if hasattr(BRep_Tool, "Pnt_s") else BRep_Tool.Pnt(v) for v in vertices]
    return np.array([[p.X(), p.Y(), p.Z()] for p in points])


def straight(edge):
    edge = TopoDS.Edge_s(edge) if hasattr(TopoDS, "Edge_s") else TopoDS.Edge(edge)
    return BRepAdaptor_Curve(edge).GetType() == GeomAbs_Line


class Wall:
    """The sides of the solid that belong to one wall, above its bend."""

    def __init__(self, shape, corner, k):
        self.origin, self.along, self.up, self.normal = corner.wall(k)
        self.thickness = corner.thickness
        self.compound, builder = TopoDS_Compound(), BRep_Builder()
        builder.MakeCompound(self.compound)
        # The plate's two surfaces, then the sides between them.
        surfaces, others = ([], []), []
        for face in pieces(shape, TopAbs_FACE):
            seen = self.seen(corners_of(face))
            levels = [np.all(np.abs(seen[:, 2] - z) < NEAR) for z in (0.0, -self.thickness)]
            if any(levels) and np.all(seen[:, 1] > -NEAR):
                surfaces[levels.index(True)].append((face, seen))
            else:
                others.append(face)
        edges = [[e for face, _ in row for e in pieces(face, TopAbs_EDGE)] for row in surfaces]
        for face in [face for row in surfaces for face, _ in row] + others:
            own = pieces(face, TopAbs_EDGE)
            beside = all(any(a.IsSame(b) for a in own for b in theirs) for theirs in edges)
            if face not in others or beside:
                builder.Add(self.compound, face)
        self.drawn = np.vstack([seen[:, :2] for _, seen in surfaces[0]])
        self.straight = [straight(edge) for edge in edges[0]]

    def seen(self, points):
        return (points - self.origin) @ np.column_stack([self.along, self.up, self.normal])

    def point(self, x, y, z):
        return self.origin + self.along * x + self.up * y + self.normal * z

    def edges(self, side):
        """The straight edges outermost on a side, from above the relief to the top: lower and upper ends."""
        drawn = zip(self.drawn.reshape(-1, 2, 2).tolist(), self.straight, strict=True)
        pairs = [(*sorted(pair, key=lambda p: p[1]), line) for pair, line in drawn]
        pairs = [(a, b, line) for a, b, line in pairs if b[1] - a[1] > 1e-3]
        heights = sorted({round(p[1], 4) for a, b, _ in pairs for p in (a, b)})
        found = []
        for low, high in zip(heights, heights[1:]):
            at = lambda pair, y: pair[0][0] + (pair[1][0] - pair[0][0]) * (y - pair[0][1]) / (pair[1][1] - pair[0][1])
            here = [p for p in pairs if p[0][1] < (low + high) / 2 < p[1][1]]
            if high - low > 1e-3 and here:
                pair = max(here, key=lambda p: side * at(p, (low + high) / 2))
                found.append(((at(pair, low), low), (at(pair, high), high), math.dist(*pair[:2]), pair[2]))
        steep = [line and b[1] - a[1] > 0.2 * math.dist(a, b) for a, b, _, line in found]
        long = max((i for i in range(len(found)) if steep[i]), key=lambda i: found[i][2])
        first = long
        while first and steep[first - 1] and side * (found[first][0][0] - found[first - 1][1][0]) < 1e-3:
            first -= 1
        rest = itertools.dropwhile(lambda i: not steep[i], range(first, len(found)))
        return [found[i][:2] for i in itertools.takewhile(lambda i: steep[i], rest)]


def distance(a, b):
    return BRepExtrema_DistShapeShape(a, b).Value()


def moved_off(a, b):
    """The distance of two shapes, the second moved off the first by a little."""
    nearest = BRepExtrema_DistShapeShape(a, b)
    way = gp_Vec(nearest.PointOnShape1(1), nearest.PointOnShape2(1))
    motion = gp_Trsf()
    motion.SetTranslation(way.Normalized().Multiplied(MOVED))
    return distance(a, BRepBuilderAPI_Transform(b, motion, True).Shape())


def reach(wall, other, edge, low, high):
    """From which share of an edge to which both surfaces are as high as the other wall reaches."""
    span = [0.0, 1.0]
    for z in (0.0, -wall.thickness):
        a, b = (other.seen(wall.point(*end, z))[1] for end in edge)
        if abs(b - a) < 1e-9:
            if not low <= a <= high:
                return None
            continue
        one, two = sorted(((low - a) / (b - a), (high - a) / (b - a)))
        span = [max(span[0], one), min(span[1], two)]
    return span if span[0] <= span[1] else None


def widest_along(wall, other, edge, span):
    """The widest gap of an edge between two shares of it: at some places and opposite each corner of the
    other wall, then about the widest of these."""
    (ax, ay), (bx, by) = edge
    start, end = span
    way = wall.along * (bx - ax) + wall.up * (by - ay)
    corners = np.vstack([other.point(x, y, z) for x, y in other.drawn for z in (0.0, -wall.thickness)])
    opposite = (corners - wall.point(ax, ay, -wall.thickness / 2)) @ way / (way @ way)
    shares = np.unique([*np.linspace(start, end, PLACES), *opposite[(start < opposite) & (opposite < end)]])
    shares = np.concatenate([shares, (shares[1:] + shares[:-1]) / 2])
    step = (end - start) / 2
    for _ in range(FINER):
        both = [[wall.point(ax + (bx - ax) * share, ay + (by - ay) * share, z) for z in (0.0, -wall.thickness)] for share in shares]
        row = [min(distance(BRepBuilderAPI_MakeVertex(gp_Pnt(*p)).Vertex(), other.compound) for p in two) for two in both]
        best, step = shares[int(np.argmax(row))], step * 2 / (PLACES - 1)
        shares = np.clip(np.linspace(best - step * PLACES / 2, best + step * PLACES / 2, PLACES), start, end)
    return max(row)


def gaps(walls):
    """The least distance of the walls, and that along the edges that face the corner."""
    rows = []
    for k, side in ((0, 1.0), (1, -1.0)):
        wall, other = walls[k], walls[1 - k]
        low, high = other.drawn[:, 1].min(), other.drawn[:, 1].max()
        row = []
        for edge in wall.edges(side):
            span = reach(wall, other, edge, low, high)
            if span:
                row.append(widest_along(wall, other, edge, span))
        rows.append(row)
    widest = [max(row) for row in rows if row]
    return distance(walls[0].compound, walls[1].compound), min(widest) if widest else None


def check(number, program, folder, counts):
    corner = Corner(number)
    (folder / "r.toml").write_text(corner.recipe())
    (folder / "j.toml").write_text(corner.job())
    out = folder / f"out-{number}"
    run = subprocess.run([program, "make", str(folder / "j.toml"), "--out", str(out), "--effort", "0", "--no-drawings"],
                         capture_output=True, text=True, timeout=600, check=False)
    words = f"corner {number} ({corner.joint}, {corner.relief}, {math.degrees(corner.plan):.0f}°, bent {corner.turns}, gap {corner.gap}, tapered {corner.taper} {corner.tapered})"
    if run.returncode != 0:
        counts["stopped: " + ", ".join(sorted(set(re.findall(r"^stop\[([a-z-]+)\]", run.stderr, re.M))))] += 1
        return []
    report = json.loads((out / "report.json").read_text())
    found = [f["headline"] for f in report["findings"] if f["code"] == "corner-gap"]
    counts["with a finding" if found else "clear"] += 1
    rows = report["parts"][0].get("corners", [])
    if not rows:
        counts["not measured"] += 1
        return [(bool(found), f"{words}: no gap is reported, and nobody says so")]
    shape = read(out / "folded/p.step")
    walls = [Wall(shape, corner, k) for k in (0, 1)]
    least, widest = gaps(walls)
    row = rows[0]
    off = moved_off(walls[0].compound, walls[1].compound)
    facts = [(off - row["min_mm"] > ALIKE, f"{words}: {MOVED} mm more is not seen: {off:.3f}")]
    facts.append((abs(row["min_mm"] - least) < ALIKE, f"{words}: least gap {least:.3f}, reported {row['min_mm']:.3f}"))
    if widest is not None:
        facts.append((abs(row["max_mm"] - widest) < ALIKE, f"{words}: widest gap {widest:.3f}, reported {row['max_mm']:.3f}"))
    if not found:
        good = abs(least - corner.gap) < PASSES and (widest is None or abs(widest - corner.gap) < PASSES)
        facts.append((good, f"{words}: {least:.3f} to {widest}, and nobody says so"))
    return facts


def main():
    program, first, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    facts, counts = [], collections.Counter()
    with tempfile.TemporaryDirectory() as folder:
        for number in range(first, first + count):
            facts += check(number, program, Path(folder), counts)
    failed = [words for good, words in facts if not good]
    for words in failed:
        print(words)
    print(", ".join(f"{n} {what}" for what, n in sorted(counts.items())))
    print(f"{len(facts) - len(failed)} passed, {len(failed)} failed")
    sys.exit(1 if failed or not facts else 0)


main()
