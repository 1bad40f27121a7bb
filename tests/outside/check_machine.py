"""Distances of convex pieces and rings by the solid kernel, and angles between points by numpy.

    .venv/bin/python tests/outside/check_machine.py PAIRS.json

PAIRS.json has `pairs`, each with two bodies and the distance that the program found, and
`angles`, each with the points and what the program made of them. A body is a box, a cylinder with
flat ends, a capsule or a ring, in space. Prints the worst differences on one line: `over`, by how
much a distance was found too large, and `under`, too small.
"""

import json
import math
import sys

import numpy
from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt


def axes(of):
    x, z = of["x"], of["z"]
    return gp_Ax2(gp_Pnt(*of["at"]), gp_Dir(*z), gp_Dir(*x))


def solid(of):
    kind = of["kind"]
    if kind == "box":
        return BRepPrimAPI_MakeBox(axes(of), *of["size"]).Shape()
    if kind == "ring":
        return BRepPrimAPI_MakeTorus(axes(of), of["ring"], of["radius"]).Shape()
    bar = BRepPrimAPI_MakeCylinder(axes(of), of["radius"], of["long"]).Shape()
    if kind == "cylinder":
        return bar
    ends = [of["at"], [of["at"][i] + of["z"][i] * of["long"] for i in range(3)]]
    for end in ends:
        bar = BRepAlgoAPI_Fuse(bar, BRepPrimAPI_MakeSphere(gp_Pnt(*end), of["radius"]).Shape()).Shape()
    return bar


def angle(points):
    a, b, c = (numpy.array(p) for p in points)
    u, v = a - b, c - b
    cosine = numpy.dot(u, v) / numpy.linalg.norm(u) / numpy.linalg.norm(v)
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))


def twist(points):
    a, b, c, d = (numpy.array(p) for p in points)
    axis = (c - b) / numpy.linalg.norm(c - b)
    u = (a - b) - axis * numpy.dot(a - b, axis)
    v = (d - c) - axis * numpy.dot(d - c, axis)
    return math.degrees(math.atan2(numpy.dot(axis, numpy.cross(u, v)), numpy.dot(u, v)))


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        given = json.load(file)
    over = under = 0.0
    apart = 0
    for pair in given["pairs"]:
        found = BRepExtrema_DistShapeShape(*(solid(of) for of in pair["bodies"]))
        if not found.IsDone():
            print("the kernel has no distance for", json.dumps(pair))
            sys.exit(1)
        true = found.Value()
        apart += true > 0.1
        over = max(over, pair["found"] - true)
        under = max(under, true - pair["found"])
    off = 0.0
    for of in given["angles"]:
        points = of["points"]
        for name, true in (
            ("distance", float(numpy.linalg.norm(numpy.subtract(points[0], points[1])))),
            ("angle", angle(points[:3])),
            ("twist", twist(points)),
        ):
            off = max(off, abs(of[name] - true))
    print(json.dumps({"pairs": len(given["pairs"]), "apart": apart, "over": over, "under": under, "off": off}))


main()
