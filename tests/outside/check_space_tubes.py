"""Compares tubes in space with the plates they were cut out of, by a model of its own.

    python check_space_tubes.py PLATES.json

Each plate has the points its tube goes by in the drawing of the plate (z above the top side), the
radius of its bends, the radius that is cut (clearance included), the `thickness`, the drawn `corners`,
and its outlines as polygons. The centre line is laid out anew. Along what was cut
the straight edge through the sheet comes within 0.05 mm of the tube and does not enter it; of places
all over the plate none that is metal lies in the tube.
"""

import json
import sys

import numpy as np
from centre_lines import CentreLine
from shapely.geometry import LinearRing, Point, Polygon

GAP = 0.05  # mm
INSIDE = 2e-4  # mm: chords of the polygons


def main():
    plates = json.load(open(sys.argv[1]))
    worst = {str(lot): {"gap": 0.0, "inside": 0.0} for lot in (0, 1)}
    faults, count = [], 0
    for i, plate in enumerate(plates):
        line = CentreLine(plate["path"], plate["bend"])
        depths = -plate["thickness"] * np.linspace(0, 1, 21)
        metal = Polygon(plate["outlines"][0], plate["outlines"][1:])
        drawn = LinearRing(plate["corners"])
        lot = worst[str(plate["lot"])]
        cut = [p for o in plate["outlines"] for p in o if drawn.distance(Point(p)) > 0.05]
        cut = cut[:: max(1, len(cut) // 150)]
        if len(cut) < 10:
            faults.append(f"plate {i}: nothing was cut")
            continue
        least, most = line.beside(cut, depths, plate["radius"])
        lot["gap"], lot["inside"] = max(lot["gap"], most), max(lot["inside"], -least)
        if most > GAP or least < -INSIDE:
            faults.append(f"plate {i}: from {least} to {most} mm beside the tube")
        for deep in line.inside(metal, 60, depths[[0, 10, 20]], plate["radius"]):
            if deep > INSIDE:
                faults.append(f"plate {i}: metal {deep} mm inside the tube")
        count += len(cut)
    said = {"plates": len(plates), "places": count, "worst": worst, "faults": faults[:5]}
    print(json.dumps(said, default=float))
    return 1 if faults or not plates else 0


if __name__ == "__main__":
    sys.exit(main())
