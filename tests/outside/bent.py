"""A bent part by itself: its flat cut at its bends, folded as far as one likes.

The flat comes from its DXF, the bends from report.json: where their lines run, how much
sheet they take up, how far and which way they are bent. Faces are what is left of the
flat beside the strips of the bends; which face is which follows from the names in the
recipe. Lengths are mm, angles radians; the sheet lies from z = -thickness to z = 0 and
its top side is z = 0.

The sheet keeps its length in one depth, so a bend half made is a wider arc.
"""

import math

import numpy as np
import shapely
from check_shapes import cut_of, plate, rings
from shapely.geometry import Polygon

FLAT = 0.02  # mm by which a chord may leave an arc of the flat
SPECK = 0.2  # mm²: less is rounding, not a face
CHUNK = math.radians(15)  # of a bend that is one convex piece


def convex(polygon):
    """A polygon as convex pieces: triangles, joined while they stay convex."""
    pieces = list(shapely.constrained_delaunay_triangles(polygon).geoms)
    joined = True
    while joined:
        joined = False
        for i, first in enumerate(pieces):
            for j in range(i + 1, len(pieces)):
                both = first.union(pieces[j])
                if both.geom_type == "Polygon" and both.convex_hull.area - both.area < 1e-7:
                    pieces[i] = both.convex_hull
                    del pieces[j]
                    joined = True
                    break
            if joined:
                break
    return [np.array(piece.exterior.coords[:-1]) for piece in pieces]


class Bend:
    """A bend in the flat."""

    def __init__(self, row):
        self.name, self.row = row["name"], row
        self.start, end = (np.array(p) for p in row["line_mm"])
        self.length = float(np.hypot(*(end - self.start)))
        self.along = (end - self.start) / self.length
        self.across = np.array([-self.along[1], self.along[0]])
        self.allowance = row["allowance_mm"]
        self.angle = math.radians(row["angle_deg"])
        self.radius = row["inside_radius_mm"]
        self.up = row["direction"] == "up"
        # Depth of the fibre that keeps its length, from the inside.
        self.depth = self.allowance / self.angle - self.radius

    def strip(self, wider=0.0):
        half = self.allowance / 2
        ends = (-wider, self.length + wider)
        corners = [(ends[0], -half), (ends[1], -half), (ends[1], half), (ends[0], half)]
        return Polygon([self.start + self.along * s + self.across * t for s, t in corners])

    def seen(self, points):
        """Points of the flat as s along the line and t across it from its middle."""
        return np.column_stack([(points - self.start) @ self.along, (points - self.start) @ self.across])

    def rolled(self, angle):
        """Inside radius while the bend is made so far."""
        return self.allowance / angle - self.depth if angle > 1e-9 else math.inf


class Piece:
    """A convex prism: of a face, or of a bend (`bend` its index)."""

    def __init__(self, face, bend, corners):
        self.face, self.bend, self.corners = face, bend, corners


class Part:
    """The faces and bends of one part. `tree` gives each bend's two faces by its name."""

    def __init__(self, dxf, row, tree, expected):
        self.thickness = row["thickness_mm"]
        self.bends = [Bend(b) for b in row["bends"]]
        whole = Polygon(plate(rings(cut_of(dxf), "mm", FLAT)).exterior)
        rest = whole.difference(shapely.union_all([b.strip(1e-6) for b in self.bends]))
        rest = [p for p in getattr(rest, "geoms", [rest]) if p.area > SPECK]
        self.faces, self.sides = self.named(rest, tree, expected)
        self.pieces = []
        for name, polygon in self.faces.items():
            self.pieces += [Piece(name, None, c) for c in convex(polygon.simplify(1e-6))]
        for i, bend in enumerate(self.bends):
            metal = bend.strip().intersection(whole)
            for polygon in getattr(metal, "geoms", [metal]):
                if polygon.area > 1e-3:
                    self.pieces += [Piece(None, i, c) for c in convex(polygon.simplify(1e-6))]

    def named(self, polygons, tree, expected):
        """Faces by name, and for each bend the face at its -t and at its +t side."""
        touch = []
        for bend in self.bends:
            pair = []
            for side in (-1, 1):
                at = bend.across * (side * (bend.allowance / 2 + 0.01))
                line = shapely.LineString([bend.start + at, bend.start + bend.along * bend.length + at])
                best = max(range(len(polygons)), key=lambda i: polygons[i].intersection(line).length)
                pair.append(best)
            touch.append(pair)
        of_face = {}
        for i, bend in enumerate(self.bends):
            for face in tree[bend.name]:
                of_face.setdefault(face, set()).add(i)
        of_polygon = {}
        for i, pair in enumerate(touch):
            for polygon in pair:
                of_polygon.setdefault(polygon, set()).add(i)
        names = {}
        for face, bends in of_face.items():
            same = [p for p, theirs in of_polygon.items() if theirs == bends and p not in names.values()]
            # A part of one bend has two faces of one kind: they are distinguished by size.
            names[face] = min(same, key=lambda p: abs(polygons[p].area - expected.get(face, 0)))
        back = {polygon: face for face, polygon in names.items()}
        sides = [[back[p] for p in pair] for pair in touch]
        return {face: polygons[p] for face, p in names.items()}, sides

    def across(self, without):
        """The faces that hang together on either side of a bend."""
        found = []
        for start in self.sides[without]:
            reached, todo = {start}, [start]
            while todo:
                here = todo.pop()
                for i, pair in enumerate(self.sides):
                    if i != without and here in pair:
                        new = pair[0] if pair[1] == here else pair[1]
                        if new not in reached:
                            reached.add(new)
                            todo.append(new)
            found.append(reached)
        return found

    def folded(self, angles, root):
        """Motions of all faces (3×4 each) when the bends are made so far; `root` stays."""
        motions, todo = {root: np.hstack([np.eye(3), np.zeros((3, 1))])}, [root]
        while todo:
            here = todo.pop()
            for i, pair in enumerate(self.sides):
                if here not in pair:
                    continue
                other = pair[1] if pair[0] == here else pair[0]
                if other in motions:
                    continue
                side = 1 if pair[0] == here else -1
                motions[other] = after(motions[here], self.step(i, angles[i], side, self.bends[i].allowance))
                todo.append(other)
        return motions

    def step(self, i, angle, side, length):
        """The motion past a length of a bend, from the side where t has the other sign."""
        bend = self.bends[i]
        out = np.append(bend.across * side, 0.0)
        begins = np.append(bend.start, 0.0) - out * (bend.allowance / 2)
        if angle < 1e-9:
            return np.hstack([np.eye(3), np.zeros((3, 1))])
        radius = bend.rolled(angle)
        turn = angle * length / bend.allowance
        height = radius if bend.up else -self.thickness - radius
        rise = 1.0 if bend.up else -1.0
        up = np.array([0.0, 0.0, 1.0])
        axis = np.append(bend.along, 0.0)
        # The sheet at `length` beyond the tangent is drawn back to it, then turned.
        cos, sin = math.cos(turn), rise * math.sin(turn)
        turned = np.outer(axis, axis) + cos * (np.outer(out, out) + np.outer(up, up))
        turned += sin * (np.outer(up, out) - np.outer(out, up))
        centre = begins + up * height
        shift = centre - turned @ (centre + out * length)
        return np.hstack([turned, shift[:, None]])

    def solids(self, angles, root, under_way=None, skin=0.0):
        """All convex pieces in space: what they are of, and their corners.

        `skin` is left off both sides of the sheet. A bend made, in part or whole, comes in
        chunks; what is flat comes as it is.
        """
        motions = self.folded(angles, root)
        levels = (-skin, -self.thickness + skin)
        found = []
        for piece in self.pieces:
            if piece.bend is None:
                found.append((piece, moved(motions[piece.face], prism(piece.corners, levels))))
                continue
            standing = motions[self.sides[piece.bend][0]]
            chunks = self.chunks(piece, angles[piece.bend], 1, levels)
            found += [(piece, moved(standing, corners)) for corners in chunks]
        return found, motions

    def rolled(self, i, angle, side, skin):
        """The chunks of a bend alone, the face before it at rest."""
        levels = (-skin, -self.thickness + skin)
        pieces = [piece for piece in self.pieces if piece.bend == i]
        return [c for piece in pieces for c in self.chunks(piece, angle, side, levels)]

    def chunks(self, piece, angle, side, levels):
        """A bend in convex pieces, the face at its −`side` at rest."""
        i, bend = piece.bend, self.bends[piece.bend]
        seen = bend.seen(piece.corners)
        # An even number: the middle of a bend, at the punch, is a corner of two.
        count = 2 * max(1, math.ceil(angle / CHUNK / 2)) if angle else 1
        found = []
        for k in range(count):
            low, high = (-0.5 + k / count) * bend.allowance, (-0.5 + (k + 1) / count) * bend.allowance
            cut = Polygon(seen).intersection(shapely.box(-1e4, low, 1e4, high))
            if cut.geom_type != "Polygon" or cut.area < 1e-6:
                continue
            corners = []
            places = cut.exterior.coords[:-1]
            for t in sorted({round(t, 6) for _, t in places}):
                at = [s for s, here in places if abs(here - t) < 2e-6]
                flat = np.array([bend.start + bend.along * s + bend.across * t for s in at])
                motion = self.step(i, angle, side, side * t + bend.allowance / 2)
                corners.append(moved(motion, prism(flat, levels)))
            found.append(np.vstack(corners))
        return found


def prism(corners, levels):
    return np.vstack([np.column_stack([corners, np.full(len(corners), z)]) for z in levels])


def moved(motion, points):
    return points @ motion[:, :3].T + motion[:, 3]


def after(first, second):
    """The motion that does `second`, then `first`."""
    turned = first[:, :3] @ second[:, :3]
    return np.hstack([turned, (first[:, :3] @ second[:, 3] + first[:, 3])[:, None]])
