"""What a change of a part may do to what is allowed of it: relations, without a model.

A hole, a notch, a longer arm, a foot off the line of the load or a thinner sheet never allows
more; within 0.1° of the load's direction nothing steps; and the same part drawn turned,
mirrored, in inches or from its other end allows the same.
"""

import copy
import math
import random

import numpy as np
from shapely.geometry import LineString, Point, Polygon

import strength_parts
from strength_fold import Part
from strength_parts import Bend, Face

SAME, NEVER = 1e-6, 1e-6
# A step is a change of more than 0.4 % in 0.02° that is more than two fifths of that in 0.1°: an
# eye far in front of a seam changes the stress in it evenly, by up to 6 a sin 0.1° / w of itself.
STEP, STEP_SHARE, SUB_STEPS = 4e-3, 0.4, 5


def named(part, word):
    other = copy.deepcopy(part)
    other.name = f"{part.name}{word}"
    return other


def moved(face, move, degrees=0.0, mirrored=False):
    """A face whose drawing is moved; a mirrored one runs the other way round."""
    face.pattern = face.pattern or (strength_parts.pattern(face.bolts) if face.bolts else None)
    count = len(face.points)
    face.points = [move(p) for p in face.points]
    if mirrored:
        face.points.reverse()
        face.edges = {(count - 2 - i) % count: name for i, name in face.edges.items()}
    face.slots = [(*move((x, y)), w, h) for x, y, w, h in face.slots]
    face.empty = [(*move((x, y)), d) for x, y, d in face.empty]
    face.notches = [(*move((x, y)), d) for x, y, d in face.notches]
    face.bolts = [move(b) for b in face.bolts]
    face.eye = move(face.eye) if face.eye else None
    face.turned = face.turned * (-1 if mirrored else 1) + degrees
    if face.pattern:
        face.pattern = (*face.pattern[:4], face.pattern[4] * (-1 if mirrored else 1) + degrees)


def turned(part, rng):
    other, degrees = named(part, "turned"), round(rng.uniform(-180, 180), 1)
    angle = math.radians(degrees)
    c, s = math.cos(angle), math.sin(angle)
    move = lambda p: (c * p[0] - s * p[1] + 31, s * p[0] + c * p[1] - 17)
    moved(other.faces[0], move, degrees)
    if part.above is not None:
        other.at = move(part.at)
        other.loads = [way if way == "normal" else f"{angle_of(way) + degrees} deg" for way in part.loads]
    return other


def angle_of(way):
    return {"pull": 0.0, "push": 180.0, "along": 90.0}.get(way) if "deg" not in way else float(way.split()[0])


def mirrored(part):
    other = named(part, "mirrored")
    for face in other.faces:
        moved(face, lambda p: (-p[0], p[1]), 0.0, True)
    other.loads = [f"{-angle_of(way)} deg" if "deg" in way else way for way in part.loads]
    if part.above is not None:
        other.at = (-part.at[0], part.at[1])
    return other


def in_inches(part):
    other = named(part, "inches")
    other.inches = True
    return other


def from_the_other_end(part):
    """A strip or an angle drawn from its last face: the others stand on it the other way up."""
    if part.kind not in ("strip", "angle"):
        return None
    other, last = named(part, "other"), len(part.faces) - 1
    for i, face in enumerate(other.faces[:-1]):
        top = face.edge("top")[0][1]
        moved(face, lambda p, top=top: (-p[0], top - p[1]), 180.0)
        face.edges = {j: name for j, name in face.edges.items() if name != "top"}
    for i in range(last, 0, -1):
        # The lower edge, of which the last face now is the upper one's neighbour.
        face = other.faces[i]
        low = next(j for j in range(len(face.points)) if on_low(part.faces[i], j))
        face.edges[low] = "near"
    other.faces.reverse()
    other.bends = [Bend(last - b.to, "near", last - b.on, b.angle, b.side) for b in part.bends][::-1]
    other.held = (last - part.held[0], part.held[1])
    return other


def on_low(drawn, j):
    """Whether the edge from a corner is the lower one of a face."""
    a, b = drawn.points[j], drawn.points[(j + 1) % len(drawn.points)]
    return abs(a[1]) < 1e-9 and abs(b[1]) < 1e-9 and a[0] < b[0]


def pierced(part, rng, across):
    """With one more hole in a face of the path, or a notch in its side."""
    other = named(part, "notched" if across else "pierced")
    for _ in range(40):
        i = rng.randrange(len(part.faces))
        face, metal = other.faces[i], part.metal(i)
        for x, y in face.bolts + ([face.eye] if face.eye else []):
            metal -= Point(x, y).buffer(max(part.hole, part.clear) * 1.1)
        d = round(rng.uniform(1.2 * part.thick, 14), 1)
        gap = part.thick + 0.5
        x0, y0, x1, y1 = metal.bounds
        at = Point(round(rng.uniform(x0, x1), 1), round(rng.uniform(y0, y1), 1))
        if across:
            side = Polygon(face.points).exterior
            at = side.interpolate(rng.uniform(0, side.length))
            at = Point(round(at.x, 1), round(at.y, 1))
            named_edges = [face.edge(name) for name in face.edges.values()]
            low, high = part.metal(i).bounds[1], part.metal(i).bounds[3]
            clear = d / 2 + 3.2 * part.thick
            if any(LineString(edge).distance(at) < clear for edge in named_edges) or not low + clear < at.y < high - clear:
                continue
            if part.metal(i).boundary.difference(side.buffer(1e-3)).distance(at) < d / 2 + gap and face.slots + face.empty:
                continue
            taken = at.buffer(d / 2)
            if metal.intersection(taken).area < 0.4 * taken.area:
                continue
            face.notches.append((at.x, at.y, d))
        else:
            if not metal.buffer(-(d / 2 + gap + (2.2 * part.thick if part.bends else 0))).covers(at):
                continue
            face.empty.append((at.x, at.y, d))
        return other
    return None


def thinner(part):
    other = named(part, "thinner")
    other.thick = {3.0: 2.0, 4.0: 3.0, 5.0: 4.0, 6.0: 5.0, 8.0: 6.0}[part.thick]
    return other


def longer(part):
    """With its eye farther up, which is only an arm where the load is normal to the last face."""
    if part.kind not in ("lug", "strip", "angle") or part.above is not None:
        return None
    other = named(part, "longer")
    face = other.faces[part.loaded()]
    top, eye = max(p[1] for p in face.points), face.eye
    more = 15.0
    face.points = [(x, round(y + more, 4) if y > top - 3.7 * part.hole else y) for x, y in face.points]
    face.eye = (eye[0], eye[1] + more)
    part.loads, other.loads = ["normal"], ["normal"]
    return other


def off_line(number):
    """A plate with its eye over the middle of its foot, and the same with its foot set aside."""
    rng = random.Random(number)
    half, height, d = round(rng.uniform(22, 40), 1), round(rng.uniform(80, 140), 1), 12.5
    thick = rng.choice([3.0, 4.0, 6.0, 8.0])
    found = []
    for i, aside in enumerate([0.0, 6.0, 15.0, 30.0]):
        part = Part(number, kind="lug", thick=thick)
        part.name = f"o{number}x{i}"
        points = [(-half + aside, 0.0), (half + aside, 0.0), (half, height), (-half, height)]
        part.faces = [Face(points, {0: "foot"}, eye=(0.0, round(height - 1.8 * d, 1)))]
        part.pin, part.hole, part.loads = 12.0, d, ["pull", "push"]
        found.append(part)
    return found


def around(part):
    """In two directions, and in others up to 0.1° further."""
    first, second = named(part, "before"), named(part, "after")
    rng = random.Random(part.number)
    angles = [round(rng.uniform(-180, 180), 2) for _ in range(2)]
    first.loads = [f"{a} deg" for a in angles]
    steps = range(1, SUB_STEPS + 1)
    second.loads = [f"{round(a + 0.1 * i / SUB_STEPS, 3)} deg" for a in angles for i in steps]
    return first, second


def steps(first, further):
    """Whether what is allowed steps on its way from the first direction over those after it."""
    row = [first, *further]
    changes = [abs(b / a - 1) for a, b in zip(row, row[1:])]
    return max(changes) > STEP and max(changes) > STEP_SHARE * sum(changes)


def family(number):
    """(relation, part, part) of a number."""
    part = Part(number)
    if part.above is not None:
        # `along` means either direction, which a rotated drawing does not preserve.
        part.loads = ["-90.0 deg" if way == "along" else way for way in part.loads]
    rng = random.Random(90000 + number)
    yield "same", part, turned(part, rng)
    yield "same", part, mirrored(part)
    yield "same", part, in_inches(part)
    yield "same", part, from_the_other_end(part)
    yield "never", part, pierced(part, rng, False)
    yield "never", part, pierced(part, rng, True)
    yield "never", part, thinner(part)
    straight = named(part, "straight")
    yield "never", straight, longer(straight)
    yield ("step", *around(part))
    if number % 4 < 2:
        parts = off_line(number)
        for before, after in zip(parts, parts[1:]):
            yield "never", before, after
