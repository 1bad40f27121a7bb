"""Walks the load paths of random parts by itself and compares them with a report.

    .venv/bin/python tests/outside/check_strength.py write DIR
    .venv/bin/python tests/outside/check_strength.py DIR

`write` makes a job of random welded parts in a folder: flat plates with waists and eyes off
their middle, tees, hooks, and strips with up to three bends, each with two loads. The second
form reads `DIR/out/report.json`, which the program made of it. Of every section that is
printed it works out the six resultants from where the section is in the folded part, and what
is allowed from its width, by AISC 360. Then it cuts the parts at places of its own choosing and
asks whether any of them allows less than the program does. The folding, the sections and the
formulas are written from the standards, not from the program. Prints one line for each fact
that fails and one line of totals; exits 1 when a fact failed or there was nothing to check.
"""

import json
import math
import random
import sys
from pathlib import Path

import numpy as np
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import split

FY, E = 235.0, 210e3
YIELD, SHEAR = 1.67, 1.5
FILLET = 0.6 * 70 * 6.894757293 * 0.707 / 2.0  # E70, N/mm of length and mm of leg, allowed
RESULTANT = 1e-6  # of the force, or of the largest moment
CAPACITY = 5e-3
FLATTERS = 1.005  # of what the sections here allow
CUTS = 150  # random ones in each face
PARTS = 24
KINDS = ["flat", "tee", "hook", "strip"]
DIRECTIONS = ["pull", "push", "along", "sideways", None, None]


# Parts


def strip(height, width):
    return [(-width, 0), (width, 0), (width, height), (-width, height)]


def flat_part(rng, d):
    height, wide = round(rng.uniform(80, 160), 1), round(rng.uniform(1.6 * d, 45), 1)
    foot, low, high = (round(rng.uniform(0.5, 1.5) * wide, 1) for _ in range(3))
    waist = [round(rng.uniform(0.4, 1.0) * wide, 1) for _ in range(2)]
    top = round(height - 3.6 * d, 1)
    right = [(foot, 0), (waist[0], 0.4 * top), (wide, top), (wide, height)]
    left = [(-low, 0), (-waist[1], 0.6 * top), (-wide, top), (-wide, height)]
    eye = (round(rng.uniform(-1, 1) * (wide - 1.5 * d), 1), round(height - 1.8 * d, 1))
    points = [left[0], *[(x, round(y, 1)) for x, y in right]]
    return points + [(x, round(y, 1)) for x, y in left[:0:-1]], eye


def tee_part(rng, d):
    stem, wide = round(rng.uniform(10, 30), 1), round(rng.uniform(3.5, 6) * d, 1)
    neck, height = round(rng.uniform(30, 70), 1), round(rng.uniform(80, 90) + 3 * d, 1)
    points = [(-stem, 0), (stem, 0), (stem, neck), (wide, neck), (wide, height)]
    points += [(-wide, height), (-wide, neck), (-stem, neck)]
    aside = round(rng.uniform(-1, 1) * (wide - 1.6 * d), 1)
    return points, (aside, round(height - 1.7 * d, 1))


def hook_part(rng, d):
    foot, height = round(rng.uniform(20, 40), 1), round(rng.uniform(90, 130), 1)
    arm, reach = round(rng.uniform(12, 30), 1), round(foot + rng.uniform(15, 60), 1)
    leg = round(3.4 * d, 1)
    low = height - arm
    points = [(0, 0), (foot, 0), (foot, low), (reach, low), (reach, 15.0), (reach + leg, 15.0)]
    points += [(reach + leg, height), (0, height)]
    return [(x, round(y, 1)) for x, y in points], (round(reach + leg / 2, 2), 15.0 + 1.7 * d)


def strip_part(rng, d, thick):
    """Heights of the faces, half of their width, the bends, and the eye in the last face."""
    wide, count = round(rng.uniform(1.7 * d, 35), 1), rng.choice([1, 2, 2, 3])
    heights = [round(rng.uniform(9, 20) * thick + 24, 1) for _ in range(count + 1)]
    bends = [(rng.choice([30.0, 45.0, 60.0, 90.0]), rng.choice([1, -1])) for _ in range(count)]
    aside = round(rng.uniform(-1, 1) * (wide - 1.6 * d), 1)
    return heights, wide, bends, (aside, round(heights[-1] - 1.7 * d, 1))


class Part:
    """One part, as it is drawn and as it is folded."""

    def __init__(self, number):
        rng = random.Random(1000 + number)
        self.name = f"r{number}"
        self.thick = rng.choice([3.0, 4.0, 5.0, 6.0])
        self.radius = 2 * self.thick
        self.pin = rng.choice([8.0, 10.0, 12.0])
        self.hole = self.pin + 0.5
        self.kind = KINDS[number % len(KINDS)]
        self.bends, self.heights, self.wide = [], [], 0.0
        if self.kind == "strip":
            drawn = strip_part(rng, self.hole, self.thick)
            self.heights, self.wide, self.bends, self.eye = drawn
            self.faces = [strip(height, self.wide) for height in self.heights]
        else:
            maker = {"flat": flat_part, "tee": tee_part, "hook": hook_part}[self.kind]
            points, self.eye = maker(rng, self.hole)
            self.faces = [points]
        angles = [rng.choice(DIRECTIONS) for _ in range(2)]
        self.ways = [way or f"{round(rng.uniform(-179, 179), 1)} deg" for way in angles]
        self.fold()

    def fold(self):
        """Frames of the faces, each (origin, x, y, z) of its upper side, and of the bends."""
        origin, x, y, z = np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), np.eye(3)[2]
        self.frames, self.curves = [], []
        for i, _ in enumerate(self.faces):
            self.frames.append((origin, x, y, z))
            if i == len(self.bends):
                break
            degrees, side = self.bends[i]
            angle = math.radians(degrees)
            setback = (self.radius + self.thick) * math.tan(angle / 2)
            # The mould line is on the outside of the bend: below for a flange that goes up.
            outside = -self.thick if side > 0 else 0.0
            mould = origin + y * self.heights[i] + outside * z
            to = self.radius if side > 0 else -self.thick - self.radius
            centre = origin + y * (self.heights[i] - setback) + to * z
            self.curves.append((centre, x, y, z, angle, side, setback))
            y, z = math.cos(angle) * y + side * math.sin(angle) * z, math.cos(angle) * z - side * math.sin(angle) * y
            origin = mould - outside * z

    def point(self, face, at):
        origin, x, y, z = self.frames[face]
        return origin + x * at[0] + y * at[1] - z * self.thick / 2

    def forces(self, way):
        """The load of 1 N, in each of its ways."""
        _, x, y, z = self.frames[-1]
        turned = {"pull": [y], "push": [-y], "along": [-x, x], "sideways": [z, -z]}
        if way in turned:
            return turned[way]
        angle = math.radians(float(way.split()[0]))
        return [y * math.cos(angle) - x * math.sin(angle)]

    def allowance(self, bend):
        k = min(1.0, 0.65 + 0.5 * math.log10(self.radius / self.thick))  # DIN 6935
        return self.curves[bend][4] * (self.radius + k * self.thick / 2)

    def far(self, face, at):
        """From the load to a point of a face, in the flat."""
        y = self.eye[1]
        for i in range(len(self.faces) - 2, face - 1, -1):
            setback = self.curves[i][6]
            y += self.allowance(i) + self.heights[i] - 2 * setback
        return math.hypot(at[0] - self.eye[0], y - at[1])

    def length(self):
        (left, _), (right, _) = self.faces[0][:2]
        return self.far(0, ((left + right) / 2, 0.0))

    def recipe(self):
        lines = ['about = "random part"']
        for i, points in enumerate(self.faces):
            top = len(points) - 2
            edges = {0: "foot"} if i == 0 else {}
            if i < len(self.bends):
                edges[top] = "top"
            corners = [corner(at, edges.get(j)) for j, at in enumerate(points)]
            lines += [f"[face.f{i}]", f'blank = [ {{ add = "polygon", corners = [ {", ".join(corners)} ] }} ]']
            if i == len(self.faces) - 1:
                at = corner(self.eye, None)
                lines.append(f'holes = [ {{ name = "eye", at = {at}, diameter = "{self.hole} mm" }} ]')
            if i == 0:
                lines.append('weld = [ { edge = "foot", leg = "3 mm" } ]')
        for i, (angle, side) in enumerate(self.bends):
            lines += [f"[bend.k{i}]", f'on = "f{i}.top"', f'to = "f{i + 1}"', f'angle = "{angle} deg"']
            lines += [f'radius = "{self.radius} mm"', f'side = "{"up" if side > 0 else "down"}"']
        return "\n".join(lines) + "\n"


def corner(at, edge):
    place = f'["{at[0]} mm", "{at[1]} mm"]'
    return f'{{ at = {place}, edge = "{edge}" }}' if edge else place


def write(folder):
    parts = [Part(number) for number in range(PARTS)]
    lines = ['process = "laser"']
    for thick in sorted({part.thick for part in parts}):
        lines += ["[[sheet]]", f'name = "{thick}"', 'material = "S235"', f'thickness = "{thick} mm"']
        lines.append('stock = [ { size = ["3000 mm", "1500 mm"] } ]')
    for part in parts:
        (folder / f"{part.name}.toml").write_text(part.recipe())
        lines += ["[[part]]", f'recipe = "{part.name}"', f'name = "{part.name}"', f'sheet = "{part.thick}"']
        for i, way in enumerate(part.ways):
            lines += ["[[load]]", f'name = "{part.name} {i}"', f'part = "{part.name}"', 'hole = "eye"']
            lines += ['force = "1 N"', f'direction = "{way}"', f'pin = "{part.pin} mm"']
    (folder / "job.toml").write_text("\n".join(lines) + "\n")


# Sections of plates, AISC 360


def compression(width, thick, length):
    slender = 2.1 * length / (thick / math.sqrt(12))
    stress = FY
    if slender > 25:
        euler = math.pi**2 * E / slender**2
        stress = 0.658 ** (FY / euler) * FY if FY / euler <= 2.25 else 0.877 * euler
    return stress * width * thick / YIELD


def bending_in_plane(width, thick, length):
    elastic, plastic = thick * width**2 / 6, thick * width**2 / 4
    slender = length * width / thick**2
    most = min(plastic, 1.6 * elastic) * FY
    if slender <= 0.08 * E / FY:
        return most / YIELD
    if slender <= 1.9 * E / FY:
        return min(most, (1.52 - 0.274 * slender * FY / E) * FY * elastic) / YIELD
    return min(most, 1.9 * E / slender * elastic) / YIELD


def torsion(width, thick):
    thin, wide = min(width, thick), max(width, thick)
    return 0.6 * FY * thin**2 / 2 * (wide - thin / 3) / YIELD


def allowed(width, part, normal):
    """Of each alone: normal force, shear, bending in plane, torsion."""
    thick, length = part.thick, part.length()
    pushed = min(width, part.hole + 2 * math.tan(math.pi / 6) * length)
    direct = compression(pushed, thick, length) if normal < 0 else FY * width * thick / YIELD
    shear = 0.6 * FY * width * thick / SHEAR
    return direct, shear, bending_in_plane(width, thick, length), torsion(width, thick)


def straight(direct, sideways):
    """H1 as a linear sum with H3-6."""
    return 2 / (direct + math.sqrt(direct**2 + 4 * sideways**2)) if direct + sideways else math.inf


def slanted(bent, pulled, sideways):
    """AISC manual part 9, equation 9-1."""
    shares = [share for share in (bent, pulled, sideways) if share > 0]
    low, high = 0.0, min((1 / share for share in shares), default=math.inf)
    if not shares:
        return math.inf
    for _ in range(60):
        times = (low + high) / 2
        over = bent * times + (pulled * times) ** 2 + (sideways * times) ** 4 > 1
        low, high = (low, times) if over else (times, high)
    return low


def resultants(part, force, about, normal, along, up):
    """N, V in the plate, V across, M in plane, M out of plane, T."""
    arm = part.point(len(part.faces) - 1, part.eye) - about
    moment = np.cross(arm, force)
    return np.array([force @ normal, force @ along, force @ up, moment @ up, moment @ along, moment @ normal])


# Printed sections


def frame_at(part, section):
    """Normal of the sheet at a printed section, and the face or bend by its number."""
    ends = [np.array(end) for end in section["folded_mm"]]
    if "face" in section:
        return part.frames[int(section["face"][1:])][3], ends
    centre, x, _, _, _, side, _ = part.curves[int(section["bend"][1:])]
    out = (ends[0] + ends[1]) / 2 - centre
    out -= x * (out @ x)
    return -side * out / np.linalg.norm(out), ends


def printed(tally, part, load, way):
    for limit in load["limits"]:
        if not limit["what"].startswith(("section", "plate at")):
            continue
        section = limit["section"]
        up, (start, end) = frame_at(part, section)
        along = (end - start) / np.linalg.norm(end - start)
        got = np.array(list(section["forces"].values()))
        about = (start + end) / 2
        if "face" in section and pierced(part, section, start, end):
            continue
        # Which way a section is looked at is the program's choice.
        frames = [(np.cross(along, up) * s, along * s * t, up, t) for s in (1, -1) for t in (1, -1)]
        scale = np.array([1.0] * 3 + [max(1.0, np.abs(got[3:]).max())] * 3)
        off = min(
            np.abs((resultants(part, force, about, normal, line, z) - got) / scale).max()
            for force in part.forces(way)
            for normal, line, z, _ in frames
        )
        where = f"{load['case']}: {limit['what']}"
        tally.fact(off < RESULTANT, f"{where}: resultants are off by {off:.1e}")
        capacity(tally, part, section, where)


def pierced(part, section, start, end):
    """Whether a section runs through the eye, so that its metal has another middle."""
    if section["face"] != f"f{len(part.faces) - 1}":
        return False
    eye = part.point(len(part.faces) - 1, part.eye)
    along = (end - start) / np.linalg.norm(end - start)
    return np.linalg.norm(np.cross(eye - start, along)) < part.hole / 2


def capacity(tally, part, section, where):
    ends = [np.array(end) for end in section["ligament_flat_mm"]]
    width = np.linalg.norm(ends[1] - ends[0])
    given = section["allowable"]
    names = ["normal_n", "shear_n", "bend_in_nmm", "torsion_nmm"]
    for name, own in zip(names, allowed(width, part, section["ligament"]["normal_n"])):
        same = abs(given[name] / own - 1) < CAPACITY
        tally.fact(same, f"{where}: {name} {given[name]:.1f} allowed, here {own:.1f}")


# Sections of our own


def bodies(part):
    """Each face between its bends, with points of where the load comes in and goes out."""
    last = len(part.faces) - 1
    for i, points in enumerate(part.faces):
        metal, inset = Polygon(points), 1e-4
        low = part.curves[i - 1][6] if i else 0.0
        if part.bends:
            high = part.heights[i] - part.curves[i][6] if i < last else part.heights[i]
            w = part.wide
            metal = metal.intersection(Polygon([(-w, low), (w, low), (w, high), (-w, high)]))
            held = [Point(k * w, low + inset) for k in (-0.9999, 0, 0.9999)]
            load = [Point(part.eye)] if i == last else [Point(k * w, high - inset) for k in (-0.9999, 0, 0.9999)]
        else:
            (left, _), (right, _) = points[:2]
            middle, half = (left + right) / 2, (right - left) / 2
            held = [Point(middle + k * half, inset) for k in (-0.9999, 0, 0.9999)]
            load = [Point(part.eye)]
        yield i, metal, load, held


def chords(part, rng, metal, load, held, is_last):
    """Segments that part the load from all that holds the face."""
    x0, y0, x1, y1 = metal.bounds
    lines = [((rng.uniform(x0, x1), rng.uniform(y0, y1)), rng.uniform(0, math.pi)) for _ in range(CUTS)]
    lines += [((0, rng.uniform(y0, y1)), 0.0) for _ in range(CUTS // 3)]
    lines += [((x, y + off), 0.0) for x, y in metal.exterior.coords for off in (-1e-3, 1e-3)]
    for at, turn in lines:
        way = np.array([math.cos(turn), math.sin(turn)])
        line = LineString([at - way * 999, at + way * 999])
        crossed = metal.intersection(line)
        for piece in getattr(crossed, "geoms", [crossed]):
            if piece.length < 1e-2 or is_last and piece.distance(Point(part.eye)) < part.hole / 2:
                continue
            start, end = (np.array(piece.coords[k]) for k in (0, -1))
            along = (end - start) / np.linalg.norm(end - start)
            halves = split(metal, LineString([start - along * 1e-6, end + along * 1e-6])).geoms
            if len(halves) != 2:
                continue
            of = [[halves[0].distance(p) < 1e-9 for p in points] for points in (load, held)]
            if len(set(of[0])) == len(set(of[1])) == 1 and of[0][0] != of[1][0]:
                normal = np.array([-along[1], along[0]])
                ahead = halves[0].distance(Point((start + end) / 2 + normal * 1e-4)) < 1e-9
                yield start, end, along, normal if ahead == of[0][0] else -normal, turn == 0.0


def spread(part, face, start, end, along):
    """Of a section, what a force normal to the plate spreads to at 45°."""
    width, eye = np.linalg.norm(end - start), np.array(part.eye)
    middle = (eye - start) @ along if face == len(part.faces) - 1 else (eye[0] - start[0]) * along[0]
    far = abs(np.cross([*along, 0], [*(eye - start), 0])[2])
    if face < len(part.faces) - 1:
        far = part.far(face, (eye[0], (start[1] + end[1]) / 2))
    middle = min(max(middle, 0.0), width)
    reach = part.hole / 2 + far
    return min(width, middle + reach) - max(0.0, middle - reach)


def least(part, way, rng):
    """What the weakest of our own sections allows, and which it is."""
    found = (math.inf, None)
    for face, metal, load, held in bodies(part):
        _, x, y, z = part.frames[face]
        for start, end, along, normal, is_across in chords(part, rng, metal, load, held, face == len(part.faces) - 1):
            width = np.linalg.norm(end - start)
            counted = spread(part, face, start, end, along)
            line, out = x * along[0] + y * along[1], x * normal[0] + y * normal[1]
            for force in part.forces(way):
                acts = resultants(part, force, part.point(face, (start + end) / 2), out, line, z)
                value = section(part, width, counted, acts, is_across and part.kind != "hook")
                found = min(found, (value, (face, start.round(2).tolist(), end.round(2).tolist())), key=lambda f: f[0])
    for bend, (centre, x, y, z, angle, side, _) in enumerate(part.curves):
        for share in np.linspace(0, 1, 13):
            turned = angle * share
            forward = math.cos(turned) * y + side * math.sin(turned) * z
            up = math.cos(turned) * z - side * math.sin(turned) * y
            at = centre - side * (part.radius + part.thick / 2) * up
            far = part.far(bend, (part.eye[0], part.heights[bend] - part.curves[bend][6]))
            reach = part.hole / 2 + far - share * part.allowance(bend)
            counted = min(part.wide, part.eye[0] + reach) - max(-part.wide, part.eye[0] - reach)
            for force in part.forces(way):
                acts = resultants(part, force, at, forward, x, up)
                value = section(part, 2 * part.wide, counted, acts, True)
                found = min(found, (value, ("bend", bend, share)), key=lambda f: f[0])
    return found


def section(part, width, counted, acts, is_straight):
    direct, shear, in_plane, twist = allowed(width, part, acts[0])
    out = FY * max(counted, 1e-9) * part.thick**2 / 4 / YIELD
    bent = abs(acts[3]) / in_plane + (abs(acts[4]) / out if abs(acts[4]) > 1e-9 else 0.0)
    sideways = math.hypot(acts[1], acts[2]) / shear + abs(acts[5]) / twist
    pulled = abs(acts[0]) / direct
    return straight(pulled + bent, sideways) if is_straight else slanted(bent, pulled, sideways)


def weld(part, way):
    """Two fillets along the foot as lines by the elastic method, with all that J2-5 adds."""
    (left, _), (right, _) = part.faces[0][:2]
    width, thick = right - left, part.thick
    _, x, y, z = part.frames[0]
    about = part.point(0, ((left + right) / 2, 0.0))
    length, edgeways = 2 * width, width**3 / 6
    out = length * thick**2 / 4
    found = math.inf
    for force in part.forces(way):
        n, v, q, bend, lift, twist = resultants(part, force, about, y, x, z)
        for at in (-width / 2, width / 2):
            for off in (-thick / 2, thick / 2):
                stress = [
                    n / length - bend * at / edgeways + lift * off / out,
                    v / length + twist * off / (edgeways + out),
                    q / length - twist * at / (edgeways + out),
                ]
                found = min(found, 1.5 * FILLET * 3.0 / np.linalg.norm(stress))
    return found


class Tally:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def fact(self, holds, words):
        self.passed, self.failed = self.passed + holds, self.failed + (not holds)
        if not holds:
            print(words)


def check(folder):
    report = json.loads((folder / "out/report.json").read_text())
    loads = {load["case"]: load for load in report["strength"]["loads"]}
    tally, judged = Tally(), 0
    for number in range(PARTS):
        part = Part(number)
        for i, way in enumerate(part.ways):
            load = loads[f"{part.name} {i}"]
            if not load["judged"]:
                tally.fact(load["allowable"] is None, f"{load['case']}: a margin without a judgement")
                continue
            judged += 1
            printed(tally, part, load, way)
            is_allowed = load["allowable"]["kn"] * 1000
            own, where = least(part, way, random.Random(number))
            tally.fact(is_allowed <= own * FLATTERS, f"{load['case']} ({part.kind}, {way}): {is_allowed:.1f} N allowed, {own:.1f} at {where}")
            welded = weld(part, way)
            tally.fact(is_allowed <= welded * FLATTERS, f"{load['case']}: {is_allowed:.1f} N allowed, weld {welded:.1f}")
    tally.fact(judged > PARTS, f"only {judged} loads are judged")
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    if sys.argv[1] == "write":
        write(Path(sys.argv[2]))
        sys.exit(0)
    sys.exit(check(Path(sys.argv[1])))
