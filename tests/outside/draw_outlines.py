"""Draws outline files of every kind of entity and version with ezdxf, and measures them.

    .venv/bin/python tests/outside/draw_outlines.py FOLDER SEED COUNT

Writes COUNT files of plates by lot, and one of each kind that is to be refused. WANTED.json
in the same folder has for each the area of the plate, mm², and its openings, by ezdxf's own
flattening of what ezdxf itself expands and shows; or the words of the refusal.
"""

import json
import math
import random
import sys
from pathlib import Path

import ezdxf
from ezdxf import disassemble, path
from ezdxf.math import Matrix44
from shapely import set_precision
from shapely.geometry import LineString
from shapely.ops import polygonize, unary_union

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
UNITS = {1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}
QUARTER = math.tan(math.pi / 8)


def rounded(width, height, radius):
    """A plate about the origin: corners with bulges."""
    x, y, r = width / 2, height / 2, radius
    return [
        (-x + r, -y, 0), (x - r, -y, QUARTER), (x, -y + r, 0), (x, y - r, QUARTER),
        (x - r, y, 0), (-x + r, y, QUARTER), (-x, y - r, 0), (-x, -y + r, QUARTER),
    ]


def lens(width, height):
    """Two arcs that meet in points, one of them hollow."""
    return [(-width / 2, 0, height / width), (width / 2, 0, -height / width * 0.4)]


def slot(length, width):
    x, y = (length - width) / 2, width / 2
    return [(-x, -y, 0), (x, -y, 1), (x, y, 0), (-x, y, 1)]


def moved(loop, at, scale):
    return [((x + at[0]) * scale, (y + at[1]) * scale, bulge) for x, y, bulge in loop]


def draw_loop(lot, space, loop, attributes, old):
    """A loop in one of the ways it can be drawn; mirrored twice it is as it was."""
    way = lot.choice(["light", "loose", "heavy"])
    if way == "light" and not old:
        return [space.add_lwpolyline(loop, "xyb", close=True, dxfattribs=attributes)]
    if way == "loose":
        made = []
        for (x, y, bulge), (u, v, _) in zip(loop, loop[1:] + loop[:1]):
            if bulge == 0:
                ends = [(x, y), (u, v)]
                lot.shuffle(ends)
                made.append(space.add_line(*ends, dxfattribs=attributes))
                continue
            centre, start, end, radius = ezdxf.math.bulge_to_arc((x, y), (u, v), bulge)
            made.append(space.add_arc(centre, radius, math.degrees(start), math.degrees(end), dxfattribs=attributes))
        lot.shuffle(made)
        return made
    return [space.add_polyline2d(loop, "xyb", close=True, dxfattribs=attributes)]


def draw_circle(lot, space, at, radius, attributes):
    if lot.random() < 0.3:
        cut = lot.uniform(0, 360)
        return [
            space.add_arc(at, radius, cut, cut + 140, dxfattribs=attributes),
            space.add_arc(at, radius, cut + 140, cut, dxfattribs=attributes),
        ]
    return [space.add_circle(at, radius, dxfattribs=attributes)]


def openings(lot, room):
    """Openings in a grid of cells, each as a function that draws it about the origin."""
    made = []
    for column in range(lot.randint(0, 4)):
        at = (-room[0] + (column + 0.5) * room[0] / 2, lot.uniform(-0.2, 0.2) * room[1])
        made.append((at, lot.choice(["circle", "slot", "square", "lens"])))
    return made


def decoys(lot, document, space, old, size):
    """What nobody would see on a print, and words."""
    layers = document.layers
    hole = lot.choice(["frozen", "off", "aid", "Defpoints", "invisible", "none"])
    if old and hole == "invisible":
        # The oldest version has no such mark.
        hole = "none"
    attributes = {"layer": hole if hole != "invisible" else "0"}
    if hole in ("frozen", "off"):
        layer = layers.get(hole) if layers.has_entry(hole) else layers.add(hole)
        layer.freeze() if hole == "frozen" else layer.off()
    if hole == "aid":
        # The mark came with the second of these versions.
        if old:
            return None
        layers.add(hole, plot=False)
    if hole == "invisible":
        attributes["invisible"] = 1
    if hole != "none":
        space.add_circle((0, 0.3 * size), 0.05 * size, dxfattribs=attributes)
    space.add_text("a plate", dxfattribs={"height": size / 20, "layer": "0"})
    space.add_point((0, 0))
    if not old and lot.random() < 0.5:
        frame = space.add_lwpolyline([(0, 0), (size, 0), (size, size), (0, size)], close=True)
        text = space.add_mtext("words in a frame")
        document.appids.add("ACAD") if "ACAD" not in document.appids else None
        handle = frame.dxf.handle
        text.set_xdata("ACAD", [
            (1000, "ACAD_MTEXT_TEXT_BORDERS_BEGIN"), (1070, 80), (1005, handle),
            (1000, "ACAD_MTEXT_TEXT_BORDERS_END"),
        ])
        return handle
    return None


def plate(lot, folder, name):
    version = lot.choice(VERSIONS)
    old = version == "R12"
    code = lot.choice(list(UNITS))
    document = ezdxf.new(version, units=code)
    document.header["$INSUNITS"] = code
    scale = 1 / (1.0 if old else UNITS[code])
    space = document.modelspace()
    width, height = lot.uniform(120, 400), lot.uniform(60, 200)
    attributes = {"layer": lot.choice(["0", "CUT", "Kontur"])}
    target, insert = space, None
    if lot.random() < 0.6:
        # Everything in a block: mirrored, scaled, turned, in another block, or as it is.
        target = document.blocks.new(f"B{name}", base_point=(3 * scale, -2 * scale))
        insert = {"rotation": lot.uniform(0, 360), "xscale": 1.5, "yscale": 1.5, "layer": "0"}
        if lot.random() < 0.5:
            insert["xscale"] = -insert["xscale"]
        if lot.random() < 0.5:
            insert["yscale"] = -insert["yscale"]
    loop = rounded(width, height, lot.uniform(2, 20))
    made = draw_loop(lot, target, moved(loop, (0, 0), scale), attributes, old)
    for at, kind in openings(lot, (0.45 * width, 0.45 * height)):
        small = 0.08 * min(width, height)
        where = (at[0] * scale, at[1] * scale)
        if kind == "circle" and lot.random() < 0.4:
            block = document.blocks.new(f"H{name}{len(document.blocks)}")
            draw_circle(lot, block, (0, 0), small * scale, attributes)
            target.add_blockref(block.name, where, dxfattribs={"rotation": lot.uniform(0, 360)})
        elif kind == "circle":
            made += draw_circle(lot, target, where, small * scale, attributes)
        else:
            shape = {"slot": slot(3 * small, small), "square": rounded(2 * small, small, small / 5), "lens": lens(2 * small, small)}[kind]
            made += draw_loop(lot, target, moved(shape, at, scale), attributes, old)
    if lot.random() < 0.3 and insert is None and not old:
        # A plane that faces down shows it in the mirror; the drawing is turned over whole.
        for entity in list(space):
            entity.transform(Matrix44.scale(-1, 1, -1))
    if insert is not None:
        at = (lot.uniform(-90, 90) * scale, lot.uniform(-90, 90) * scale)
        if lot.random() < 0.4:
            outer = document.blocks.new(f"O{name}")
            outer.add_blockref(target.name, at, dxfattribs=insert)
            space.add_blockref(outer.name, (5 * scale, 7 * scale), dxfattribs={"rotation": 30})
        else:
            space.add_blockref(target.name, at, dxfattribs=insert)
    frame = decoys(lot, document, space, old, 40 * scale)
    document.saveas(folder / f"{name}.dxf")
    area, holes = measured(document, frame)
    mm = 1.0 if old else UNITS[code]
    return {"area": area * mm * mm, "holes": holes, "units": "mm" if old else None}


def is_seen(document, entity):
    name = entity.dxf.layer
    layer = document.layers.get(name) if document.layers.has_entry(name) else None
    hidden = layer is not None and (layer.is_off() or layer.is_frozen() or not layer.dxf.get("plot", 1))
    return not hidden and name.lower() != "defpoints" and not entity.dxf.get("invisible", 0)


def measured(document, frame):
    """Area of the largest face and how many openings it has, in units of the file."""
    kinds = {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE"}
    shown = [
        entity
        for entity in disassemble.recursive_decompose(document.modelspace())
        if entity.dxftype() in kinds and is_seen(document, entity) and not (frame and entity.dxf.handle == frame)
    ]
    # A file with a layer CUT is read from there alone.
    if any(entity.dxf.layer == "CUT" for entity in shown):
        shown = [entity for entity in shown if entity.dxf.layer == "CUT"]
    size = max(
        max(abs(p.x), abs(p.y)) for entity in shown for p in path.make_path(entity).control_vertices()
    )
    lines = [
        set_precision(LineString([(p.x, p.y) for p in path.make_path(entity).flattening(1e-6 * size)]), 1e-8 * size)
        for entity in shown
    ]
    faces = list(polygonize(unary_union(lines)))
    largest = max(faces, key=lambda face: face.bounds[2] - face.bounds[0])
    return largest.area, len(largest.interiors)


def refused(folder):
    """Files that must be refused, and what must be said of each."""
    wanted = {}

    def one(name, said, draw, version="R2010"):
        document = ezdxf.new(version, units=4)
        space = document.modelspace()
        space.add_lwpolyline([(0, 0), (90, 0), (90, 60), (0, 60)], close=True)
        draw(document, space)
        document.saveas(folder / f"{name}.dxf")
        wanted[name] = {"refused": said}

    def stretched(document, space):
        document.blocks.new("EGG").add_circle((0, 0), 4)
        space.add_blockref("EGG", (40, 30), dxfattribs={"xscale": 2.0, "extrusion": (0, 1, 0)})

    def elsewhere(document, space):
        document.add_xref_def("other.dxf", "OTHER")
        space.add_blockref("OTHER", (40, 30))

    def fitted(_, space):
        space.add_polyline2d([(10, 10), (20, 20), (30, 10)], dxfattribs={"flags": 4})

    def closed(_, space):
        spline = space.add_spline([(10, 10), (20, 30), (40, 20)])
        spline.closed = True

    one("spline", "closed SPLINE by points alone", closed)
    one("ellipse", "ELLIPSE out of the plane", lambda _, s: s.add_ellipse((40, 30), (10, 0, 3), 0.5))
    one("hatch", "HATCH without a boundary", lambda _, s: s.add_hatch())
    one("solid", "entity out of the plane", lambda _, s: s.add_solid([(1, 1), (9, 1), (1, 9), (9, 9)], dxfattribs={"extrusion": (0, 1, 0)}))
    one("face", "3DFACE", lambda _, s: s.add_3dface([(1, 1), (9, 1), (9, 9), (1, 9)]))
    one("space", "3D POLYLINE", lambda _, s: s.add_polyline3d([(1, 1, 0), (9, 1, 4)]))
    one("slope", "LINE out of the plane", lambda _, s: s.add_line((1, 1, 0), (9, 1, 4)))
    one("tilted", "entity out of the plane", lambda _, s: s.add_circle((9, 9), 2, dxfattribs={"extrusion": (1, 0, 0)}))
    one("dashes", "CIRCLE in line type CENTER", lambda _, s: s.add_circle((40, 30), 5, dxfattribs={"linetype": "CENTER"}))
    one("ray", "RAY", lambda _, s: s.add_ray((0, 0), (1, 0)))
    one("stretched", "`EGG` out of the plane", stretched)
    one("elsewhere", "`OTHER` from another file", elsewhere)
    one("fitted", "fitted curve", fitted)
    one("far", "further than 1000 m", lambda _, s: s.add_circle((2e6, 0), 5))
    return wanted


def main(folder, seed, count):
    lot = random.Random(seed)
    wanted = {f"plate-{i}": plate(lot, folder, f"plate-{i}") for i in range(count)}
    wanted |= refused(folder)
    (folder / "WANTED.json").write_text(json.dumps(wanted), encoding="utf-8")
    print(f"{len(wanted)} passed, 0 failed")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
