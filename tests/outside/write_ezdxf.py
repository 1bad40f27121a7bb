"""Writes outlines as DXF with ezdxf, to compare speeds.

    .venv/bin/python tests/outside/write_ezdxf.py OUTLINES.json

OUTLINES.json is a list of parts, each a list of outlines, each either {"circle": [x, y, r]}
or {"points": [[x, y, bulge], ...]}, all in mm. Writes each part as one R2000 file in memory
and prints how many there were, the seconds they took, and their bytes.
"""

import io
import json
import sys
import time
from pathlib import Path

import ezdxf


def write(part):
    document = ezdxf.new("R2000", units=4)
    for layer in ("CUT", "MARK", "BEND", "NOTE"):
        document.layers.add(layer)
    space = document.modelspace()
    for outline in part:
        if "circle" in outline:
            x, y, radius = outline["circle"]
            space.add_circle((x, y), radius, dxfattribs={"layer": "CUT"})
        else:
            attributes = {"layer": "CUT"}
            space.add_lwpolyline(outline["points"], "xyb", close=True, dxfattribs=attributes)
    stream = io.StringIO()
    document.write(stream)
    return stream.tell()


def main():
    if len(sys.argv) != 2:
        sys.exit("usage: write_ezdxf.py OUTLINES.json")
    parts = json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))
    start = time.perf_counter()
    written = sum(write(part) for part in parts)
    print(len(parts), time.perf_counter() - start, written)


if __name__ == "__main__":
    main()
