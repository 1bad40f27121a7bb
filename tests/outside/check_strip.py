"""How each bend of random parts is handled, against a model of its own.

    .venv/bin/python tests/outside/check_strip.py PROGRAM SHOP PARTS ...

PARTS are numbers, as in 0-319 or 3,18,36; more shops with parts of theirs may follow.

The model folds the flat of the DXF as far as it is at each step and works out from there: that
the gauge edge is free, parallel to the bend line, flat with it and can be reached; whether a bar
straight across from the bend can lean on it; its distance from the line; the outside leg to be measured afterwards; how the part must be turned from the
step before; where the pieces of tool begin at the operator's left. Where no gauge is said, it
looks for one.

Prints one line for each fact that fails and one line of totals; exits 1 when a fact failed
or when there was nothing to check.
"""

import argparse
import copy
import math
import sys
import tempfile
from pathlib import Path

import numpy as np
import random_bends
import shapely
from bent import Part, moved
from check_bending import Tally, made, numbers
from check_shapes import cut_of, plate, rings
from shapely.geometry import LineString, Point, Polygon, box
from steps import Step

EXACT = 2e-6  # mm: coordinates in the files are rounded to 1e-6
ROUND = 0.03  # mm: chords of arcs
LONG = 20.0  # mm: an edge so long, or half as long as the bend, serves


class Seen(Step):
    """A step in the coordinates of its bend: s along the line, t from it to what moves."""

    def __init__(self, part, bend, before, hold, blank):
        super().__init__(part, bend, before, hold)
        self.blank = blank
        self.out = self.bend.across * self.side

    def st(self, points):
        from_line = np.atleast_2d(points)[:, :2] - self.bend.start
        return np.column_stack([from_line @ self.bend.along, from_line @ self.out])

    def plate_at(self, point):
        for name, polygon in self.part.faces.items():
            if name in self.plates and polygon.buffer(1e-9).contains(Point(point)):
                return name
        return None

    def free_edges(self):
        """Straight edges of the blank parallel to the line, metal towards it: s range, t, face."""
        corners = np.array(self.blank.exterior.coords)
        if not self.blank.exterior.is_ccw:
            corners = corners[::-1]
        for a, b in zip(corners, corners[1:]):
            (s0, t0), (s1, t1) = self.st(np.array([a, b]))
            if abs(t1 - t0) > 1e-5 or abs(s1 - s0) < 1e-3:
                continue
            yield a, b, (min(s0, s1), max(s0, s1)), (t0 + t1) / 2

    def outside(self, i, standing):
        """How far out the outside of a bend of 90° or more reaches that is made already."""
        part, bend = self.part, self.part.bends[i]
        side = 1 if part.sides[i][0] == standing else -1
        quarter = bend.allowance * (math.pi / 2) / bend.angle
        motion = part.step(i, bend.angle, side, quarter)
        foot = bend.start + bend.across * side * (quarter - bend.allowance / 2)
        height = -part.thickness if bend.up else 0.0
        return self.st(moved(motion, np.array([[*foot, height]])))[0][1]

    def in_the_way(self, s, half, t, level):
        """Whether metal lies beyond t before the places s ± half, at the height of the sheet."""
        solids, _ = self.part.solids(self.angles(0.0), self.root)
        thickness = self.part.thickness
        far = 1e4
        beyond = box(s - half, t + level, s + half, far) if t > 0 else box(s - half, -far, s + half, t - level)
        for _, corners in solids:
            low, high = corners[:, 2].min(), corners[:, 2].max()
            if low > -0.02 or high < -thickness + 0.02:
                continue
            shadow = shapely.MultiPoint(self.st(corners)).convex_hull
            if shadow.intersection(beyond).length > 0.02:
                return True
        return False

    def far(self, held):
        """How far metal at the height of the sheet reaches straight across from the bend."""
        solids, _ = self.part.solids(self.angles(0.0), self.root)
        band = box(0.02, -1e4, self.bend.length - 0.02, 0) if held else box(0.02, 0, self.bend.length - 0.02, 1e4)
        reach = 0.0
        for _, corners in solids:
            if corners[:, 2].min() > -0.02 or corners[:, 2].max() < -self.part.thickness + 0.02:
                continue
            cut = shapely.MultiPoint(self.st(corners)).convex_hull.intersection(band)
            if not cut.is_empty:
                reach = max(reach, -cut.bounds[1] if held else cut.bounds[3])
        return reach

    def leans(self, s, t, level):
        """Whether a bar across from the bend leans on an edge at t that runs over some ranges of s."""
        across = sum(max(0.0, min(b, self.bend.length) - max(a, 0.0)) for a, b in s)
        is_long = across > min(LONG, self.bend.length / 2) - 1e-4
        return is_long and (t > 0 or self.far(held=True) < abs(t) + level)

    def leg(self, gauge):
        """The outside leg to a place at distance `gauge` (below 0 on the held side), by folding."""
        bend, part = self.bend, self.part
        angle, thickness = bend.angle, part.thickness
        outer = -thickness if bend.up else 0.0
        middle = bend.start + bend.along * (bend.length / 2)
        motion = part.step(self.index, angle, self.side, bend.allowance)

        def tz(points):
            points = np.atleast_2d(points)
            return np.column_stack([self.st(points)[:, 1], points[:, 2]])

        def flange(t):
            return tz(moved(motion, np.array([[*(middle + self.out * t), outer]])))[0]

        at, way = flange(bend.allowance), flange(bend.allowance + 1.0) - flange(bend.allowance)
        if angle <= math.pi / 2 + 1e-9:
            # The mould line: the outside of the moving side meets that of the clamped side.
            corner = at + way * ((outer - at[1]) / way[1])
            return math.dist(corner, flange(gauge)) if gauge > 0 else abs(corner[0] - gauge)
        turned = math.pi / 2 if gauge < 0 else angle - math.pi / 2
        length = bend.allowance * turned / angle
        round_ = part.step(self.index, angle, self.side, length)
        foot = middle + self.out * (length - bend.allowance / 2)
        on_arc = tz(moved(round_, np.array([[*foot, outer]])))[0]
        if gauge < 0:
            return on_arc[0] - gauge
        return float((flange(gauge) - on_arc) @ way)


def named_by_size(part, areas):
    """The two faces of one bend, which lose alike to it: the larger drawn is the larger left."""
    if len(part.bends) == 1:
        left = sorted(part.faces, key=lambda name: part.faces[name].area)
        drawn = sorted(part.faces, key=lambda name: areas[name])
        new = dict(zip(left, drawn))
        part.faces = {new[name]: polygon for name, polygon in part.faces.items()}
        part.sides = [[new[name] for name in pair] for pair in part.sides]
        for piece in part.pieces:
            piece.face = new.get(piece.face)
    return part


def view(step, top):
    """From the flat to what the operator sees: what moves below."""
    mirror = np.diag([1.0 if top else -1.0, 1.0])
    x, y = mirror @ step.out
    # Brings (x, y) to (0, -1).
    return np.array([[-y, x], [-x, -y]]) @ mirror


def done(action, before):
    flip = {"left for right": np.diag([-1.0, 1.0]), "front for back": np.diag([1.0, -1.0])}
    angle = math.radians(action["rotate_deg"])
    turned = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    return turned @ flip.get(action.get("flip"), np.eye(2)) @ before


def check_leg(words, step, how, tally):
    """An outside leg ends where what is on that side of the bend does."""
    to = how.get("leg_to", how.get("gauge"))
    t = to["distance_mm"] * (-1 if to["side"] == "held" else 1)
    leg = step.leg(t)
    tally.fact(abs(leg - how["leg_mm"]) < EXACT, f"{words}: leg {how['leg_mm']} is said, it is {leg:.7f}")
    on_held = to["face"] in step.held_faces
    tally.fact(on_held == (t < 0), f"{words}: {to['face']} lies across the line, it ends no leg")
    tally.counts["legs"] += 1


def check_gauge(words, step, how, gauge, tally):
    bend = step.bend
    line = np.array(gauge["line_mm"])
    ends = step.st(line)
    tally.fact(abs(ends[0][1] - ends[1][1]) < 1e-5, f"{words}: the gauge edge is not parallel")
    middle = line.mean(axis=0)
    said = gauge["distance_mm"]
    if gauge["from"] == "flange":
        i = next(i for i, b in enumerate(step.part.bends) if b.name == gauge["bend"])
        on = [f for f in step.part.sides[i] if f in step.plates]
        tally.fact(i in step.made and len(on) == 1, f"{words}: the flange does not stand")
        tally.fact(step.part.bends[i].angle > math.pi / 2 - 1e-9, f"{words}: the flange leans out")
        other = [f for f in step.part.sides[i] if f not in step.plates]
        tally.fact(other == [gauge["face"]], f"{words}: another flange stands there")
        t, level = step.outside(i, on[0]), 0.05
        half, long = min(5.0, abs(ends[0][0] - ends[1][0]) / 2), abs(ends[0][0] - ends[1][0])
        runs = [(min(ends[:, 0]), max(ends[:, 0]))]
    elif gauge["from"] == "edge":
        corners = np.array(step.blank.exterior.coords)
        near = min(zip(corners, corners[1:]), key=lambda ab: LineString(ab).distance(Point(middle)))
        tally.fact(LineString(near).distance(Point(middle)) < EXACT, f"{words}: no free edge there")
        (_, t0), (_, t1) = step.st(np.array(near))
        t, level = (t0 + t1) / 2, 0.05
        within = middle - step.out * math.copysign(0.02, t)
        tally.fact(step.plate_at(within) == gauge["face"], f"{words}: {gauge['face']} does not lie flat there")
        half = min(5.0, abs(ends[0][0] - ends[1][0]) / 2)
        levelled = [s for _, _, s, at in step.free_edges() if abs(at - t) < 0.01]
        long = sum(b - a for a, b in levelled)
        runs = levelled
    else:
        t, level, half, long = ends[0][1], 0.3, 5.0, LONG
        across = -0.02 <= ends[0][0] <= bend.length + 0.02
        runs = [(0.0, bend.length)] if across else []
        tally.fact(step.blank.exterior.distance(Point(middle)) < ROUND, f"{words}: no edge there")
        tally.fact(step.plate_at(middle - step.out * math.copysign(0.05, t)) == gauge["face"],
                   f"{words}: {gauge['face']} does not lie flat there")
    tally.fact(abs(abs(t) - said) < EXACT, f"{words}: {said} from the line is said, it is {abs(t):.7f}")
    tally.fact((t < 0) == (gauge["side"] == "held"), f"{words}: the gauge is on the other side")
    s = (ends[0][0] + ends[1][0]) / 2
    tally.fact(not step.in_the_way(s, half, t, level), f"{words}: metal lies before the gauge edge")
    tally.fact(long > min(LONG, bend.length / 2) - 0.1, f"{words}: the gauge edge is {long:.1f} long")
    leans = step.leans(runs, t, level)
    tally.fact(leans != gauge["alone"], f"{words}: a bar {'leans' if leans else 'does not lean'} on {gauge['face']}")
    tally.counts["alone"] += gauge["alone"]
    tally.counts[gauge["from"]] += 1


def check_better(words, step, gauge, tally):
    """That no free edge on the side of a gauge that stands alone could be leaned on."""
    if not gauge["alone"]:
        return
    for a, b, s, t in step.free_edges():
        face = step.plate_at((a + b) / 2 - step.out * math.copysign(0.02, t))
        clear = abs(t) > step.bend.allowance / 2 + step.part.thickness
        same = (t < 0) == (gauge["side"] == "held")
        if face and clear and same and step.leans([s], t, 0.005) and not step.in_the_way(sum(s) / 2, 5.0, t, 0.05):
            tally.fact(False, f"{words}: a bar could lean on {face} at {t:.2f}")
            return
    tally.fact(True, "")


def check_planted(words, step, how, tally):
    """That the model sees what is off by a hundredth of a thousandth, and an edge of another face."""
    for plant in ("distance_mm", "face", "alone"):
        planted = copy.deepcopy(how["gauge"])
        if plant == "face":
            planted["face"] += "?"
        elif plant == "alone":
            planted["alone"] = not planted["alone"]
        else:
            planted["distance_mm"] += 1e-5
        found = Tally()
        check_gauge(words, step, how, planted, found)
        tally.fact(bool(found.failed), f"{words}: a planted fault of {plant} is not seen")
    if "leg_mm" in how:
        found = Tally()
        check_leg(words, step, how | {"leg_mm": how["leg_mm"] + 1e-5}, found)
        tally.fact(bool(found.failed), f"{words}: a planted fault of the leg is not seen")


def check_none(words, step, tally):
    """That no long free edge was overlooked."""
    for a, b, (low, high), t in step.free_edges():
        face = step.plate_at((a + b) / 2 - step.out * math.copysign(0.02, t))
        clear = abs(t) > step.bend.allowance / 2 + step.part.thickness
        if face and clear and high - low > LONG + 0.1 and not step.in_the_way((low + high) / 2, 5.0, t, 0.05):
            tally.fact(False, f"{words}: an edge of {face} at {t:.2f} would serve")
            return
    tally.fact(True, "")
    tally.counts["none"] += 1


def check_part(number, program, shop_file, tally):
    drawn = random_bends.drawn(number)
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        report, _ = made(program, drawn, shop_file, folder)
        if report is None:
            tally.counts["no order"] += 1
            return
        tally.counts["orders"] += 1
        row = report["parts"][0]
        dxf = folder / "out/flats/p.dxf"
        part = named_by_size(Part(dxf, row, drawn.tree, drawn.areas), drawn.areas)
        blank = Polygon(plate(rings(cut_of(dxf), "mm", 0.001)).exterior)
        order = sorted(range(len(row["bends"])), key=lambda i: row["bends"][i]["step"]["sequence"])
        tally.fact([row["bends"][i]["step"]["sequence"] for i in order] == list(range(1, len(order) + 1)),
                   f"part {number}: the steps are not numbered one by one")
        before, last = set(), None
        for i in order:
            bend, how = row["bends"][i], row["bends"][i]["step"]
            words = f"part {number} in {shop_file.name}, step {how['sequence']} `{bend['name']}`"
            step = Seen(part, i, frozenset(before), how["hold"], blank)
            if "made" in bend:
                same = how["hold"] == bend["made"]["clamp"] and how["sequence"] == bend["made"]["sequence"]
                tally.fact(same, f"{words}: another face is held than in the setup")
                low, high = how.get("bend_to_deg", [bend["angle_deg"]] * 2)
                under = bend["made"]["angle_under_load_deg"]
                tally.fact(low - 1e-6 <= under <= high + 1e-6 or "bend_to_deg" not in how,
                           f"{words}: {under} is not between {low} and {high}")
            if "gauge" in how:
                check_gauge(words, step, how, how["gauge"], tally)
                check_better(words, step, how["gauge"], tally)
                check_planted(words, step, how, tally)
            else:
                check_none(words, step, tally)
            if "leg_to" in how:
                check_gauge(words, step, how, how["leg_to"], tally)
            if "leg_mm" in how:
                check_leg(words, step, how, tally)
            top = how["top"] == "top side"
            tally.fact(top == (bend["direction"] == "up"), f"{words}: the inside of the bend is not up")
            seen = view(step, top)
            if how["upright"]:
                seen = -seen
            if how["action"]["kind"] == "move":
                shares = last is not None and set(step.plates) & set(last[1])
                tally.fact(bool(shares), f"{words}: nothing that lay flat still does")
                off = np.abs(done(how["action"], last[0]) - seen).max() if shares else 1.0
                tally.fact(off < 1e-6, f"{words}: {how['action']} does not bring it there")
                tally.counts["moves"] += 1
            for sections, left in zip(bend.get("made", {}).get("sections", []), how.get("from_left_mm", [])):
                xs = (seen @ (np.array(sections["line_mm"]) - step.bend.start).T)[0]
                ends = (seen @ (np.array(bend["line_mm"]) - step.bend.start).T)[0]
                tally.fact(abs(xs.min() - ends.min() - left) < 2 * EXACT,
                           f"{words}: {sections['tool']} begin {left} from the left, not {xs.min() - ends.min():.6f}")
                tally.counts["pieces"] += 1
            before.add(i)
            last = (seen, dict(step.plates))


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("program")
    arguments.add_argument("lots", nargs="+", metavar="SHOP PARTS")
    asked = arguments.parse_args()
    tally = Tally()
    for shop_file, parts in zip(asked.lots[::2], asked.lots[1::2], strict=True):
        for number in numbers(parts):
            check_part(number, asked.program, Path(shop_file).resolve(), tally)
    for words in tally.failed:
        print(words)
    print(", ".join(f"{n} {what}" for what, n in sorted(tally.counts.items())))
    print(f"{tally.passed} passed, {len(tally.failed)} failed")
    sys.exit(1 if tally.failed or not tally.counts["orders"] else 0)


if __name__ == "__main__":
    main()
