"""Rebuilds the flats of a finished output folder from the numbers on their drawings.

    .venv/bin/python tests/outside/check_dimensions.py OUT_DIR

Reads flats/NAME.dxf with ezdxf and finds what defines each outline with code of its own: corners,
rounded corners by where their sides would meet, centres of other arcs, radii, holes. Then reads
drawings/NAME.svg and looks for these on it: each corner and centre has a printed X and a printed Y
of its own, each radius and each diameter is printed, the angle of a slanting slot and the ends of one
along an arc, and the count printed at a diameter is the
number of such holes. Numbers are what is printed, in the units of the job; the part they rebuild is
off by no more than their last digit. Prints one line for each size that is not there and one line
of totals; exits 1 when one is missing or when there was nothing to check.
"""

import json
import math
import re
import sys
import xml.etree.ElementTree as tree
from collections import Counter
from pathlib import Path

import ezdxf

SMOOTH = 2e-3  # sine of the angle between edges that run into each other
OVERSHOOT = 0.65  # of a radius: farther out a corner is given by the centre of its arc
CURVE = 3  # as many arcs in a row are a curve
ALIKE = 1.4  # ratio of the radii of two arcs of a curve
NEAR = 1e-4


def arc_of(a, b, bulge):
    """Centre, radius and signed sweep of the arc of a bulge."""
    chord = math.dist(a, b)
    sweep = 4 * math.atan(bulge)
    radius = chord / (2 * math.sin(abs(sweep) / 2))
    off = radius * math.cos(abs(sweep) / 2) * (1 if bulge > 0 else -1)
    ux, uy = (b[0] - a[0]) / chord, (b[1] - a[1]) / chord
    return ((a[0] + b[0]) / 2 - uy * off, (a[1] + b[1]) / 2 + ux * off), radius, sweep


class Edge:
    def __init__(self, a, b, bulge):
        self.a, self.b, self.bulge = a, b, bulge
        self.arc = arc_of(a, b, bulge) if abs(bulge) > 1e-9 else None

    def directions(self):
        chord = math.atan2(self.b[1] - self.a[1], self.b[0] - self.a[0])
        half = self.arc[2] / 2 if self.arc else 0.0
        return chord - half, chord + half


def is_smooth(one, two):
    turn = two.directions()[0] - one.directions()[1]
    return abs(math.sin(turn)) < SMOOTH and math.cos(turn) > 0


def joined(edges):
    """Arcs of one circle and lines in one direction as one, up to half a turn."""

    def join(one, two):
        if not is_smooth(one, two):
            return None
        if one.arc is None and two.arc is None:
            return Edge(one.a, two.b, 0.0)
        if one.arc and two.arc and math.dist(one.arc[0], two.arc[0]) < NEAR:
            sweep = one.arc[2] + two.arc[2]
            if abs(sweep) <= math.pi + 1e-8 and abs(one.arc[1] - two.arc[1]) < NEAR:
                return Edge(one.a, two.b, math.tan(sweep / 4))
        return None

    out = []
    for edge in edges:
        both = join(out[-1], edge) if out else None
        if both:
            out[-1] = both
        else:
            out.append(edge)
    if len(out) > 2 and (both := join(out[-1], out[0])):
        out = [both] + out[1:-1]
    return out


def in_curves(edges):
    """Which edges are arcs of a run of many that run into each other."""
    count = len(edges)
    runs = [False] * count
    for start in range(count):
        run = [start]
        while len(run) < count:
            one, two = edges[run[-1]], edges[(run[-1] + 1) % count]
            if not (one.arc and two.arc and is_smooth(one, two) and one.arc[2] * two.arc[2] > 0):
                break
            if not 1 / ALIKE < one.arc[1] / two.arc[1] < ALIKE:
                break
            run.append((run[-1] + 1) % count)
        if edges[start].arc and len(run) >= CURVE:
            for i in run:
                runs[i] = True
    return runs


def too_sharp(edges, smooth):
    """Radii of corners between two straight sides that are given by their centres: others of that radius are
    as well."""
    found = []
    for i, edge in enumerate(edges):
        lines = edges[i - 1].arc is None and edges[(i + 1) % len(edges)].arc is None
        if edge.arc and lines and smooth[i - 1] and smooth[i]:
            _, radius, sweep = edge.arc
            half = abs(sweep) / 2
            is_round = abs(sweep) >= math.pi - 2e-5
            if not is_round and (half > 1.57 or 1 / math.cos(half) - 1 > OVERSHOOT):
                found.append(radius)
    return found


def defined(edges):
    """Points as (x, y, whether x is given, whether y is), and radii."""
    xs, ys = [p[0] for e in edges for p in (e.a, e.b)], [p[1] for e in edges for p in (e.a, e.b)]
    edges = joined(edges)
    count, curved = len(edges), in_curves(edges)
    smooth = [is_smooth(edges[i], edges[(i + 1) % count]) for i in range(count)]
    points, radii, bare = [], [], [False] * count
    sharp = too_sharp(edges, smooth)
    for i, edge in enumerate(edges):
        before, after = edges[i - 1], edges[(i + 1) % count]
        if edge.arc and not curved[i]:
            (cx, cy), radius, sweep = edge.arc
            radii.append(radius)
            if smooth[i - 1] and smooth[i]:
                before_it = len(points)
                half = abs(sweep) / 2
                reach = 1 / math.cos(half) - 1 if half < 1.57 else math.inf
                x = edge.a[0] + math.cos(edge.directions()[0]) * radius * math.tan(half) if reach < 9 else math.inf
                y = edge.a[1] + math.sin(edge.directions()[0]) * radius * math.tan(half) if reach < 9 else math.inf
                inside = min(xs) - NEAR <= x <= max(xs) + NEAR and min(ys) - NEAR <= y <= max(ys) + NEAR
                centred = min(xs) - NEAR <= cx <= max(xs) + NEAR and min(ys) - NEAR <= cy <= max(ys) + NEAR
                as_others = centred and any(abs(radius - other) < NEAR for other in sharp)
                lines = before.arc is None and after.arc is None
                if lines and reach <= OVERSHOOT and inside and not as_others:
                    points.append((x, y, True, True))
                elif centred:
                    # A centre out of the part follows from its neighbours. Two parallel sides give one of the two.
                    along = edge.directions()[0]
                    half_turn = abs(sweep) >= math.pi - 2e-5
                    points.append((cx, cy, not half_turn or abs(math.cos(along)) > SMOOTH, not half_turn or abs(math.sin(along)) > SMOOTH))
                bare[i] = len(points) == before_it
        if not smooth[i] or curved[i] != curved[(i + 1) % count]:
            points.append((*edge.b, True, True))
    for i, edge in enumerate(edges):
        # A waist: nothing beside it says where it is.
        if edge.arc is None and bare[i - 1] and bare[(i + 1) % count]:
            along = edge.directions()[0]
            points.append((*edge.a, abs(math.cos(along)) < SMOOTH, abs(math.sin(along)) < SMOOTH))
    return points, radii


def outlines(path):
    """The cut outlines of a flat: polylines as edges, circles apart."""
    document = ezdxf.readfile(path)
    polylines, circles = [], []
    for entity in document.modelspace():
        if "CUT" not in entity.dxf.layer.upper():
            continue
        if entity.dxftype() == "LWPOLYLINE":
            points = [(x, y, b) for x, y, b in entity.get_points("xyb")]
            pairs = zip(points, points[1:] + points[:1])
            polylines.append([Edge(a[:2], b[:2], a[2]) for a, b in pairs if math.dist(a[:2], b[:2]) > 1e-9])
        elif entity.dxftype() == "CIRCLE":
            circles.append(((entity.dxf.center.x, entity.dxf.center.y), entity.dxf.radius))
    return polylines, circles


def slot(edges):
    """Width, length and centre of a slot with round ends."""
    edges = joined(edges)
    arcs, lines = [e for e in edges if e.arc], [e for e in edges if not e.arc]
    if len(edges) != 4 or len(arcs) != 2 or abs(arcs[0].arc[1] - arcs[1].arc[1]) > NEAR:
        return None
    (a, radius, _), (b, _, _) = arcs[0].arc, arcs[1].arc
    if any(abs(abs(e.arc[2]) - math.pi) > 1e-4 for e in arcs) or not lines:
        return None
    return 2 * radius, math.dist(a, b) + 2 * radius, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def arc_slot(edges):
    """Width, radius of the centre line, centre and the two end angles of a slot along an arc."""
    if not edges or not all(e.arc for e in edges):
        return None
    inner = [e for e in edges if e.arc[2] < 0]
    if not inner:
        return None
    centre = inner[0].arc[0]
    caps = [e for e in edges if math.dist(e.arc[0], centre) > NEAR]
    if len(caps) != 2 or any(abs(e.arc[2] - math.pi) > 1e-3 for e in caps):
        return None
    outer = [e for e in edges if e.arc[2] > 0 and math.dist(e.arc[0], centre) <= NEAR]
    # Its outer side runs anticlockwise from the end at which it begins.
    begins = next(e for e in outer if all(math.dist(e.a, o.b) > NEAR for o in outer))
    start = math.degrees(math.atan2(begins.a[1] - centre[1], begins.a[0] - centre[0]))
    sweep = math.degrees(sum(e.arc[2] for e in outer))
    return 2 * caps[0].arc[1], math.dist(caps[0].arc[0], centre), centre, start, start + sweep


def runs_at(edges):
    """Direction of a straight slot, degrees from 0 to 180."""
    line = next(e for e in joined(edges) if not e.arc)
    return math.degrees(line.directions()[0]) % 180


def is_along_an_axis(degrees):
    return min(degrees % 90, 90 - degrees % 90) < 0.005


def said(path):
    """The notes of the first page of a drawing, and of the details on others: kind, text."""
    name = "{http://www.w3.org/2000/svg}g"
    first, *others = tree.parse(path).getroot().findall(name)
    of = lambda page: [(g.get("data-kind"), g.get("data-text")) for g in page.iter(name) if g.get("data-kind")]
    text = lambda page: [t.text or "" for t in page.iter("{http://www.w3.org/2000/svg}text")]
    notes, words = of(first), text(first)
    for page in others:
        if any(kind == "detail" for kind, _ in of(page)):
            notes += [note for note in of(page) if note[0] in ("detail", "running-x", "running-y", "radius")]
            words += text(page)
    return notes, words


def check(name, folder, unit):
    """The sizes that are missing, and how many are there."""
    notes, words = said(folder / "drawings" / f"{name}.svg")
    polylines, circles = outlines(folder / "flats" / f"{name}.dxf")
    off = 0.005 if unit == 1.0 else 0.0005
    size_off = 0.005 if unit == 1.0 else 0.0005
    numbers = lambda kind: [float(text) for k, text in notes if k == kind]
    xs, ys = numbers("running-x"), numbers("running-y")
    radii = [float(text.split("R")[1]) for kind, text in notes if kind == "radius" and "R" in text]
    round_sizes, slots, slot_words = Counter(), Counter(), []
    arcs_said = [text.split("|", 2) for kind, text in notes if kind == "arc-slot"]
    for kind, text in notes:
        if kind == "slot":
            slot_words.append(text.split("|", 2)[2])
        if kind in ("diameter", "slot"):
            count, size, _ = text.split("|", 2)
            (round_sizes if kind == "diameter" else slots)[size] += int(count)
    tabled = table(words)
    details = [(float(r), [tuple(map(float, at.split(","))) for at in places.split()]) for kind, text in notes if kind == "detail" for _, r, places in [text.split("|")]]
    full = [float(text.split("Ø")[1]) for kind, text in notes if kind == "radius" and "Ø" in text]
    walls = any("walls" in word for word in words)
    # Each outline by its rectangle; the widest is the part.
    boxes = [(box(edges), edges) for edges in polylines] + [((c[0] - r, c[1] - r, c[0] + r, c[1] + r), (c, r)) for c, r in circles]
    (left, low, right, high), outer = max(boxes, key=lambda b: b[0][2] - b[0][0])
    corner = (left, low)
    has = lambda value, all_, by: any(abs(value - one) <= by + 1e-4 for one in all_)
    missing, found = [], 0

    def want(good, what):
        nonlocal found
        if good:
            found += 1
        else:
            missing.append(f"{name}: {what}")

    sentence = " ".join(words)
    quarters = re.search(r"mirrored about X [\d.]+ and Y ", sentence)

    def is_alike(x, y):
        """Whether a point is in a place that follows from the one a detail shows, and its position
        mirrored about the centre of the flat, as the detail says, is printed."""
        wide, tall = right - left, high - low
        mirrored = {"mirrored about X": (wide - x, y), "mirrored about Y": (x, tall - y), "rotated by 180°": (wide - x, tall - y)}
        for radius, (first, *others) in details:
            for middle in others:
                if math.dist((x, y), middle) < radius:
                    there = [p for said, p in mirrored.items() if math.dist(p, first) < radius and (quarters or said in sentence)]
                    return any(has(p[0], xs, off) and has(p[1], ys, off) for p in there)
        return False

    def place(at, what, axes=(True, True)):
        x, y = at[0] - corner[0], at[1] - corner[1]
        if is_alike(x, y):
            want(True, what)
            return
        if any(abs(x - a) <= off + 1e-4 and abs(y - b) <= off + 1e-4 for a, b in tabled):
            want(True, what)
            return
        if axes[0]:
            want(has(x, xs, off), f"no X {x:.3f} for {what}")
        if axes[1]:
            want(has(y, ys, off), f"no Y {y:.3f} for {what}")

    def along_arc(sized):
        """A slot along an arc: its ends as angles about a point that is printed, or about a hole."""
        width, radius, centre, start, end = sized
        at = (centre[0] - corner[0], centre[1] - corner[1])
        unit_of_angles = re.compile(r"(-?[\d.]+)° to (-?[\d.]+)° about (?:X (-?[\d.]+), Y (-?[\d.]+)|([A-Z]+\d*))")
        size = f"slot {width:.3f} along R{radius:.3f}"
        ends, middles = [], []
        for _, text, words in arcs_said:
            across, along = map(float, text.split(" along R"))
            if abs(across - width) <= size_off + 1e-3 and abs(along - radius) <= size_off + 1e-3:
                for a, b, x, y, hole in unit_of_angles.findall(words):
                    turned = (start - float(a)) / 360
                    if abs(turned - round(turned)) * 360 < 0.01 and abs(float(b) - float(a) - end + start) < 0.02:
                        ends.append((a, b))
                        there = any(math.dist(c, centre) < 1e-3 for c, _ in circles) if hole else False
                        middles.append(there or bool(x) and abs(float(x) - at[0]) <= off + 1e-4 and abs(float(y) - at[1]) <= off + 1e-4)
        want(bool(ends), f"no {start:.2f}° to {end:.2f}° for {size}")
        want(any(middles), f"not about {at[0]:.3f}, {at[1]:.3f}: {size}")
        if min(centre[0] - left, centre[1] - low) >= 0 and centre[0] <= right and centre[1] <= high:
            place(centre, f"the arc of a {size}")

    cut_round, cut_slots, cut_arcs = Counter(), Counter(), Counter()
    corners = [p for edges in polylines for p in defined(edges)[0]]
    for edges in polylines:
        if sized := slot(edges) if edges is not outer else None:
            width, length, centre = sized
            cut_slots[(round(width, 3), round(length, 3))] += 1
            place(centre, "a slot")
            angle = runs_at(edges)
            if not is_along_an_axis(angle):
                angles = [float(a) for line in slot_words for a in re.findall(r"at (-?[\d.]+)°", line)]
                want(has(angle, angles, 0.005), f"no angle {angle:.2f}° for a slot")
            continue
        if sized := arc_slot(edges) if edges is not outer else None:
            along_arc(sized)
            cut_arcs[(round(sized[0], 3), round(sized[1], 3))] += 1
            continue
        if edges is not outer and (walls or is_shaped(words)):
            continue
        points, arcs = defined(edges)
        for x, y, across, up in points:
            place((x, y), "a corner", (across, up))
        for radius in arcs:
            want(has(radius, radii, size_off), f"no R {radius:.3f}")
    for centre, radius in circles:
        if (centre, radius) == outer:
            place(centre, "the part")
            want(has(2 * radius, full, size_off), f"no Ø{2 * radius:.3f} of the part")
            continue
        cut_round[round(2 * radius, 3)] += 1
        place(centre, f"a hole of {2 * radius:.3f}")
    for size, count in cut_round.items():
        printed = sum(n for text, n in round_sizes.items() if abs(float(text) - size) <= size_off + 1e-3)
        want(printed == count, f"Ø{size} is cut {count} times and called out {printed} times")
    for (width, length), count in cut_slots.items():
        same = lambda text: all(abs(float(t) - w) <= size_off + 1e-3 for t, w in zip(text.split(" × "), (width, length)))
        printed = sum(n for text, n in slots.items() if same(text))
        want(printed == count, f"slot {width} × {length} is cut {count} times and called out {printed} times")
    for (width, radius), count in cut_arcs.items():
        same = lambda text: all(abs(float(t) - w) <= size_off + 1e-3 for t, w in zip(text.split(" along R"), (width, radius)))
        printed = sum(int(n) for n, text, _ in arcs_said if same(text))
        want(printed == count, f"slot {width} along R{radius} is cut {count} times and called out {printed} times")
    return missing, found


def box(edges):
    points = [p for edge in edges for p in extremes(edge)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def extremes(edge):
    """Its ends, and where an arc reaches farthest along an axis."""
    points = [edge.a, edge.b]
    if edge.arc:
        (x, y), radius, sweep = edge.arc
        start = math.atan2(edge.a[1] - y, edge.a[0] - x)
        for k in range(-8, 9):
            share = (k * math.pi / 2 - start) / sweep
            if 0 <= share <= 1:
                angle = k * math.pi / 2
                points.append((x + radius * math.cos(angle), y + radius * math.sin(angle)))
    return points


def is_shaped(words):
    """Whether holes are called out that are no circle and no slot: their size defines them."""
    return any(re.search(r"across flats|curved|tongue|for a tongue", word) for word in words)


def table(words):
    """Places of holes in a table: a letter, X, Y."""
    number = re.compile(r"^-?\d+(\.\d+)?$")
    places = []
    for a, b, c in zip(words, words[1:], words[2:]):
        if re.match(r"^[A-Z]+\d*$", a) and number.match(b) and number.match(c):
            places.append((float(b), float(c)))
    return places


def main():
    folder = Path(sys.argv[1])
    report = json.loads((folder / "report.json").read_text())
    unit = 25.4 if report["units"] == "in" else 1.0
    missing, found = [], 0
    for part in report["parts"]:
        lacks, has = check(part["name"], folder, unit)
        missing += lacks
        found += has
    for line in missing:
        print(line)
    print(f"{found} passed, {len(missing)} failed")
    return 1 if missing or not found else 0


if __name__ == "__main__":
    sys.exit(main())
