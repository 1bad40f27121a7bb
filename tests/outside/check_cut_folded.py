"""Holds tubes against the solids of parts they are cut out of, by the kernel's own boolean.

    python check_cut_folded.py FOLDER

FOLDER/parts.json lists for each part its STEP file, its lot (0 or 1), its tubes (a point of the
axis, its direction, the radius with its play) and places along what was cut: the two ends of the
straight edge through the sheet. No metal may lie in a tube; at each place the sheet comes within
0.05 mm of the nearest tube.
"""

import json
import sys
from pathlib import Path

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPControl import STEPControl_Reader
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

LONG = 2000.0
GAP = 0.05  # mm
INSIDE = 1e-6  # mm by which a place may lie in a tube: rounding
METAL = 1e-6  # mm³ of metal in a tube: rounding
ON = 1e-3  # mm from a place to the solid


def volume(shape):
    sums = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, sums)
    return sums.Mass()


def nearest(top, bottom, tube):
    """Least distance of a straight edge from an axis, less the radius."""
    at, along = np.array(tube["at"]), np.array(tube["along"])
    a, b = np.array(top) - at, np.array(bottom) - at
    a, b = a - along * (a @ along), b - along * (b @ along)
    way = b - a
    share = 0.0 if way @ way < 1e-18 else min(1.0, max(0.0, -(a @ way) / (way @ way)))
    return float(np.linalg.norm(a + way * share)) - tube["radius"]


def main():
    folder = Path(sys.argv[1])
    parts = json.loads((folder / "parts.json").read_text())
    worst = {str(lot): {"metal": 0.0, "gap": 0.0, "inside": 0.0} for lot in (0, 1)}
    faults, places = [], 0
    for i, part in enumerate(parts):
        reader = STEPControl_Reader()
        assert reader.ReadFile(str(folder / part["file"])) == IFSelect_RetDone
        reader.TransferRoots()
        solid = reader.OneShape()
        lot = worst[str(part["lot"])]
        for tube in part["tubes"]:
            at = np.array(tube["at"]) - np.array(tube["along"]) * LONG / 2
            axis = gp_Ax2(gp_Pnt(*map(float, at)), gp_Dir(*map(float, tube["along"])))
            cylinder = BRepPrimAPI_MakeCylinder(axis, tube["radius"], LONG).Shape()
            common = BRepAlgoAPI_Common(solid, cylinder)
            assert common.IsDone()
            metal = abs(volume(common.Shape()))
            lot["metal"] = max(lot["metal"], metal)
            if metal > METAL:
                faults.append(f"part {i}: {metal} mm³ in a tube")
        for k, (top, bottom) in enumerate(part["places"]):
            gap = min((nearest(top, bottom, tube) for tube in part["tubes"]), key=abs)
            lot["gap"], lot["inside"] = max(lot["gap"], gap), max(lot["inside"], -gap)
            if not -INSIDE <= gap <= GAP:
                faults.append(f"part {i}: gap {gap} at {top}")
            places += 1
            if k % 20 == 0:
                vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*map(float, top))).Vertex()
                off = BRepExtrema_DistShapeShape(solid, vertex).Value()
                if off > ON:
                    faults.append(f"part {i}: a place is {off} off the solid")
    print(json.dumps({"parts": len(parts), "places": places, "worst": worst, "faults": faults[:5]}))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
