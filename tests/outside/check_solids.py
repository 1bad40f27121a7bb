"""Solids read by a geometry kernel: valid, closed, of the volume and the sides they should have.

Reads FOLDER/solids.json, or report.json of a made job: each row names a STEP file, its
volume and how many planes, cylinders, cones and tori it has.
"""

import json
import sys
from pathlib import Path

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Cone, GeomAbs_Cylinder, GeomAbs_Plane, GeomAbs_Torus
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_FACE, TopAbs_SHELL, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

passed, failed = 0, []


def fact(true, words):
    global passed
    if true:
        passed += 1
    else:
        failed.append(words)


def pieces(shape, kind):
    found, explorer = [], TopExp_Explorer(shape, kind)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def check(folder, row):
    name, path = row["name"], folder / row["file"]
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_RetDone or reader.TransferRoots() != 1:
        fact(False, f"{name}: {path.name} cannot be read")
        return
    shape = reader.OneShape()
    solids, shells = pieces(shape, TopAbs_SOLID), pieces(shape, TopAbs_SHELL)
    whole = len(solids) == 1 and len(shells) == 1 and shells[0].Closed()
    fact(whole and BRepCheck_Analyzer(shape).IsValid(), f"{name}: it is no valid solid")
    sums = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, sums, 1e-9, True)
    volume, wanted = sums.Mass(), row["volume_mm3"]
    fact(abs(volume - wanted) <= 1e-6 * wanted, f"{name}: volume is {volume}, not {wanted}")
    kinds = []
    for face in pieces(shape, TopAbs_FACE):
        surface = TopoDS.Face_s(face) if hasattr(TopoDS, "Face_s") else TopoDS.Face(face)
        kinds.append(BRepAdaptor_Surface(surface).GetType())
    planes, cylinders = kinds.count(GeomAbs_Plane), kinds.count(GeomAbs_Cylinder)
    fact(planes == row["planes"], f"{name}: {planes} planes, not {row['planes']}")
    fact(cylinders == row["cylinders"], f"{name}: {cylinders} cylinders, not {row['cylinders']}")
    cones = kinds.count(GeomAbs_Cone)
    fact(cones == row["cones"], f"{name}: {cones} cones, not {row['cones']}")
    tori = kinds.count(GeomAbs_Torus)
    fact(tori == row["tori"], f"{name}: {tori} tori, not {row['tori']}")
    others = len(kinds) - planes - cylinders - cones - tori
    fact((others > 0) == row["approximate"], f"{name}: {others} sides are of no plain kind")


def rows(folder):
    plain = folder / "solids.json"
    if plain.exists():
        return json.loads(plain.read_text())
    parts = json.loads((folder / "report.json").read_text())["parts"]
    return [{"name": part["name"], **part["solid"]} for part in parts if "solid" in part]


def main():
    folder = Path(sys.argv[1])
    for row in rows(folder):
        check(folder, row)
    for words in failed:
        print(words)
    print(f"{passed} passed, {len(failed)} failed")
    sys.exit(1 if failed or not passed else 0)


main()
