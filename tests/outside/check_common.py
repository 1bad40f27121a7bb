"""Cuts the sheets of a finished output folder, as the machine would, and looks at the pieces.

    .venv/bin/python tests/outside/check_common.py OUT_DIR

For each sheet whose report has common cuts: the lines on CUT-COMMON are cut with the
cutter on them, the contours and open paths on CUT with the cutter half a kerf beside them,
outside outlines, inside holes, to the right of open paths. What then lies loose must be the
pieces of the report, each as its flat draws it, rotated and shifted. Prints one line for each
fact that fails and one line of totals; exits 1 when a fact failed or when there was nothing to
check, 2 without a report.
"""

import math

import ezdxf
from check_dxf import FLAT, UNITS, Loop, circle_of, loop_of, placed
from shapely import STRtree, prepare
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union
from tally import Tally, folder_and_report

COMMON = "CUT-COMMON"
SEGMENTS = 64  # of a quarter of a circle: half a kerf is off by a ten-thousandth of itself
OFF = 0.006  # mm a piece may come out larger or smaller: half of what a common cut may be off
NEAR = 1e-5  # mm, the grid of the files
SAME = 1e-3  # of its area that an outline may differ from the piece's
LENGTH = 0.01  # mm that lengths of all cuts may differ


def path_of(entity, scale):
    """An open polyline as points and exact length, in mm."""
    if entity.dxftype() == "LWPOLYLINE":
        ends = entity.get_points("xyb")
    else:
        ends = [(*v.dxf.location.vec2, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    ends = [(x * scale, y * scale, bulge) for x, y, bulge in ends]
    length = 0.0
    for (x, y, bulge), (u, v, _) in zip(ends, ends[1:]):
        if bulge:
            radius, sweep = circle_of(x, y, bulge, u, v)
            length += radius * abs(sweep)
        else:
            length += math.hypot(u - x, v - y)
    if len(ends) == 2 and not ends[0][2]:
        return [end[:2] for end in ends], length
    # Closed by a line from its end to its start, it is an area with the points of the path.
    closed = Loop([*ends[:-1], (*ends[-1][:2], 0.0)])
    return closed.polygon().exterior.coords[:-1], length


class Sheet:
    """A sheet's file, by what is done along its entities."""

    def __init__(self, path, units):
        scale = UNITS[units][1]
        document = ezdxf.readfile(path)
        self.layers = {layer.dxf.name for layer in document.layers}
        self.common, self.paths, self.loops, self.strange = [], [], [], []
        # The cuts in order: which of these lists, and which of it.
        self.order = []
        self.length, notes = 0.0, []
        for entity in document.modelspace():
            layer, kind, loop = entity.dxf.layer, entity.dxftype(), loop_of(entity, scale)
            if layer == COMMON and kind == "LINE":
                ends = [(p.x * scale, p.y * scale) for p in (entity.dxf.start, entity.dxf.end)]
                self.order.append(("common", len(self.common)))
                self.common.append(LineString(ends))
                self.length += self.common[-1].length
            elif layer == "CUT" and loop:
                self.order.append(("loops", len(self.loops)))
                self.loops.append(loop)
                self.length += loop.length()
            elif layer == "CUT" and kind in ("LWPOLYLINE", "POLYLINE"):
                points, length = path_of(entity, scale)
                self.order.append(("paths", len(self.paths)))
                self.paths.append(LineString(points))
                self.length += length
            elif layer in (COMMON, "CUT"):
                self.strange.append(f"{kind} on {layer}")
            elif layer == "NOTE" and loop:
                notes.append(loop.polygon())
        self.edge = max(notes, key=lambda shape: shape.area)

    def ways(self, kerf, outlines):
        """The ways of the cutter's middle beside what is on CUT."""
        ways = [path.offset_curve(-kerf / 2, quad_segs=SEGMENTS) for path in self.paths]
        tree = STRtree(outlines)
        for shape in (loop.polygon() for loop in self.loops):
            over = [outlines[i] for i in tree.query(shape, predicate="intersects")]
            is_outline = any(shape.symmetric_difference(o).area < SAME * shape.area for o in over)
            beside = shape.buffer(kerf / 2 if is_outline else -kerf / 2, quad_segs=SEGMENTS)
            ways.append(beside.exterior)
        return ways


def pieces_of(folder, report, sheet):
    """The pieces of a sheet from their flats, where the report says, and the lengths of their outlines."""
    flats, scale = {}, UNITS[report["units"]][1]
    for part in report["parts"]:
        name = next(f for f in part["files"] if f.startswith("flats/") and f.endswith(".dxf"))
        cut = [e for e in ezdxf.readfile(folder / name).modelspace() if e.dxf.layer == "CUT"]
        loops = sorted((loop_of(e, scale) for e in cut), key=Loop.area, reverse=True)
        holes = [loop.polygon().exterior for loop in loops[1:]]
        flats[part["name"]] = (Polygon(loops[0].polygon().exterior, holes), loops[0].length())
    pieces, lengths = [], []
    for place in sheet["placed"]:
        shape, length = flats[place["part"]]
        pieces.append(placed(shape, place))
        lengths.append(length)
    return pieces, lengths


def worst(found, wanted):
    """How far one outline is from the other at most."""
    return found.boundary.hausdorff_distance(wanted.boundary)


def check_sheet(folder, report, sheet, tally):
    name, kerf = sheet["file"], sheet["gap_mm"]
    file = Sheet(folder / name, report["units"])
    tally.check(not file.strange, name, f"holds {file.strange}")
    reported = sheet.get("common_cuts")
    drawn = len(file.common)
    if not reported:
        tally.check(drawn == 0 and COMMON not in file.layers, name, "has common cuts that are not in the report")
        return 0
    pieces, lengths = pieces_of(folder, report, sheet)
    tally.check(drawn == reported["cuts"], name, f"{drawn} common cuts, the report says {reported['cuts']}")
    length = sum(line.length for line in file.common)
    good = abs(length - reported["length_mm"]) <= LENGTH
    tally.check(good, name, f"common cuts are {length:.4f} mm, the report says {reported['length_mm']}")
    good = abs(file.length - sheet["cut_length_mm"]) <= LENGTH
    tally.check(good, name, f"all cuts are {file.length:.4f} mm, the report says {sheet['cut_length_mm']}")
    starts = drawn + len(file.paths) + len(file.loops)
    tally.check(starts == sheet["pierces"], name, f"{starts} cuts, the report says {sheet['pierces']} pierces")
    holes = sum(len(piece.interiors) for piece in pieces)
    alone = sum(lengths) + sum(ring.length for piece in pieces for ring in piece.interiors)
    saved = alone - file.length
    good = abs(saved - reported["saved_mm"]) <= 0.2 + 1e-4 * alone
    tally.check(good, name, f"{saved:.2f} mm are saved, the report says {reported['saved_mm']}")
    saved = len(pieces) + holes - starts
    good = saved == reported["saved_pierces"]
    tally.check(good, name, f"{saved} pierces are saved, the report says {reported['saved_pierces']}")
    check_lines(file, pieces, kerf, name, tally)
    beside = file.ways(kerf, [Polygon(piece.exterior) for piece in pieces])
    check_once(file.common, beside, kerf, name, tally)
    first = {"common": file.common, "paths": beside, "loops": beside[len(file.paths) :]}
    cuts = [(kind, first[kind][i]) for kind, i in file.order]
    late = check_held(file.edge, cuts, kerf, name, tally)
    largest = check_pieces(file, file.common + beside, pieces, kerf, name, tally)
    print(f"{name}: {drawn} common cuts, {len(pieces)} pieces, {largest * 1000:.1f} µm off at most")
    print(f"{name}: {late} outlines are cut in loose metal")
    return drawn


def check_lines(file, pieces, kerf, name, tally):
    """No common cut comes nearer to any piece than half a kerf, and each lies beside two."""
    tree = STRtree(pieces)
    for line in file.common:
        near = [pieces[i] for i in tree.query(line, predicate="dwithin", distance=kerf)]
        least = min((line.distance(piece) for piece in near), default=math.inf)
        words = f"a common cut is {least:.6f} mm from a piece"
        tally.check(least >= kerf / 2 - NEAR - FLAT / 100, name, words)
        beside = sum(line.distance(piece) <= kerf / 2 + OFF for piece in near)
        tally.check(beside >= 2, name, f"a common cut lies beside {beside} pieces")


def check_once(common, beside, kerf, name, tally):
    """The cutter goes no way twice, but for less than a kerf where two cuts meet."""
    tree = STRtree(common)
    for way in beside:
        for i in tree.query(way, predicate="dwithin", distance=kerf / 50):
            twice = way.intersection(common[i].buffer(kerf / 50, cap_style="flat")).length
            # Half a kerf at either end, where a rounded corner leaves the cut gently.
            tally.check(twice <= 1.1 * kerf, name, f"{twice:.3f} mm are cut twice")
    for i, j in zip(*tree.query(common, predicate="dwithin", distance=kerf / 50)):
        if i < j:
            twice = common[i].intersection(common[j].buffer(kerf / 50, cap_style="flat")).length
            tally.check(twice <= kerf / 4, name, f"{twice:.3f} mm of common cuts lie double")


def check_held(edge, cuts, kerf, name, tally):
    """Holes and common cuts begin in metal that hangs on the sheet; slivers between two cuts
    do not count. Gives how many outlines do not end so: a piece whose last bit of outline borders on
    scrap that its neighbours have closed in is loose before that is cut."""
    late = 0
    corner, lumps = Point(edge.exterior.coords[0]), [edge]
    for number, (kind, way) in enumerate(cuts, start=1):
        core, band = way.buffer(kerf / 4), way.buffer(kerf / 2, quad_segs=SEGMENTS)
        near = [lump for lump in lumps if lump.intersects(band)]
        held = [lump.distance(corner) < FLAT for lump in near]
        loose = [lump for lump, is_held in zip(near, held) if not is_held]
        into = [lump for lump in loose if lump.intersection(core).area > kerf * kerf / 10]
        good = not any(lump.area > 4 * kerf * kerf for lump in into)
        late += kind == "paths" and not good
        tally.check(good or kind == "paths", name, f"cut {number} goes into loose metal")
        lumps = [lump for lump in lumps if not any(lump is other for other in near)]
        for lump in near:
            rest = lump.difference(band)
            lumps += [part for part in getattr(rest, "geoms", [rest]) if not part.is_empty]
    return late


def check_pieces(file, ways, pieces, kerf, name, tally):
    """What is cut free is what was wanted, also with a jet a tenth narrower."""
    largest = 0.0
    for width in (kerf, 0.9 * kerf):
        gone = unary_union([way.buffer(width / 2, quad_segs=SEGMENTS) for way in ways])
        metal = file.edge.difference(gone)
        loose = list(getattr(metal, "geoms", [metal]))
        tree = STRtree(loose)
        taken = set()
        for piece in pieces:
            prepare(piece)
            inside = piece.buffer(-OFF)
            found = tree.query(inside, predicate="intersects")
            if not tally.check(len(found) == 1, name, f"a piece lies in {len(found)} lumps of metal"):
                continue
            tally.check(found[0] not in taken, name, "two pieces hang together")
            taken.add(found[0])
            if width == kerf:
                off = worst(loose[found[0]], piece)
                tally.check(off <= OFF, name, f"a piece comes out {off:.4f} mm off")
                largest = max(largest, off)
    return largest


def main():
    folder, report = folder_and_report()
    tally = Tally()
    for sheet in report["sheets"]:
        check_sheet(folder, report, sheet, tally)
    tally.end()


if __name__ == "__main__":
    main()
