"""Checks a finished output folder with readers that share no code with the writer.

    .venv/bin/python tests/outside/check_dxf.py OUT_DIR

Reads OUT_DIR/report.json, then opens every file under flats/ and sheets/: ezdxf reads
and audits the DXF, the sums of areas and lengths are made anew here, shapely measures
the gaps on the sheets. Sheets with common cuts are cut by `check_common.py`. Prints one line for
each fact that fails and one line of totals; exits 1 when a fact failed or when there was nothing to
check, 2 without a report.
"""

import math
import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass

import ezdxf
from ezdxf.lldxf.const import DXFError
from shapely import STRtree
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Polygon
from shapely.ops import polygonize, unary_union
from tally import Tally, folder_and_report

LAYERS = {"CUT", "CUT-COMMON", "MARK", "BEND", "NOTE"}
KINDS = {"LWPOLYLINE", "CIRCLE", "LINE", "ARC", "TEXT"}
UNITS = {"mm": (4, 1.0), "in": (1, 25.4)}
R12 = "AC1009"
FLAT = 0.0005  # mm an arc may lie from its chords
NEAR = 1e-3  # mm a distance may fall short


@dataclass
class Loop:
    """A closed outline, in mm, as the pieces (x, y, bulge) that start at its corners."""

    pieces: list

    def edges(self):
        return zip(self.pieces, self.pieces[1:] + self.pieces[:1])

    def area(self):
        total = 0.0
        for (x, y, bulge), (u, v, _) in self.edges():
            total += (x * v - u * y) / 2
            if bulge:
                radius, sweep = circle_of(x, y, bulge, u, v)
                total += radius * radius * (sweep - math.sin(sweep)) / 2
        return abs(total)

    def length(self):
        total = 0.0
        for (x, y, bulge), (u, v, _) in self.edges():
            if bulge:
                radius, sweep = circle_of(x, y, bulge, u, v)
                total += radius * abs(sweep)
            else:
                total += math.hypot(u - x, v - y)
        return total

    def polygon(self):
        points = []
        for (x, y, bulge), (u, v, _) in self.edges():
            points.append((x, y))
            if not bulge:
                continue
            radius, sweep = circle_of(x, y, bulge, u, v)
            # The centre lies to the left of the chord, (1 - b²) / 4b of its length away.
            k = (1 - bulge * bulge) / (4 * bulge)
            cx, cy = (x + u) / 2 - (v - y) * k, (y + v) / 2 + (u - x) * k
            steps = max(1, math.ceil(abs(sweep) / (2 * math.acos(1 - min(0.5, FLAT / radius)))))
            start = math.atan2(y - cy, x - cx)
            for i in range(1, steps):
                angle = start + sweep * i / steps
                points.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle)))
        return Polygon(points)


def circle_of(x, y, bulge, u, v):
    """Radius and signed sweep of an arc."""
    return math.hypot(u - x, v - y) * (1 + bulge * bulge) / (4 * abs(bulge)), 4 * math.atan(bulge)


def placed(shape, row):
    """A shape as its file has it, mirrored, rotated and shifted onto the sheet as a row says."""
    angle = math.radians(row["orientation_deg"])
    cos, sin = math.cos(angle), math.sin(angle)
    side = -1 if row.get("mirrored") else 1
    return affine_transform(shape, [cos * side, -sin, sin * side, cos, row["x_mm"], row["y_mm"]])


def loop_of(entity, scale):
    """The closed outline an entity is, or None."""
    kind = entity.dxftype()
    if kind == "CIRCLE":
        centre, radius = entity.dxf.center, entity.dxf.radius
        ends = [(centre.x - radius, centre.y, 1.0), (centre.x + radius, centre.y, 1.0)]
    elif kind == "LWPOLYLINE" and entity.closed:
        ends = entity.get_points("xyb")
    elif kind == "POLYLINE" and entity.is_closed:
        ends = [(*v.dxf.location.vec2, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    else:
        return None
    return Loop([(x * scale, y * scale, bulge) for x, y, bulge in ends])


class File:
    """A DXF file that could be read: its entities, and the outlines on CUT."""

    def __init__(self, path, name, units, tally, shared=False):
        self.name = name
        self.code, self.scale = UNITS[units]
        document = ezdxf.readfile(path)
        auditor = document.audit()
        self.entities = list(document.modelspace())
        self.check_frame(document, auditor, tally)
        cut = [e for e in self.entities if e.dxf.layer == "CUT"]
        loops = [loop_of(e, self.scale) for e in cut]
        tally.check(bool(loops), name, "nothing is cut")
        # What common cuts leave of an outline is open.
        self.open = loops.count(None)
        good = shared or not self.open
        tally.check(good, name, "something on CUT is no closed outline")
        common = {e.dxftype() for e in self.entities if e.dxf.layer == "CUT-COMMON"}
        good = common == {"LINE"} if shared else not common
        tally.check(good, name, f"holds {sorted(common)} on CUT-COMMON")
        self.loops = [loop for loop in loops if loop]

    def check_frame(self, document, auditor, tally):
        name = self.name
        errors = [e.message for e in auditor.errors]
        fixes = [e.message for e in auditor.fixes]
        tally.check(not errors, name, f"audit errors: {errors}")
        tally.check(not fixes, name, f"audit fixes: {fixes}")
        old = document.dxfversion == R12
        allowed = KINDS - {"LWPOLYLINE"} | {"POLYLINE"} if old else KINDS
        kinds = {e.dxftype() for e in self.entities}
        tally.check(kinds <= allowed, name, f"holds {sorted(kinds - allowed)}")
        layers = {e.dxf.layer for e in self.entities}
        tally.check(layers <= LAYERS, name, f"uses layers {sorted(layers - LAYERS)}")
        units = document.header.get("$INSUNITS", 0)
        # R12 has no place for units; if it names any, they must be right.
        good = units == self.code or (old and units == 0)
        tally.check(good, name, f"$INSUNITS is {units}, the report says {self.code}")

    def edge(self):
        """The largest closed shape among the notes, or None."""
        notes = [e for e in self.entities if e.dxf.layer == "NOTE"]
        shapes = [loop.polygon() for e in notes if (loop := loop_of(e, self.scale))]
        ends = [(e.dxf.start, e.dxf.end) for e in notes if e.dxftype() == "LINE"]
        lines = [LineString([(p.x * self.scale, p.y * self.scale) for p in two]) for two in ends]
        shapes += polygonize(unary_union(lines)) if lines else []
        return max(shapes, key=lambda s: s.area, default=None)


def check_flat(file, part, tally):
    loops = sorted(file.loops, key=Loop.area, reverse=True)
    if not loops:
        return
    name, edge = file.name, loops[0].polygon()
    tally.same(loops[0].area() - sum(h.area() for h in loops[1:]), part["area_mm2"], name, "area")
    tally.same(sum(h.length() for h in loops), part["cut_length_mm"], name, "cut length")
    holes = len(loops) - 1
    tally.check(holes == part["holes"], name, f"{holes} holes, the report says {part['holes']}")
    inside = all(edge.contains(hole.polygon()) for hole in loops[1:])
    tally.check(inside, name, "a hole lies outside the outline")
    left, low, right, high = edge.bounds
    for found, wanted in zip((right - left, high - low), part["size_mm"]):
        good = abs(found - wanted) <= NEAR
        tally.check(good, name, f"measures {found:.4f} mm, the report says {wanted:.4f}")


def plates(loops):
    """Shape and exact area of each plate: loops inside an even number of others are outlines,
    the rest their holes."""
    shapes = [loop.polygon() for loop in loops]
    around = [[] for _ in loops]
    for i, j in zip(*STRtree(shapes).query(shapes, predicate="within")):
        if i != j:
            around[i].append(j)
    found = {}
    for i, outer in enumerate(around):
        if len(outer) % 2 == 0:
            found.setdefault(i, [])
        else:
            owner = min(outer, key=lambda j: shapes[j].area)
            found.setdefault(owner, []).append(i)
    return [
        (Polygon(shapes[i].exterior, [shapes[j].exterior for j in holes]),
         loops[i].area() - sum(loops[j].area() for j in holes))
        for i, holes in found.items()
    ]


def check_sheet(file, sheet, areas, tally):
    name, found = file.name, plates(file.loops)
    placed = [areas.get(p["part"]) for p in sheet["placed"]]
    if not tally.check(None not in placed, name, "holds a part the report does not list"):
        return
    words = f"{len(found)} parts, the report says {len(placed)}"
    if tally.check(len(found) == len(placed), name, words):
        for area, wanted in zip(sorted(a for _, a in found), sorted(placed)):
            tally.same(area, wanted, name, "a part's area")
    shapes = [shape for shape, _ in found]
    gap = sheet["gap_mm"] - NEAR
    close = zip(*STRtree(shapes).query(shapes, predicate="dwithin", distance=gap))
    least = min((shapes[i].distance(shapes[j]) for i, j in close if i < j), default=math.inf)
    tally.check(least >= gap, name, f"two parts are {least:.4f} mm apart, not {sheet['gap_mm']}")
    edge = file.edge()
    if not tally.check(edge is not None, name, "has no sheet edge among its notes"):
        return
    left, low, right, high = edge.bounds
    for measured, wanted in zip((right - left, high - low), sheet["size_mm"]):
        good = abs(measured - wanted) <= NEAR
        tally.check(good, name, f"its edge measures {measured:.4f} mm, the report says {wanted}")
    inside = all(edge.contains(shape) for shape in shapes)
    tally.check(inside, name, "a part lies over the edge")
    least = min((edge.exterior.distance(shape) for shape in shapes), default=math.inf)
    words = f"a part is {least:.4f} mm from the edge, not {sheet['margin_mm']}"
    tally.check(least >= sheet["margin_mm"] - NEAR, name, words)


def check_svg(path, name, loops, paths, tally):
    try:
        root = ElementTree.parse(path).getroot()
    except ElementTree.ParseError as error:
        tally.check(False, name, f"is no XML: {error}")
        return
    space = "{http://www.w3.org/2000/svg}"
    tally.check(root.tag == f"{space}svg", name, f"its root is {root.tag}")
    cuts = root.findall(f".//{space}g[@id='CUT']/{space}path")
    closed = sum(path.get("d", "").upper().count("Z") for path in cuts)
    opened = sum(path.get("d", "").upper().count("M") for path in cuts) - closed
    tally.check(opened == paths, name, f"{opened} cut paths are not closed, in its DXF {paths}")
    tally.check(closed == loops, name, f"{closed} closed cut paths, its DXF has {loops}")


def check_folder(folder, report, tally):
    units = report["units"]
    owners = {file: part for part in report["parts"] for file in part["files"]}
    sheets = {sheet["file"]: sheet for sheet in report["sheets"]}
    areas = {part["name"]: part["area_mm2"] for part in report["parts"]}
    listed = {file for file in owners if file.startswith("flats/")} | set(sheets)
    paths = [p for d in ("flats", "sheets") for p in sorted((folder / d).rglob("*"))]
    present = {p.relative_to(folder).as_posix(): p for p in paths if p.is_file()}
    for name in sorted(listed - set(present)):
        tally.check(False, name, "is in the report but not in the folder")

    counts = {}
    for name, path in present.items():
        if path.suffix != ".dxf":
            continue
        if not tally.check(name in listed, name, "is in the folder but not in the report"):
            continue
        try:
            shared = bool(sheets.get(name, {}).get("common_cuts"))
            file = File(path, name, units, tally, shared)
        except (DXFError, OSError) as error:
            tally.check(False, name, f"cannot be read: {error}")
            continue
        counts[path.with_suffix("")] = (len(file.loops), file.open)
        if shared:
            # Here, since that check reads with this one's tools.
            import check_common

            check_common.check_sheet(folder, report, sheets[name], tally)
        elif name in sheets:
            check_sheet(file, sheets[name], areas, tally)
        else:
            check_flat(file, owners[name], tally)
    for name, path in present.items():
        if name.startswith("sheets/") and name.endswith("-picture.svg"):
            continue  # For people: check_sheets.py reads it.
        if path.suffix == ".svg" and path.with_suffix("") in counts:
            check_svg(path, name, *counts[path.with_suffix("")], tally)
        elif path.suffix == ".svg":
            tally.check(False, name, "has no DXF of the same name")
    tally.check(bool(counts), str(folder), "holds no DXF file that could be read")


def main():
    folder, report = folder_and_report()
    tally = Tally()
    check_folder(folder, report, tally)
    tally.end()


if __name__ == "__main__":
    main()
