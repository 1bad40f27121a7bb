"""Straight cuts through faces: what they part, and the metal on them."""

import itertools
import math

import numpy as np
from shapely.geometry import LineString, Point, Polygon


def parts_of(geometry):
    return list(getattr(geometry, "geoms", [geometry]))


class Chord:
    """A section of a face: pieces of metal on one straight line, and what is on the load's side."""

    def __init__(self, face, at, way, pieces, depths, bolts, normal):
        self.face, self.at, self.way, self.pieces = face, at, way, pieces
        self.depths = depths  # of what is open between the pieces, ahead of the line
        self.bolts, self.normal = bolts, normal
        self.hand = np.sign(way[0] * normal[1] - way[1] * normal[0])

    @property
    def opening(self):
        return (min(low for low, _ in self.depths), max(high for _, high in self.depths))

    def fillings(self):
        """The same section with metal in some of its openings, in every choice of them."""
        count = len(self.pieces) - 1
        for filled in itertools.product([False, True], repeat=count):
            if not any(filled):
                continue
            pieces, depths = [list(self.pieces[0])], []
            for piece, depth, is_filled in zip(self.pieces[1:], self.depths, filled):
                if is_filled:
                    pieces[-1][1] = piece[1]
                else:
                    pieces.append(list(piece))
                    depths.append(depth)
            yield Chord(self.face, self.at, self.way, pieces, depths, self.bolts, self.normal)


class Plate:
    """The metal of a face, where its load comes in and what holds it."""

    def __init__(self, part, face):
        self.part, self.face = part, face
        drawn = part.faces[face]
        self.metal = part.metal(face)
        self.sides = Polygon(drawn.points).exterior
        self.discs = [(np.array([x, y]), d / 2) for x, y, d in drawn.empty + drawn.notches]
        self.loads, self.holds, self.bolts = [], [], []
        path = part.path()
        if face == part.loaded():
            self.loads = [tuple(part.spot())]
            if part.above is None:
                self.pinned = (np.array(part.spot()), part.hole / 2)
        for i, forward in path:
            bend = part.bends[i]
            near, far = (bend.to, bend.on) if forward else (bend.on, bend.to)
            if far == face:
                self.loads = self.line_of(bend, face)
            if near == face:
                self.holds = self.line_of(bend, face)
        if part.held[0] == face:
            if part.held[1]:
                start, end = drawn.edge(part.held[1])
                self.holds = self.inset(start, end, 0.0)
            else:
                self.bolts = [np.array(b) for b in drawn.bolts]
        self.filled = [(np.array(b), part.clear / 2) for b in drawn.bolts]
        if drawn.eye:
            self.filled.append((np.array(drawn.eye), part.hole / 2))

    def line_of(self, bend, face):
        back = self.part.setback(bend.angle)
        if bend.on == face:
            start, end = self.part.faces[face].edge(bend.edge)
            return self.inset(start, end, back)
        start, end = self.part.faces[bend.on].edge(bend.edge)
        half = np.linalg.norm(end - start) / 2
        return self.inset(np.array([-half, 0.0]), np.array([half, 0.0]), back)

    def inset(self, start, end, back):
        """Points in the metal beside an edge or a bend, its ends among them."""
        along = (end - start) / np.linalg.norm(end - start)
        normal = np.array([-along[1], along[0]]) * 1e-4
        inside = self.metal.intersection(LineString([start + normal + normal * 1e4 * back, end + normal + normal * 1e4 * back]))
        ends = [np.array(c) @ along for piece in parts_of(inside) for c in piece.coords]
        low, high = min(ends), max(ends)
        base = start + normal * (1 + 1e4 * back) - along * (start @ along)
        return [tuple(base + along * (low + (high - low) * s)) for s in (1e-4, 0.25, 0.5, 0.75, 1 - 1e-4)]

    def chords(self, at, way):
        """The sections on a line that part the load from at least something that holds."""
        normal = np.array([-way[1], way[0]])
        line = LineString([at - way * 999, at + way * 999])
        met = self.metal.intersection(line)
        spans = sorted(
            sorted((np.array(c) - at) @ way for c in (piece.coords[0], piece.coords[-1]))
            for piece in parts_of(met) if piece.geom_type == "LineString" and piece.length > 1e-3
        )
        if not spans:
            return
        groups = [[spans[0]]]
        for before, span in zip(spans, spans[1:]):
            middle = Point(at + way * (before[1] + span[0]) / 2)
            if any(Polygon(ring).covers(middle) for ring in self.metal.interiors):
                groups[-1].append(span)
            else:
                groups.append([span])
        for group in groups:
            strips = [
                LineString([at + way * (a - 1e-4), at + way * (b + 1e-4)]).buffer(1e-7, cap_style="flat") for a, b in group
            ]
            rest = self.metal
            for strip in strips:
                rest = rest.difference(strip)
            bodies = parts_of(rest)
            if len(bodies) < 2:
                continue
            load = {self.body(bodies, p) for p in self.loads}
            if len(load) != 1 or None in load:
                continue
            body = bodies[load.pop()]
            probe = at + way * (group[0][0] + group[0][1]) / 2
            ahead = body.distance(Point(probe + normal * 1e-4)) < 5e-5
            toward = normal if ahead else -normal
            held = [body.distance(Point(p)) < 1e-6 for p in self.holds]
            if self.bolts:
                held = [self.is_ahead(bodies, body, p, (p - at) @ toward) for p in self.bolts]
                if all(held):
                    continue
                inside = [i for i, is_in in enumerate(held) if is_in]
            else:
                if any(held) or not held:
                    continue
                inside = []
            # The edges of round openings to the last digit; beside a notch its side as it is drawn.
            ends = [end for disc in across(self.discs, at, way) for end in disc]
            is_straight = lambda s: self.sides.distance(Point(at + way * s)) < 1e-9
            exact = [
                [next((e for e in ends if abs(e - end) < 0.05 and not is_straight(end)), end) for end in span]
                for span in group
            ]
            rings = [
                next(ring for ring in self.metal.interiors if Polygon(ring).covers(Point(at + way * (a[1] + b[0]) / 2)))
                for a, b in zip(group, group[1:])
            ]
            depths = [self.depth(ring, at, toward) for ring in rings]
            yield Chord(self.face, at, way, exact, depths, inside, toward)

    def over_notches(self, start, end):
        """The section from place to place, which goes through notches as if they were filled."""
        long = np.linalg.norm(end - start)
        way = (end - start) / long
        own = [c for c in self.chords(start, way) if c.pieces[0][0] > -2e-2 and c.pieces[-1][1] < long + 2e-2]
        open_ = LineString([start, end]).difference(self.metal.buffer(1e-3))
        notches = [p for p in parts_of(open_) if not any(Polygon(ring).intersects(p) for ring in self.metal.interiors)]
        if len(own) != 1 or not 0.1 < sum(p.length for p in notches) < long / 2:
            return None
        chord = own[0]
        chord.pieces = [list(piece) for piece in chord.pieces]
        chord.pieces[0][0], chord.pieces[-1][1] = 0.0, long
        return chord

    def depth(self, ring, at, toward):
        """How far an opening reaches ahead of a line; a round one as it is drawn, not as a polygon."""
        for middle, radius in self.discs:
            off = [np.linalg.norm(np.array(c) - middle) for c in ring.coords]
            if max(off) < radius + 1e-6 and min(off) > radius * 0.999:
                ahead = (middle - at) @ toward
                return ahead - radius, ahead + radius
        ahead = [(np.array(c) - at) @ toward for c in ring.coords]
        return min(ahead), max(ahead)

    @staticmethod
    def body(bodies, place):
        near = [i for i, body in enumerate(bodies) if body.distance(Point(place)) < 1e-6]
        return near[0] if len(near) == 1 else None

    def is_ahead(self, bodies, body, bolt, off):
        """Whether a bolt is in the load's body. A hair beside the line it touches both: its side counts."""
        near = [other for other in bodies if other.distance(Point(bolt)) < 1e-6]
        return body in near and (len(near) == 1 or off > 0)

    def deductions(self, chord):
        """What bolts and pins take out of the chord: spans along it."""
        return across(self.filled, chord.at, chord.way)


def across(discs, at, way):
    """Spans of a line within discs."""
    out = []
    for middle, radius in discs:
        off = middle - at
        far = abs(off @ np.array([-way[1], way[0]]))
        if far < radius:
            half = math.sqrt(radius**2 - far**2)
            out.append((off @ way - half, off @ way + half))
    return out


def subtract(spans, holes):
    for low, high in holes:
        spans = [
            (a, b) for s in spans for a, b in ((s[0], min(s[1], low)), (max(s[0], high), s[1])) if b - a > 1e-9
        ]
    return spans


def merged(spans):
    out = []
    for a, b in sorted(spans):
        if out and a <= out[-1][1]:
            out[-1] = (out[-1][0], max(b, out[-1][1]))
        else:
            out.append((a, b))
    return out


def cones(place, radius, axis, at, way):
    """Where 45° from a disc meets a line: about the normal of the line, and about the path."""
    off = place - at
    normal, aside = np.array([-way[1], way[0]]), np.array([-axis[1], axis[0]])
    s, far = off @ way, off @ normal
    spans = [(s - radius - abs(far), s + radius + abs(far))]
    sides = []
    for hand in (1, -1):
        ray, start = (axis + hand * aside) / math.sqrt(2), off + hand * radius * aside
        run = ray @ normal
        along = -(start @ normal) / run if abs(run) > 1e-12 else math.inf
        # A side of the cone that never meets the line leaves it open there.
        meets = along >= 0 and math.isfinite(along)
        sides.append((start + ray * along) @ way if meets else math.copysign(1e9, hand * (aside @ way)))
    spans.append((min(sides), max(sides)))
    return merged(spans)


def properties(spans):
    """Width, centroid, second moment of area for 1 mm of thickness, of metal along a line."""
    width = sum(b - a for a, b in spans)
    centre = sum((b**2 - a**2) / 2 for a, b in spans) / width
    second = sum((b - a) ** 3 / 12 + (b - a) * ((a + b) / 2 - centre) ** 2 for a, b in spans)
    return width, centre, second


def plastic(spans):
    """Plastic section modulus for 1 mm of thickness: halves of equal width about their border."""
    width, count = sum(b - a for a, b in spans), 0.0
    for a, b in sorted(spans):
        if count + b - a >= width / 2:
            middle = a + width / 2 - count
            break
        count += b - a
    return sum(abs((b - middle) * abs(b - middle) - (a - middle) * abs(a - middle)) / 2 for a, b in spans)
