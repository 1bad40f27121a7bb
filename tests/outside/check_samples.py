"""Measures the sample drawings that packages ship, DXF by ezdxf and SVG by svgelements.

    .venv/bin/python tests/outside/check_samples.py SAMPLES FILES.json

FILES.json has a list of files; in its place is written what the largest area of each comes to:
`area`, `holes`, `length` of all its lines, `bounds` (left, bottom, right, top), how far ends were moved
to meet, `moved`, all in units of the drawing, of an SVG up to a scale and a shift; and `mm`, one
unit of it, where a DXF file says so. Where no area reaches the bounds of all lines, it is null.
"""

import json
import sys
from pathlib import Path

import svgelements
from ezdxf import disassemble, path, recover
from shapely import set_precision
from shapely.geometry import LineString
from shapely.ops import polygonize_full, unary_union

# Codes of units in the header, and what one is in mm.
MM = {1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}
IDLE = {"TEXT", "MTEXT", "ATTDEF", "DIMENSION", "POINT"}


def dxf(file):
    """The lines of a DXF file."""
    document, _ = recover.readfile(file)
    lines = []
    for entity in disassemble.recursive_decompose(document.modelspace()):
        if entity.dxftype() in IDLE:
            continue
        whole = path.make_path(entity)
        if len(whole) == 0:
            continue
        size = max(abs(value) for p in whole.control_vertices() for value in (p.x, p.y))
        lines.append([(p.x, p.y) for p in whole.flattening(1e-6 * max(size, 1.0))])
    return lines, MM.get(document.header.get("$INSUNITS", 0))


def svg(file):
    """The lines of an SVG file, y up."""
    lines = []
    for shape in svgelements.SVG.parse(file, reify=True).select(lambda e: isinstance(e, svgelements.Shape)):
        whole = abs(svgelements.Path(shape))
        for part in whole.as_subpaths():
            points = []
            for segment in svgelements.Path(part):
                if isinstance(segment, svgelements.Move):
                    continue
                steps = 1 if isinstance(segment, (svgelements.Line, svgelements.Close)) else 500
                ends = [segment.point(i / steps) for i in range(steps + 1)]
                points += [(p.x, -p.y) for p in ends if p is not None]
            if len(points) > 1:
                lines.append(points)
    return lines, None


def measured(lines, mm):
    """What the largest area comes to, with ends moved as little as it takes."""
    rows = [LineString(line) for line in lines if len(set(line)) > 1]
    whole = unary_union(rows)
    left, bottom, right, top = whole.bounds
    size = max(right - left, top - bottom)
    for moved in (1e-9 * size, 1e-6 * size, 0.003, 0.01):
        parts = unary_union([set_precision(row, moved) for row in rows])
        faces, cuts, dangles, odd = polygonize_full(parts)
        largest = max(faces.geoms, key=lambda face: face.envelope.area, default=None)
        # A splinter at a joint is loose as well.
        if largest is None or sum(loose.length for loose in (cuts, dangles, odd)) > 1e-4 * size:
            continue
        if all(abs(a - b) <= 2 * moved + 1e-5 * size for a, b in zip(largest.bounds, whole.bounds)):
            return {
                "area": largest.area,
                "holes": len(largest.interiors),
                "length": whole.length,
                "bounds": list(largest.bounds),
                "moved": moved,
                "mm": mm,
            }
    return None


def main(samples, files):
    found = {}
    for name in json.loads(files.read_text(encoding="utf-8")):
        read = dxf if name.lower().endswith(".dxf") else svg
        found[name] = measured(*read(str(samples / name)))
    files.write_text(json.dumps(found), encoding="utf-8")
    print(f"{len(found)} passed, 0 failed")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
