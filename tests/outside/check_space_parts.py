"""Random plates among tubes in space, with holes at points in space, laid out anew.

    .venv/bin/python tests/outside/check_space_parts.py PROGRAM FOLDER FIRST COUNT

Plates FIRST to FIRST + COUNT - 1 are written as recipes and jobs into FOLDER and made. Each lies
in a plane of its own, is cut by a tube (straight, bent beside the plate, bent in it, or bent along
it), and has a hole at a point in its sheet, one at the foot of a point far off, one where a line
crosses it, and a corner at a point. Every seventh names a point that lies off the sheet, and must
be refused with that distance. The model here lays out centre lines and planes by itself. Along
what was cut the straight edge through the sheet comes within 0.05 mm of the tube and nowhere into
it; no place all over the plate that is metal lies in the tube; every eighth plate is extruded and
cut with the tube by the solid kernel, which finds no metal in it; where it finds
none in a tube 0.4 mm thicker either, it has judged nothing, and that is counted.

Plates fall into two lots at random. Prints one line for each fault and one of totals; exits 1
when there is a fault.
"""

import collections
import json
import math
import random
import re
import subprocess
import sys
from pathlib import Path

import ezdxf
import numpy as np
import shapely
from centre_lines import CentreLine, unit
from ezdxf.path import make_path
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeTorus
from OCP.GProp import GProp_GProps
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from shapely.geometry import LinearRing, Point, Polygon

GAP = 0.05  # mm beside the tube
INSIDE = 2e-4  # mm: chords of the outline
PLACE = 1e-4  # mm a hole may be off, as the file is written
METAL = 1e-6  # mm³ in the tube: rounding
FINE, COARSE = 1e-4, 5e-3  # mm chords leave arcs by, and where the kernel takes them
MOST = 10  # plates in a job
REFERENCE = 7.3  # mm, the hole that tells where the drawing lies in the file
KINDS = ["straight", "bent beside", "bent in it", "along"]


def solids(tube, radius):
    """A cylinder for each leg, a sector of a torus for each bend."""
    axes = lambda at, z, x: gp_Ax2(gp_Pnt(*map(float, at)), gp_Dir(*map(float, z)), gp_Dir(*map(float, x)))
    for part in tube.parts:
        if part[0] == "line":
            along = unit(part[2] - part[1])
            beside = unit(np.cross(along, np.roll(along, 1) + [0.1, 0.2, 0.3]))
            yield BRepPrimAPI_MakeCylinder(axes(part[1], along, beside), radius, math.dist(part[1], part[2])).Shape()
        else:
            _, centre, out, along, angle, _, _ = part
            yield BRepPrimAPI_MakeTorus(axes(centre, np.cross(out, along), out), tube.bend, radius, angle).Shape()


class Plate:
    """A plate: its plane, its tube, its points, all from chance."""

    def __init__(self, number):
        self.number, self.dice = number, random.Random(number)
        dice = self.dice
        between = dice.uniform
        self.lot = dice.randrange(2)
        self.thickness = dice.choice([2.0, 4.0, 6.0])
        self.kind = KINDS[number % 4]
        self.refused = number % 7 == 3
        vector = lambda: np.array([between(-1, 1) for _ in range(3)])
        self.origin = 400 * vector()
        self.x = unit(vector())
        self.z = unit(np.cross(self.x, vector()))
        self.y = np.cross(self.z, self.x)
        self.outside, self.clearance = between(16, 44), dice.choice([0.0, between(0, 0.5)])
        self.bend = between(1.2, 4) * self.outside
        self.corners = [(-190.0, -140.0), (190 + between(-9, 9), -140.0), (190.0, 140.0), (-190 + between(-9, 9), 140.0)]
        self.tube = self.laid()
        spot = lambda side: np.array([side * between(140, 165), between(-110, 110), 0.0])
        depth = between(-self.thickness, 0)
        self.pin = spot(-1) + [0, 0, dice.choice([depth, between(0, 0.9), -self.thickness - between(0, 0.9)])]
        self.off = spot(1) + [0, 0, dice.choice([-1, 1]) * between(10, 300)]
        self.line = [spot(1) + [0, 0, 90], spot(1) + [0, 0, -between(40, 90)]]
        # Apart from each other along y.
        self.pin[1], self.off[1] = between(-100, 100), between(-110, -60)
        for p in self.line:
            p[1] = between(20, 90)

    def laid(self):
        between = self.dice.uniform
        lean = lambda low, high: math.radians(between(low, high))
        def direction(angle, around=None):
            around = between(0, 2 * math.pi) if around is None else around
            return np.array([math.cos(angle) * math.cos(around), math.cos(angle) * math.sin(around), math.sin(angle)])
        at = np.array([between(-20, 20), between(-20, 20), -self.thickness / 2])
        if self.kind == "straight":
            along = direction(lean(25, 90))
            points = [at - 300 * along, at + 300 * along]
        elif self.kind == "bent beside":
            along = direction(lean(50, 90))
            corner = at + (self.bend + 2.2 * self.outside + 20) * along
            turned = unit(along + direction(lean(0, 60)))
            points = [at - 250 * along, corner, corner + (self.bend + 200) * turned]
        elif self.kind == "bent in it":
            # A place of the bend lies in the plate; the tube crosses it there at a lean.
            along = direction(lean(30, 90))
            side = unit(np.cross(along, np.array([between(-1, 1) for _ in range(3)])))
            half = lean(15, 42)
            share = between(-0.8, 0.8) * half
            corner_out = self.bend / math.cos(half)
            centre = at + self.bend * side
            place = lambda a: centre + self.bend * (-side * math.cos(a) + along * math.sin(a))
            tangent = lambda a: side * math.sin(a) + along * math.cos(a)
            a, b = -half + share, half + share
            corner = centre + corner_out * unit(place(share) - centre)
            points = [place(a) - 250 * tangent(a), corner, place(b) + 250 * tangent(b)]
        else:
            z = between(-0.4, 0.4) * self.outside - self.thickness / 2
            # Its bend comes a little way over the lower edge.
            top, half = -140 + between(-0.3, 0.3) * self.outside, math.radians(50)
            corner = np.array([between(-30, 30), top + self.bend * (1 / math.cos(half) - 1), z])
            ways = [np.array([s * math.cos(half), -math.sin(half), 0.0]) for s in (-1, 1)]
            points = [corner + 600 * ways[0], corner, corner + 600 * ways[1]]
        return CentreLine(points, self.bend)

    def space(self, p):
        at = self.origin + self.x * p[0] + self.y * p[1] + self.z * p[2]
        return "[" + ", ".join(f'"{c:.9f} mm"' for c in at) + "]"

    def recipe(self):
        at = "P" if self.refused else "foot(P)"
        tube = [self.space(p) for p in self.tube.points]
        way = f"from = {tube[0]}\nto = {tube[1]}" if len(tube) == 2 else f'through = [{", ".join(tube)}]\nradius = "{self.tube.bend:.9f} mm"'
        corners = ", ".join(f'["{x:.9f} mm", "{y:.9f} mm"]' for x, y in self.corners[1:])
        return f"""about = "Plate among tubes"

[points]
first = {self.space((*self.corners[0], -self.thickness / 3))}
pin = {self.space(self.pin)}
P = {self.space(self.off)}
Q = {self.space(self.line[0])}
R = {self.space(self.line[1])}

[tube.one]
outside = "{self.outside:.9f} mm"
{way}

[face.plate]
on = {{ origin = {self.space((0, 0, 0))}, x = {self.space((70, 0, 0))}, side = {self.space((15, 40, 0))} }}
blank = [
  {{ add = "polygon", corners = ["first", {corners}] }},
  {{ cut = "tube", tube = "one", clearance = "{self.clearance:.9f} mm" }},
]
holes = [
  {{ name = "reference", at = ["-170 mm", "125 mm"], diameter = "{REFERENCE} mm" }},
  {{ name = "pin", at = "pin", diameter = "8 mm" }},
  {{ name = "foot", at = "{at}", diameter = "9 mm" }},
  {{ name = "crossing", at = "crossing(Q, R)", diameter = "10 mm" }},
]
"""

    def expected(self):
        q, r = self.line
        middle = -self.thickness / 2
        crossing = q + (r - q) * (middle - q[2]) / (r[2] - q[2])
        return {8.0: self.pin[:2], 9.0: self.off[:2], 10.0: crossing[:2]}

    def distance(self):
        z = self.off[2]
        return z if z > 0 else -self.thickness - z


def job(plates):
    sheets = "".join(f'[[sheet]]\nname = "{t}"\nmaterial = "S235"\nthickness = "{t} mm"\nstock = [ {{ size = ["6000 mm", "3000 mm"] }} ]\n' for t in sorted({p.thickness for p in plates}))
    parts = "".join(f'[[part]]\nrecipe = "plate-{p.number}"\nname = "plate-{p.number}"\nsheet = "{p.thickness}"\n' for p in plates)
    return f'process = "laser"\n{sheets}{parts}'


def run(program, folder, plates, name):
    (folder / f"{name}.toml").write_text(job(plates))
    out = folder / f"out-{name}"
    ran = subprocess.run([program, "make", str(folder / f"{name}.toml"), "--out", str(out), "--effort", "0", "--no-drawings"],
                         capture_output=True, text=True, timeout=600, check=False)
    return ran, out


def outlines(path, chord):
    """The outlines of a flat as chains of places whose chords leave it by no more than that, and its round holes."""
    chains, circles = [], []
    for entity in ezdxf.readfile(path).modelspace():
        if entity.dxf.layer != "CUT":
            continue
        if entity.dxftype() == "CIRCLE":
            circles.append((2 * entity.dxf.radius, np.array(entity.dxf.center)[:2]))
        else:
            chains.append(np.array([(v.x, v.y) for v in make_path(entity).flattening(chord)]))
    return chains, circles


def plane(chains, shift):
    rings = sorted((Polygon(c - shift) for c in chains), key=lambda r: -r.area)
    return rings, Polygon(rings[0].exterior, [r.exterior for r in rings[1:]])


def common(plate, metal, radius):
    """Volume of metal in the tube, by the kernel."""
    def face(ring):
        polygon = BRepBuilderAPI_MakePolygon()
        for x, y in list(ring.coords)[:-1]:
            polygon.Add(gp_Pnt(x, y, 0.0))
        polygon.Close()
        return polygon.Wire()
    made = BRepBuilderAPI_MakeFace(face(shapely.geometry.polygon.orient(metal).exterior))
    for ring in shapely.geometry.polygon.orient(metal).interiors:
        made.Add(face(ring))
    solid = BRepPrimAPI_MakePrism(made.Face(), gp_Vec(0, 0, -plate.thickness)).Shape()
    volume = 0.0
    for tube in solids(plate.tube, radius):
        sums = GProp_GProps()
        BRepGProp.VolumeProperties_s(BRepAlgoAPI_Common(solid, tube).Shape(), sums)
        volume += abs(sums.Mass())
    return volume


def judge(plate, path, lot):
    """What is wrong with a plate that was made."""
    faults = []
    chains, circles = outlines(path, FINE)
    reference = [at for diameter, at in circles if abs(diameter - REFERENCE) < 1e-6]
    shift = reference[0] - [-170.0, 125.0]
    for diameter, at in plate.expected().items():
        found = [c - shift for d, c in circles if abs(d - diameter) < 1e-6]
        off = math.dist(found[0], at) if len(found) == 1 else math.inf
        lot["hole"] = max(lot["hole"], off)
        if off > PLACE:
            faults.append(f"hole of {diameter} mm is {off} mm off")
    rings, metal = plane(chains, shift)
    radius = plate.outside / 2 + plate.clearance
    depths = -plate.thickness * np.linspace(0, 1, 41)
    drawn = LinearRing(plate.corners)
    cut = np.array([p for ring in rings for p in ring.exterior.coords if drawn.distance(Point(p)) > 0.05])
    if len(cut) < 10:
        return faults + ["nothing was cut"]
    cut = cut[:: max(1, len(cut) // 300)]
    least, most = plate.tube.beside(cut, depths, radius)
    lot["gap"], lot["inside"] = max(lot["gap"], most), max(lot["inside"], -least)
    if most > GAP or least < -INSIDE:
        faults.append(f"from {least} to {most} mm beside the tube")
    for deep in plate.tube.inside(metal, 120, depths[[0, 20, 40]], radius):
        if deep > INSIDE:
            faults.append(f"metal {deep} mm inside the tube")
    if plate.number % 8 in (1, 2):
        _, metal = plane(outlines(path, COARSE)[0], shift)
        volume = common(plate, metal, radius)
        if volume > METAL:
            faults.append(f"{volume} mm³ of metal in the tube")
        # Its boolean comes out empty for some tori: it has judged nothing there.
        judged = common(plate, metal, radius + 0.2) > METAL
        lot["metal"] = max(lot["metal"], volume)
        lot["solids" if judged else "not judged"] += 1
    return faults


def main():
    program, folder, first, count = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
    plates = [Plate(number) for number in range(first, first + count)]
    lots = [{"plates": 0, "hole": 0.0, "gap": 0.0, "inside": 0.0, "metal": 0.0, "solids": 0, "not judged": 0} for _ in range(2)]
    counts, faults = collections.Counter(), []
    for plate in plates:
        (folder / f"plate-{plate.number}.toml").write_text(plate.recipe())
    for plate in filter(lambda p: p.refused, plates):
        ran, _ = run(program, folder, [plate], f"off-{plate.number}")
        said = re.search(r"stop\[formula\]: `P` is ([0-9.]+) mm (above|below) the sheet", ran.stderr)
        counts["refused"] += 1
        if not said or abs(float(said[1]) - plate.distance()) > 6e-4 or (said[2] == "above") != (plate.off[2] > 0):
            faults.append(f"plate {plate.number}: {plate.distance()} mm off, but: {ran.stderr[:300]}")
    made = [p for p in plates if not p.refused]
    for start in range(0, len(made), MOST):
        some = made[start : start + MOST]
        ran, out = run(program, folder, some, f"job-{start}")
        if ran.returncode != 0:
            counts["stopped"] += len(some)
            faults.append(f"plates {[p.number for p in some]}: {ran.stderr[:800]}")
            continue
        for plate in some:
            lot = lots[plate.lot]
            lot["plates"] += 1
            counts[plate.kind] += 1
            found = judge(plate, out / "flats" / f"plate-{plate.number}.dxf", lot)
            faults += [f"plate {plate.number} ({plate.kind}): {words}" for words in found]
    for words in faults:
        print(words)
    print(json.dumps({"plates": len(plates), "counts": counts, "lots": lots, "faults": len(faults)}, default=float))
    sys.exit(1 if faults or not plates else 0)


if __name__ == "__main__":
    main()
