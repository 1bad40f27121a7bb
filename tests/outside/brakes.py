"""The brakes of a shop file, and which of their tools stand above and below a part.

Sections are drawn as the reference says: across towards the operator, up.
"""

import tomllib

import shapely
from shapely.geometry import Polygon

def mm(text):
    number, _, unit = text.partition(" ")
    return float(number) * {"mm": 1.0, "in": 25.4, "deg": 1.0, "kN": 1.0}[unit]


def section(corners):
    return Polygon([(mm(u), mm(v)) for u, v in corners])


class Brake:
    def __init__(self, table):
        self.table, self.name, self.kind = table, table["name"], table["kind"]
        self.length, self.most_angle = mm(table["length"]), mm(table["max_angle"])
        for what in ("ram", "bed", "beam", "leaf", "finger"):
            setattr(self, what, section(table[what]) if what in table else None)
        self.gap = mm(table.get("gap", "12 mm"))
        self.fingers = [mm(w) for w in table.get("fingers", [])]
        self.dies, self.punches = table.get("die", []), table.get("punch", [])


def read_shop(path):
    table = tomllib.loads(path.read_text())
    return [Brake(b) for b in table["brake"]], mm(table.get("clearance", "1 mm"))


class Tool:
    """A section at a seat: clamp, bed, leaf, punch or die; `span` along the bend line."""

    def __init__(self, name, shape, seat, touches, lift=0.0, span=None):
        self.name, self.seat, self.touches, self.lift, self.span = name, seat, touches, lift, span
        self.shape = shape
        self.box = shape.bounds
        shapely.prepare(self.shape)


def nosed(shape, radius):
    """A beam, finger or jaw whose front is rounded for the bend to go round it."""
    corner = shapely.box(-radius, 0, 0.01, radius) - shapely.Point(-radius, radius).buffer(radius, 32)
    return shape - corner


def stand(step, brake, v, punch, spans):
    """Tools that stand above the part, and those below it."""
    if brake.kind == "press":
        over = next(p for p in brake.punches if p["name"] == punch)
        under = next(d for d in brake.dies if abs(mm(d["v"]) - v) < 1e-6)
        over, under = section(over["section"]), section(under["section"])
        above = [Tool("ram", brake.ram, "punch", False, over.bounds[3]), Tool("punch", over, "punch", True, 0, spans.get("punch"))]
        below = [Tool("bed", brake.bed, "die", False, under.bounds[1]), Tool("die", under, "die", True, 0, spans.get("die"))]
        return above, below
    half, span = brake.length / 2, None
    if brake.kind == "vice":
        span = (step.bend.length / 2 - half, step.bend.length / 2 + half)
    pan = brake.kind == "box-and-pan"
    round_ = step.bend.radius
    above = [Tool("beam", nosed(brake.beam, round_), "clamp", not pan, 0, span)]
    if pan:
        above.append(Tool("fingers", nosed(brake.finger, round_), "clamp", True, 0, spans.get("fingers")))
    below = [Tool("bed", brake.bed, "bed", True, 0, span)]
    if brake.leaf is not None:
        below.append(Tool("leaf", brake.leaf, "leaf", True, 0, span))
    return above, below


def stacks(widths, bend, gap):
    """Sets of sections no wider than the bend that leave no more than the gap bare."""
    sums = {0.0: ()}
    for width in widths:
        for total, chosen in list(sums.items()):
            if total + width <= bend + 1e-6:
                sums.setdefault(round(total + width, 3), chosen + (width,))
    return sorted((s for s in sums if s > 0 and s >= bend - gap - 1e-6), reverse=True)


def usual_v(t):
    return t * (6 if t < 2.8 else 8 if t < 8.5 else 10 if t < 12 else 12)
