"""Narrow metal and narrow openings of random plates, found anew by opening and closing.

    .venv/bin/python tests/outside/check_narrow.py PROGRAM FOLDER FIRST COUNT

Plates FIRST to FIRST + COUNT - 1 are written as recipes and jobs into FOLDER, and
`PROGRAM check` says which have a `narrow-metal` or a `narrow-opening`. Each plate has
notches, lugs, necks and cut-outs of a known width about the limit, and beside them what
must not be found: rounds, chamfers, points, teeth, shallow notches, cleared corners. What
is a wedge and what a bar, what shallow and what deep, is a choice: the borders are left out.

The model here is shapely's: a plate is opened and closed by a disc as wide as the limit.
Metal is narrow where the plate falls apart when it is shrunk, or where a piece that
vanishes fills its own rectangle as a bar does and a corner does not; so is an opening,
with inside and outside exchanged. Limits are those of README and `explain`, typed here.

Prints one line for each plate on which the two differ and one line of totals; exits 1
when there is one.
"""

import math
import random
import re
import subprocess
import sys
from pathlib import Path

from shapely.affinity import rotate
from shapely.geometry import Point, Polygon, box

# Process: kerf, slot by thickness, smallest web, in mm.
PROCESSES = {"laser": (0.2, 1.0, 1.5), "waterjet": (1.0, 1.0, 1.5), "plasma": (2.0, 2.0, 2.0)}
THICKNESSES = [2.0, 3.0, 4.0, 6.0]
FINE = 64  # chords of a quarter turn
BAR = 0.6  # a bar fills more of its rectangle, the corner that an opening loses less
LONG = 1.4  # and is so many times as long as wide
NEAR = 1e-4  # mm the limit is undercut by, so that what is as wide as it is not narrow
DUST = 1e-3  # mm² left by arcs made of chords
MOST = 10  # plates in a job


class Plate:
    """A plate as shapely has it and as the steps of a recipe."""

    def __init__(self, number):
        self.dice = random.Random(number)
        self.draw()
        while self.shape.geom_type != "Polygon":  # it fell apart
            self.draw()

    def draw(self):
        self.process = self.dice.choice(sorted(PROCESSES))
        self.thickness = self.dice.choice(THICKNESSES)
        kerf, slot, web = PROCESSES[self.process]
        self.metal = max(self.thickness, web)
        self.opening = max(slot * self.thickness, kerf)
        self.turn = self.dice.choice([0.0, 0.0, self.dice.uniform(0, 360)])
        self.size = [self.dice.uniform(110, 170), self.dice.uniform(110, 150)]
        self.shape, self.steps, self.kinds = None, [], []
        self.base()
        necked = self.dice.random() < 0.2
        if necked:
            self.neck()
        sides = [1, 3] if necked else [0, 1, 2, 3]
        for side in self.dice.sample(sides, self.dice.choice([1, 1, 2])):
            kind = self.dice.choice([self.notch, self.lug, self.wedge, self.step])
            kind(side)
        if not necked and self.dice.random() < 0.5:
            self.dice.choice([self.slot, self.dumbbell, self.tongue, self.disc])()

    def width(self, limit):
        """About the limit; sometimes nearly the limit itself."""
        share = self.dice.choice([0.3, 0.6, 0.9, 0.97, 1.03, 1.1, 1.6])
        if self.dice.random() < 0.3:
            return limit + self.dice.choice([-0.01, 0.01])
        return limit * share * self.dice.uniform(0.98, 1.02)

    def depth(self, width):
        """Deep, or too shallow to count; the border between is a choice and not tested."""
        deep = self.dice.random() < 0.75
        return max(2.5 * width, 5.0) + self.dice.uniform(0, 8) if deep else 0.8 * width

    def apply(self, word, corners):
        """Adds or cuts a polygon."""
        turned = [turn(x, y, self.turn) for x, y in corners]
        self.join(word, Polygon(turned))
        listed = ", ".join(f'["{x:.6f} mm", "{y:.6f} mm"]' for x, y in turned)
        self.steps.append(f'{{ {word} = "polygon", corners = [ {listed} ] }}')

    def round(self, word, x, y, radius):
        """Adds or cuts a disc."""
        at = turn(x, y, self.turn)
        self.join(word, Point(at).buffer(radius, quad_segs=FINE))
        place = f'at = ["{at[0]:.6f} mm", "{at[1]:.6f} mm"]'
        self.steps.append(f'{{ {word} = "disc", radius = "{radius:.6f} mm", {place} }}')

    def join(self, word, other):
        if self.shape is None:
            self.shape = other
        else:
            self.shape = self.shape.union(other) if word == "add" else self.shape.difference(other)

    def base(self):
        """A rectangle with corners that are sharp, rounded or cut off."""
        x, y = (side / 2 for side in self.size)
        kind, by = self.dice.choice(["", "round", "chamfer"]), self.dice.uniform(0.5, 12)
        corners = [turn(*c, self.turn) for c in [(-x, -y), (x, -y), (x, y), (-x, y)]]
        more = f', {kind} = "{by:.6f} mm"' if kind else ""
        listed = ", ".join(f'{{ at = ["{u:.6f} mm", "{v:.6f} mm"]{more} }}' for u, v in corners)
        self.steps.append(f'{{ add = "polygon", corners = [ {listed} ] }}')
        shape = box(-x, -y, x, y)
        if kind == "round":
            shape = box(by - x, by - y, x - by, y - by).buffer(by, quad_segs=FINE)
        if kind == "chamfer":
            cut = [(by - x, -y), (x - by, -y), (x, by - y), (x, y - by)]
            shape = Polygon(cut + [(x - by, y), (by - x, y), (-x, y - by), (-x, by - y)])
        self.shape = rotate(shape, self.turn, origin=(0, 0))

    def on(self, side, points):
        """Points beside the middle of a side, along it and out from it."""
        out = self.size[1 - side % 2]
        return [turn(u, -v - out / 2, 90 * side) for u, v in points]

    def notch(self, side):
        width = self.width(self.opening)
        depth, end = self.depth(width), self.dice.choice(["square", "round"])
        lean = self.dice.choice([0, 0, math.radians(self.dice.uniform(0.2, 3))])
        if lean:  # all of it well under the limit, or well over
            width = self.opening * self.dice.choice([0.5, 1.1])
            depth, end = max(2.5 * width, 5.0), "square"
        more = 2 * (depth + 1) * math.tan(lean / 2)
        a, b = width / 2, (width + more) / 2
        at = self.dice.uniform(-20, 20)
        self.apply("cut", self.on(side, [(at - b, 1), (at + b, 1), (at + a, -depth), (at - a, -depth)]))
        if end == "round":
            (x, y), = self.on(side, [(at, -depth)])
            self.round("cut", x, y, a)
        self.kinds.append(f"notch {width:.3f} by {depth:.1f}")

    def lug(self, side):
        width = self.width(self.metal)
        tall, at, a = self.depth(width), self.dice.uniform(-20, 20), width / 2
        self.apply("add", self.on(side, [(at - a, -1), (at + a, -1), (at + a, tall), (at - a, tall)]))
        if self.dice.random() < 0.5:
            (x, y), = self.on(side, [(at, tall)])
            self.round("add", x, y, a)
        self.kinds.append(f"lug {width:.3f} by {tall:.1f}")

    def wedge(self, side):
        """A point or a pointed notch whose sides lean well."""
        half = math.radians(self.dice.uniform(28, 100)) / 2
        tall, at = self.dice.uniform(4, 14), self.dice.uniform(-20, 20)
        word, way = self.dice.choice([("add", 1), ("cut", -1)])
        foot = (tall + 1) * math.tan(half)
        self.apply(word, self.on(side, [(at - foot, -way), (at + foot, -way), (at, way * tall)]))
        self.kinds.append(f"wedge {math.degrees(2 * half):.0f}°")

    def step(self, side):
        """A corner cut away, its own corner cleared by a round."""
        across = self.size[side % 2] / 2
        wide, deep = self.dice.uniform(10, 25), self.dice.uniform(10, 25)
        corners = [(across - wide, 1), (across + 1, 1), (across + 1, -deep), (across - wide, -deep)]
        self.apply("cut", self.on(side, corners))
        radius = self.dice.uniform(0.3, 1.0)
        (x, y), = self.on(side, [(across - wide, -deep)])
        self.round("cut", x, y, radius)
        self.kinds.append(f"cleared corner {radius:.2f}")

    def neck(self):
        """Notches from two sides that leave a neck between them."""
        width, half = self.width(self.metal), self.size[1] / 2
        a, tip = self.dice.uniform(13, 18), self.dice.choice([0.0, 0.0, 0.55 * self.opening])
        middle = self.dice.uniform(-10, 10)
        for way in (1, -1):
            inner, outer = middle + way * width / 2, way * (half + 1)
            if tip:
                corners = [(-tip, inner), (tip, inner), (a, outer), (-a, outer)]
            else:
                corners = [(0, inner), (a, outer), (-a, outer)]
            self.apply("cut", corners)
        self.kinds.append(f"neck {width:.3f}")

    def slot(self):
        width = self.width(self.opening)
        a, b = max(2.5 * width, 6.0) / 2 + self.dice.uniform(0, 8), width / 2
        self.apply("cut", [(-a, -b), (a, -b), (a, b), (-a, b)])
        if self.dice.random() < 0.5:
            for way in (1, -1):
                self.round("cut", way * a, 0, b)
        self.kinds.append(f"slot {width:.3f}")

    def dumbbell(self):
        width = self.width(self.opening)
        radius, b = self.opening * self.dice.uniform(0.8, 1.3), width / 2
        b = min(b, 0.9 * radius)
        a = radius + max(2.5 * width, 4.0)
        self.apply("cut", [(-a, -b), (a, -b), (a, b), (-a, b)])
        for way in (1, -1):
            self.round("cut", way * a, 0, radius)
        self.kinds.append(f"dumbbell {2 * b:.3f}")

    def tongue(self):
        """A bar of metal that stands in a cut-out."""
        width, tall = self.width(self.metal), 16.0
        self.apply("cut", [(-20, -14), (20, -14), (20, 14), (-20, 14)])
        a = width / 2
        self.apply("add", [(-a, -15), (a, -15), (a, tall - 14), (-a, tall - 14)])
        self.kinds.append(f"tongue {width:.3f}")

    def disc(self):
        self.round("cut", 0, 0, self.opening * self.dice.uniform(1.2, 3))
        self.kinds.append("disc")

    def narrow(self):
        """What the model finds."""
        found = set()
        outer = Polygon(self.shape.exterior)
        if thin(outer, self.metal):
            found.add("narrow-metal")
        if gaps(outer, self.opening):
            found.add("narrow-opening")
        for ring in self.shape.interiors:
            if thin(Polygon(ring), self.opening):
                found.add("narrow-opening")
            if gaps(Polygon(ring), self.metal):
                found.add("narrow-metal")
        return found

    def recipe(self):
        steps = ",\n  ".join(self.steps)
        return f'about = "x"\n[face.plate]\nblank = [\n  {steps},\n]\n'


def turn(x, y, degrees):
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return cos * x - sin * y, sin * x + cos * y


def pieces(shape):
    return [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon" and p.area > DUST]


def is_bar(piece):
    """Whether what vanished fills its rectangle, and is long."""
    frame = piece.minimum_rotated_rectangle
    if frame.geom_type != "Polygon":
        return True
    corners = list(frame.exterior.coords)
    sides = sorted(math.dist(corners[i], corners[i + 1]) for i in (0, 1))
    return piece.area > BAR * frame.area and sides[1] > LONG * sides[0]


def thin(shape, limit):
    """Whether opening takes more than corners."""
    radius = (limit - NEAR) / 2
    shrunk = shape.buffer(-radius, quad_segs=FINE)
    left = pieces(shrunk)
    lost = shape.difference(shrunk.buffer(radius * (1 + 1e-4), quad_segs=FINE))
    return len(left) != 1 or any(is_bar(p) for p in pieces(lost))


def gaps(shape, limit):
    """Whether closing fills more than corners."""
    radius = (limit - NEAR) / 2
    grown = shape.buffer(radius, quad_segs=FINE)
    closed = grown.buffer(-radius * (1 + 1e-4), quad_segs=FINE)
    holes = any(Polygon(ring).area > DUST for ring in grown.interiors)
    return holes or any(is_bar(p) for p in pieces(closed.difference(shape)))


def jobs(plates):
    """Plates of one process, few enough that every finding is printed."""
    for process in PROCESSES:
        some = [n for n, p in plates.items() if p.process == process]
        for first in range(0, len(some), MOST):
            yield f"{process}-{first}", process, {n: plates[n] for n in some[first : first + MOST]}


def check(program, folder, plates):
    """Runs the program over the plates; what it finds of each."""
    found = {number: set() for number in plates}
    for name, process, some in jobs(plates):
        lines = [f'process = "{process}"', 'paper = "none"']
        for thickness in THICKNESSES:
            lines.append(
                f'[[sheet]]\nname = "{thickness:g} mm"\nmaterial = "S235"\n'
                f'thickness = "{thickness:g} mm"\nstock = []'
            )
        text = "\n".join(lines) + "\n"
        at = {}
        for number, plate in some.items():
            (folder / f"plate-{number}.toml").write_text(plate.recipe(), encoding="utf-8")
            text += f'[[part]]\nrecipe = "plate-{number}"\n'
            text += f'sheet = "{plate.thickness:g} mm"\nname = "plate-{number}"\n'
            at[text.count("\n")] = number
        job = folder / f"{name}.toml"
        job.write_text(text, encoding="utf-8")
        run = subprocess.run([program, "check", job], capture_output=True, text=True, check=False)
        code = None
        for line in run.stderr.splitlines():
            if head := re.match(r"(?:stop|caution)\[([a-z-]+)\]", line):
                code = head[1]
                if code == "blank":
                    sys.exit(f"{name}: a plate is refused: {line}")
            if (place := re.match(rf"\s*--> .*{name}\.toml:(\d+):", line)) and code:
                if code.startswith("narrow-"):
                    found[at[int(place[1])]].add(code)
                code = None
    return found


def main():
    if len(sys.argv) != 5:
        sys.exit("usage: check_narrow.py PROGRAM FOLDER FIRST COUNT")
    program, folder, first = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3])
    plates = {number: Plate(number) for number in range(first, first + int(sys.argv[4]))}
    found = check(program, folder, plates)
    failed = narrow = 0
    for number, plate in plates.items():
        wanted = plate.narrow()
        narrow += bool(wanted)
        if wanted != found[number]:
            failed += 1
            words = f"model {sorted(wanted)}, program {sorted(found[number])}"
            limits = f"metal {plate.metal}, opening {plate.opening}"
            print(f"plate {number} ({'; '.join(plate.kinds)}; {limits}): {words}")
    if min(narrow, len(plates) - narrow) < len(plates) // 10:
        print(f"{narrow} of {len(plates)} plates are narrow: too few of one kind to show anything")
        failed += 1
    print(f"{len(plates) - failed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
