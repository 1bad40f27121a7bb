"""Random parts under load, as they are drawn.

A part is a tree of faces joined by bends. One seam or one group of bolts holds it, and it is
loaded at a hole or at a point above a plate. Lengths are mm, angles rad.
"""

import math
import random
from dataclasses import dataclass, field

import numpy as np

CLEAR = {6.0: 6.6, 8.0: 9.0, 10.0: 11.0, 12.0: 13.5}  # ISO 273, medium
WAYS = ["pull", "push", "along", "normal"]


@dataclass
class Face:
    """Corners in order, {corner: name of the edge that starts there}, openings, and holes."""

    points: list
    edges: dict = field(default_factory=dict)
    slots: list = field(default_factory=list)  # (x, y, width, height) of open cut-outs
    empty: list = field(default_factory=list)  # (x, y, diameter) that nothing goes through
    bolts: list = field(default_factory=list)  # (x, y) of the group
    eye: tuple = None
    notches: list = field(default_factory=list)  # (x, y, diameter) of discs cut across the outline
    turned: float = 0.0  # of slots, degrees
    pattern: tuple = None  # columns, rows, pitches and rotation of the bolts, once they are turned

    def edge(self, name):
        start = next(i for i, own in self.edges.items() if own == name)
        return np.array(self.points[start]), np.array(self.points[(start + 1) % len(self.points)])


@dataclass
class Bend:
    on: int
    edge: str
    to: int
    angle: float  # rad
    side: int  # 1 up, -1 down


def pattern(bolts):
    """Columns, rows and pitches of bolts in a rectangle along x and y."""
    xs, ys = (sorted({b[k] for b in bolts}) for k in (0, 1))
    return len(xs), len(ys), xs[-1] - xs[0] or 1.0, ys[-1] - ys[0] or 1.0, 0.0


def trapezoid(low, high, height, keep_low, keep_high, rng):
    """Symmetric at its ends, which are kept as wide for a while; corners from the lower left."""
    def taper():
        return round(rng.uniform(0.75, 1.0), 2) if rng.random() < 0.5 else 1.0
    neck = taper()
    points = [(-low, 0), (low, 0)]
    if low != high or neck < 1:
        middle = max(keep_low + 1, min((keep_low + height - keep_high) / 2, height - keep_high - 1))
        narrow = round(neck * min(low, high), 1)
        right = [(low, keep_low), (narrow, round(middle, 2)), (high, round(height - keep_high, 2))]
        right = [(low, 0), *right, (high, height)]
        right = [at for i, at in enumerate(right) if i == 0 or at != right[i - 1]]
        points = right + [(-x, y) for x, y in right[::-1]]
        top = len(right) - 1
        return points[-1:] + points[:-1], top + 1
    else:
        points += [(high, height), (-high, height)]
        top = 2
    return points, top


class Drawn:
    """The part of a number: the same one every time."""

    KINDS = ["lug", "screwed", "strip", "angle", "channel", "wing", "post", "strip", "hook", "lug", "tee"]

    def __init__(self, number, **fixed):
        rng = random.Random(7000 + number)
        self.number, self.name, self.rng = number, f"p{number}", rng
        self.kind = fixed.get("kind", self.KINDS[(number // 2) % len(self.KINDS)])
        self.thick = fixed.get("thick", rng.choice([3.0, 4.0, 5.0, 6.0, 8.0]))
        self.radius = 2 * self.thick
        self.pin = rng.choice([8.0, 10.0, 12.0])
        self.hole = self.pin + 0.5
        self.bolt = rng.choice([d for d in CLEAR if d > self.thick])
        self.clear = CLEAR[self.bolt]
        self.is_eye = rng.random() < 0.6
        self.bends, self.faces = [], []
        self.above, self.foot, self.inches = None, None, False
        self.leg = 3.0
        getattr(self, self.kind)(rng)
        self.loads = self.drawn_loads(rng)

    # What is drawn

    def setback(self, angle):
        return (self.radius + self.thick) * math.tan(angle / 2)

    def decorate(self, face, low, high, half, rng):
        """Now and then an opening between two heights of a face of this half width."""
        if self.bends or self.kind in ("strip", "angle", "wing"):
            low, high = low + 2.2 * self.thick, high - 2.2 * self.thick
        room = high - low
        pick = rng.random()
        small = self.thick + 0.5
        if pick < 0.3 and room > small + 4:
            height = round(min(room - 2, rng.uniform(small, 20)), 1)
            width = round(max(rng.uniform(0.5, 1.1) * half, small), 1)
            aside = round(rng.uniform(-0.3, 0.3) * (half - width / 2), 1)
            face.slots.append((aside, round(rng.uniform(low + height / 2, high - height / 2), 1), width, height))
        elif pick < 0.5 and room > small + 4:
            d = round(max(small, min(room - 2, rng.uniform(5, 12), half)), 1)
            face.empty.append((round(rng.uniform(-0.4, 0.4) * half, 1), round(rng.uniform(low + d / 2, high - d / 2), 1), d))

    def grid(self, rng, low, height, half):
        """A group of bolts in a rectangle, low edge at `low`; at least two of them."""
        edge = max(1.55 * self.clear, self.clear / 2 + self.thick + 0.5)
        across, up = half - edge, height - 2 * edge
        columns = 2 if across > 0.9 * self.clear else 1
        rows = 2 if up > 1.8 * self.clear or columns == 1 else 1
        xs = [round(across, 1), round(-across, 1)] if columns == 2 else [0.0]
        ys = [round(low + edge, 1), round(low + edge + max(up, 2 * self.clear), 1)] if rows == 2 else [round(low + height / 2, 1)]
        return [(x, y) for y in ys for x in xs]

    def eyed(self, half, height):
        room = half - 1.6 * self.hole
        return (round(self.rng.uniform(-1, 1) * max(room, 0), 1), round(height - 1.75 * self.hole, 1))

    def lug(self, rng):
        height, half = round(rng.uniform(85, 160), 1), round(rng.uniform(1.7 * self.hole, 42), 1)
        foot, low = (round(rng.uniform(0.6, 1.4) * half, 1) for _ in range(2))
        waist = [round(rng.uniform(0.5, 1.0) * half, 1) for _ in range(2)]
        top = height - 3.6 * self.hole
        right = [(foot, 0.0), (waist[0], round(0.4 * top, 1)), (half, round(top, 1)), (half, height)]
        left = [(-low, 0.0), (-waist[1], round(0.6 * top, 1)), (-half, round(top, 1)), (-half, height)]
        face = Face([left[0], *right, *left[:0:-1]], {0: "foot"}, eye=self.eyed(half, height))
        self.decorate(face, 8, 0.35 * top, min(foot, low, *waist), rng)
        self.faces, self.held = [face], (0, "foot")

    def screwed(self, rng):
        pad = round(rng.uniform(3.2, 6.5) * self.clear, 1)
        half = round(rng.uniform(2.4 * self.clear, 3.2 * self.clear + 14), 1)
        neck, top = round(rng.uniform(20, 70), 1), round(3.6 * self.hole, 1)
        wide = round(rng.uniform(1.7 * self.hole, 36), 1)
        narrow = round(rng.uniform(0.6, 1) * min(half, wide), 1)
        height = round(pad + neck + top, 1)
        right = [(half, 0.0), (half, pad), (narrow, round(pad + neck / 2, 1)), (wide, round(pad + neck, 1)), (wide, height)]
        face = Face(right + [(-x, y) for x, y in right[::-1]], {}, eye=self.eyed(wide, height))
        face.bolts = self.grid(rng, 0, pad, half)
        self.decorate(face, pad + 2, pad + neck, narrow, rng)
        self.faces, self.held = [face], (0, None)

    def tee(self, rng):
        """A head on a narrow stem."""
        d = self.hole
        stem, wide = round(rng.uniform(10, 30), 1), round(rng.uniform(3.5, 6) * d, 1)
        neck, height = round(rng.uniform(30, 70), 1), round(rng.uniform(80, 90) + 3 * d, 1)
        right = [(stem, 0.0), (stem, neck), (wide, neck), (wide, height)]
        face = Face([(-stem, 0.0), *right, *[(-x, y) for x, y in right[:0:-1]]], {0: "foot"})
        face.eye = self.eyed(wide, height)
        self.faces, self.held = [face], (0, "foot")

    def hook(self, rng):
        """An arm to the side, from which the eye hangs."""
        d = self.hole
        foot, height = round(rng.uniform(20, 40), 1), round(rng.uniform(90, 130), 1)
        arm, reach = round(rng.uniform(12, 30), 1), round(foot + rng.uniform(15, 60), 1)
        end, low = round(reach + 3.4 * d, 1), round(height - arm, 1)
        points = [(0, 0), (foot, 0), (foot, low), (reach, low), (reach, 15.0), (end, 15.0), (end, height), (0, height)]
        face = Face(points, {0: "foot"}, eye=(round((reach + end) / 2, 2), round(15 + 1.7 * d, 1)))
        self.faces, self.held = [face], (0, "foot")

    def chain(self, heights, half, angles, sides):
        """Faces one on the top of the other, the eye in the last, the seam or the bolts in the first."""
        backs = [self.setback(a) for a in angles]
        for i, height in enumerate(heights):
            low = backs[i - 1] + 2 if i else 0.0
            high = backs[i] + 2 if i < len(angles) else 0.0
            points, top = trapezoid(half, half, height, round(low, 2), round(high, 2), self.rng)
            face = Face(points, {top: "top"})
            if i == 0:
                face.edges[0] = "foot"
            self.faces.append(face)
        for i, (angle, side) in enumerate(zip(angles, sides)):
            self.bends.append(Bend(i, "top", i + 1, angle, side))

    def strip(self, rng):
        count = rng.choice([1, 2, 2, 3])
        angles = [math.radians(rng.choice([30.0, 45.0, 60.0, 90.0])) for _ in range(count)]
        sides = [rng.choice([1, -1]) for _ in range(count)]
        half = round(rng.uniform(1.75 * self.hole, 34), 1)
        is_screwed = rng.random() < 0.5
        if is_screwed:
            half = max(half, round(1.7 * self.clear, 1))
        backs = [self.setback(a) for a in angles] + [0.0]
        heights = []
        for i in range(count + 1):
            room = (backs[i - 1] if i else 0) + backs[i] + rng.uniform(15, 50)
            if i == count:
                room += 3.6 * self.hole
            if i == 0 and is_screwed:
                room += 3.3 * self.clear
            heights.append(round(room, 1))
        self.chain(heights, half, angles, sides)
        if is_screwed:
            pad = heights[0] - backs[0] - self.radius - 1.2 * self.bolt
            self.faces[0].bolts = self.grid(rng, 0, pad, half)
        self.faces[-1].eye = self.eyed(half, heights[-1])
        self.held = (0, None if is_screwed else "foot")
        pick = rng.randrange(count + 1)
        low = backs[pick - 1] + 3 if pick else (8 if not is_screwed else 1e9)
        high = heights[pick] - backs[pick] - 3 - (3.6 * self.hole if pick == count else 0)
        self.decorate(self.faces[pick], low, high, 0.7 * half, rng)

    def angle(self, rng):
        """A leg that tapers, on a base with bolts."""
        angle = math.radians(rng.choice([60.0, 90.0, 90.0, 120.0]))
        back = self.setback(angle)
        half = round(rng.uniform(max(2.6 * self.clear, 1.7 * self.hole), 46), 1)
        depth = round(back + rng.uniform(3.4, 6) * self.clear + self.bolt, 1)
        height = round(back + rng.uniform(15, 70) + 3.6 * self.hole, 1)
        tip = round(rng.uniform(1.65 * self.hole, half), 1)
        keep = round(back + 2, 2)
        base = Face([(-half, -depth), (half, -depth), (half, 0), (-half, 0)], {2: "top"})
        pad = depth - back - self.radius - self.bolt
        base.bolts = [(x, round(y - depth, 1)) for x, y in self.grid(rng, 0, pad, half)]
        leg = Face([(-half, 0), (half, 0), (half, keep), (tip, height), (-tip, height), (-half, keep)])
        leg.eye = self.eyed(tip, height)
        self.decorate(leg, keep, height - 3.6 * self.hole, 0.7 * tip, rng)
        self.faces, self.held = [base, leg], (0, None)
        self.bends = [Bend(0, "top", 1, angle, rng.choice([1, -1]))]

    def channel(self, rng):
        """A web with a flange at either end, the same way (U) or not (Z), perhaps with feet (hat)."""
        half = round(rng.uniform(max(2.5 * self.clear, 1.7 * self.hole), 40), 1)
        is_hat = rng.random() < 0.4
        same = is_hat or rng.random() < 0.5
        square = math.radians(90)
        back = self.setback(square)
        web = round(2 * back + rng.uniform(20, 60) + (3.6 * self.hole if is_hat else 0), 1)
        flange = round(back + self.radius + self.bolt + rng.uniform(3.4, 6) * max(self.clear, self.hole), 1)
        crown = Face([(-half, 0), (half, 0), (half, web), (-half, web)], {0: "lower", 2: "upper"})
        self.faces = [crown]
        side = rng.choice([1, -1])

        def plate(height, name=None):
            return Face([(-half, 0), (half, 0), (half, height), (-half, height)], {2: name} if name else {})

        if is_hat:
            wall = round(2 * back + rng.uniform(10, 40), 1)
            crown.eye = (round(rng.uniform(-1, 1) * (half - 1.65 * self.hole), 1), round(web / 2 + rng.uniform(-4, 4), 1))
            self.faces += [plate(wall, "end"), plate(flange), plate(wall, "end"), plate(flange)]
            self.bends = [
                Bend(0, "lower", 1, square, side), Bend(1, "end", 2, square, -side),
                Bend(0, "upper", 3, square, side), Bend(3, "end", 4, square, -side),
            ]
            holder = 2
        else:
            self.faces += [plate(flange), plate(flange)]
            self.bends = [Bend(0, "lower", 1, square, side), Bend(0, "upper", 2, square, side if same else -side)]
            self.faces[2].eye = self.eyed(half, flange)
            holder = 1
        start = back + self.radius + self.bolt
        self.faces[holder].bolts = [(x, round(y + start, 1)) for x, y in self.grid(rng, 0, flange - start, half)]
        self.held = (holder, None)

    def wing(self, rng):
        """A plate on a seam with a tapered flange at its side: the path twists."""
        angle = math.radians(rng.choice([45.0, 90.0]))
        back = self.setback(angle)
        half, height = round(back + rng.uniform(20, 40), 1), round(rng.uniform(70, 120), 1)
        base = Face([(-half, 0), (half, 0), (half, height), (-half, height)], {0: "foot", 1: "side"})
        reach = round(back + rng.uniform(8, 40) + 3.6 * self.hole, 1)
        tip, keep = round(rng.uniform(1.65 * self.hole, 0.5 * height), 1), round(back + 2, 2)
        w = height / 2
        wing = Face([(-w, 0), (w, 0), (w, keep), (tip, reach), (-tip, reach), (-w, keep)])
        wing.eye = self.eyed(tip, reach)
        self.decorate(base, 10, height - 10, 0.6 * half, rng)
        self.faces, self.held = [base, wing], (0, "foot")
        self.bends = [Bend(0, "side", 1, angle, rng.choice([1, -1]))]

    def post(self, rng):
        """A plate held by bolts, the load above it."""
        half = round(rng.uniform(3.2 * self.clear, 60), 1)
        depth = round(rng.uniform(6.6 * self.clear, 120), 1)
        face = Face([(-half, 0), (half, 0), (half, depth), (-half, depth)])
        face.bolts = self.grid(rng, 0, depth, half)
        at = (round(rng.uniform(-0.3, 0.3) * half, 1), round(depth * rng.uniform(0.4, 0.6), 1))
        self.faces, self.held, self.at = [face], (0, None), at
        self.above, self.foot = round(rng.uniform(0, 80), 1), round(rng.uniform(10, 40), 1)

    def drawn_loads(self, rng):
        ways = [rng.choice(WAYS), f"{round(rng.uniform(-179, 179), 1)} deg"]
        return ways + ([rng.choice(WAYS)] if rng.random() < 0.3 else [])
