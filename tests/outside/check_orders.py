"""Order packages and lists in the hands of Python: zipfile, csv, ezdxf, hashlib.

    .venv/bin/python tests/outside/check_orders.py OUT_DIR
"""

import csv
import hashlib
import io
import tempfile
import zipfile
from fractions import Fraction
from pathlib import Path

from check_dxf import File
from tally import Tally, folder_and_report

# What some system does not take in a name.
DEVICES = {"con", "prn", "aux", "nul"} | {f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10)}
PLAIN = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.")
LONGEST = 110
SAVED = "saved by common cuts"  # a row of parts.csv that is no part


def rows(text, tally, name):
    """The rows of a list as dictionaries; every row is as long as the head."""
    table = list(csv.reader(io.StringIO(text, newline="")))
    tally.check(len(table) > 1, name, "the list is empty")
    tally.check(all(len(row) == len(table[0]) for row in table), name, "rows differ in length")
    tally.check(text.endswith("\r\n"), name, "its lines do not end in CR LF")
    return [dict(metric(key, cell) for key, cell in zip(table[0], row)) for row in table[1:]]


def metric(key, cell):
    """A cell of a list in inches as one in mm."""
    base, each = (key[: -len("_each")], "_each") if key.endswith("_each") else (key, "")
    for inches, mm, factor in [("_in", "_mm", 25.4), ("_in2", "_mm2", 645.16), ("_lb", "_kg", 0.45359237)]:
        if base.endswith(inches):
            cell = str(float(cell) * factor) if cell else cell
            return base[: -len(inches)] + mm + each, cell
    return key, cell


def safe(name, tally):
    stem = name.split(".")[0].lower()
    good = set(name) <= PLAIN and len(name) <= LONGEST and stem not in DEVICES
    good = good and name[0] not in ".-" and name[-1] not in ".-"
    tally.check(good, name, "is no name on every system")


def check_package(path, units, parts, tally):
    """Gives the parts it holds and whether only holes are drawn."""
    name = path.name
    with zipfile.ZipFile(path) as package:
        tally.check(package.testzip() is None, name, "a file in it is damaged")
        entries = package.infolist()
        dates = {entry.date_time for entry in entries}
        tally.check(dates == {(1980, 1, 1, 0, 0, 0)}, name, f"its files carry dates {dates}")
        files = {entry.filename: package.read(entry) for entry in entries}
    folders = {entry.split("/")[0] for entry in files}
    tally.check(folders == {path.stem}, name, f"unpacks into {folders}")
    inside = {entry.split("/", 1)[1]: data for entry, data in files.items()}
    tally.check(len({n.lower() for n in inside}) == len(inside), name, "two names differ in capitals only")
    for entry in inside:
        safe(entry, tally)
    sums = dict(line.split("  ")[::-1] for line in path.with_suffix(".sha256").read_text().splitlines())
    digest = lambda data: hashlib.sha256(data).hexdigest()
    wanted = {f"{path.stem}/{n}": digest(d) for n, d in inside.items()} | {name: digest(path.read_bytes())}
    tally.check(sums == wanted, name, "the checksums beside it are others")
    words = inside["read-me.txt"].decode("utf-8")
    for needed in ["QUANTITIES", "no spares", "UNITS", "KERF", "No kerf compensation", "LAYERS", "etched", "mirror"]:
        tally.check(needed in words or (needed == "etched" and "Only the holes" in words), name, f"says nothing of {needed}")
    said = "inches" if units == "in" else "millimetres"
    tally.check(f"drawn in {said}" in words, name, "does not say its units")
    holes_only = "Only the holes" in words
    listed = rows(inside["list.csv"].decode("utf-8"), tally, f"{name}/list.csv")
    drawn = {n for n in inside if n.endswith(".dxf")}
    tally.check({row["file"] for row in listed} == drawn, name, "the list names other files")
    drawings = {n[:-4] for n, data in inside.items() if n.endswith(".pdf") and data.startswith(b"%PDF-")}
    tally.check(drawings == {n[:-4] for n in drawn}, name, "a flat has no drawing")
    with tempfile.TemporaryDirectory() as folder:
        for row in listed:
            data = inside[row["file"]]
            tally.check(row["sha256"] == digest(data), row["file"], "has another checksum")
            part = parts[row["part"]]
            tally.check(int(row["pieces"]) == part["pieces"], row["file"], "is wanted another number of times")
            tally.check(row["material"] == part["material"], row["file"], "is of another metal")
            thick = row["thickness"].replace(" ", "").replace("/", "-")
            number, unit = row["thickness"].split()
            mm = float(sum(Fraction(n) for n in number.split("-"))) * (25.4 if unit == "in" else 1)
            # A sheet is called by the unit it is made in: a whole fraction of an inch in any job.
            is_own = unit == units or (unit == "in") == ("/" in number)
            tally.check(is_own, row["file"], f"gives its thickness in {unit}")
            tally.check(abs(mm - float(row["thickness_mm"])) < 0.002, row["file"], "is of two thicknesses")
            named = f"{row['part']}_{row['pieces']}x_{row['material']}_{thick}.dxf"
            tally.check(row["file"] == named, row["file"], f"is not called {named}")
            if holes_only and part["holes"] == 0:
                continue
            place = Path(folder) / row["file"]
            place.write_bytes(data)
            file = File(place, row["file"], units, tally)
            areas = [loop.area() for loop in file.loops]
            if holes_only:
                tally.check(len(areas) == part["holes"], row["file"], f"holds {len(areas)} holes")
            else:
                whole = 2 * max(areas) - sum(areas)
                tally.same(whole, part["area_mm2"], row["file"], "its area")
                tally.same(whole, float(row["area_mm2"]), row["file"], "its area")
                tally.check(len(areas) == 1 + part["holes"], row["file"], f"holds {len(areas)} contours")
            lines = [e for e in file.entities if e.dxf.layer == "BEND"]
            shown = "BEND  bend lines" in words and not holes_only
            tally.check(len(lines) == (len(part["bends"]) if shown else 0), row["file"], f"{len(lines)} bend lines")
            notes = [e for e in file.entities if e.dxf.layer == "NOTE"]
            tally.check(not notes, row["file"], "holds words")
    return {row["part"] for row in listed}


def check_lists(folder, report, tally):
    listed = rows((folder / "parts.csv").read_bytes().decode("utf-8"), tally, "parts.csv")
    total, saved = listed[-1], [row for row in listed if row["part"] == SAVED]
    parts = [row for row in listed[:-1] if row["part"] != SAVED]
    reported = report["totals"].get("saved_by_common_cuts_mm")
    tally.check(len(saved) == (reported is not None), "parts.csv", f"{len(saved)} rows of common cuts")
    if saved:
        tally.same(-float(saved[0]["cut_length_mm_each"]), reported, "parts.csv", "what common cuts save")
    tally.check([p["part"] for p in parts] == [p["name"] for p in report["parts"]], "parts.csv", "lists other parts")
    for row, part in zip(parts, report["parts"]):
        name = f"parts.csv {row['part']}"
        for column, key in [("area_mm2_each", "area_mm2"), ("mass_kg_each", "mass_kg"), ("cut_length_mm_each", "cut_length_mm"), ("pierces_each", "pierces"), ("pieces", "pieces")]:
            tally.same(float(row[column]), part[key], name, column)
        if row["price_each"] == "":
            lacking = row["cutting_minutes_each"] == "" or row["metal_each"] == ""
            tally.check(lacking and row["price_all"] == "", name, "has no price though all rates are there")
            continue
        each, every = float(row["price_each"]), float(row["price_all"])
        tally.check(abs(each * part["pieces"] - every) <= 0.005 * part["pieces"] + 0.006, name, "prices do not add up")
    for column in ["mass_kg_each", "cut_length_mm_each", "area_mm2_each"]:
        wanted = sum(float(p[column]) * int(p["pieces"]) for p in parts)
        wanted += sum(float(row[column] or 0) for row in saved)
        tally.same(float(total[column]), wanted, "parts.csv", f"the sum of {column}")
    for column in ["cutting_minutes_each", "labour_minutes_each"]:
        cells = [p[column] for p in parts]
        if all(cells):
            wanted = sum(float(p[column]) * int(p["pieces"]) for p in parts)
            tally.check(abs(float(total[column]) - wanted) < 0.0006 * sum(int(p["pieces"]) for p in parts), "parts.csv", f"the sum of {column}")
        else:
            tally.check(total[column] == "", "parts.csv", f"there is a sum of {column} though one is missing")
    if all(p["price_all"] for p in parts):
        wanted = sum(float(p["price_all"]) for p in parts + saved)
        tally.check(abs(float(total["price_all"]) - wanted) < 0.01 * len(parts), "parts.csv", "the sum of prices")
    else:
        tally.check(total["price_all"] == "", "parts.csv", "there is a sum of prices though one is missing")
    hardware = rows((folder / "hardware.csv").read_bytes().decode("utf-8"), tally, "hardware.csv")
    for row in hardware:
        if row["kind"] == "bolt" and row["length"]:
            tally.check(int(row["washers"]) == 2 * int(row["quantity"]), f"hardware.csv {row}", "washers")
            tally.check(int(row["nuts"]) == int(row["quantity"]), f"hardware.csv {row}", "nuts")
            number, unit = row["length"].split()
            long = sum(Fraction(n) for n in number.split("-")) * Fraction("25.4" if unit == "in" else "1")
            least, most = float(row["min_grip_mm"]), float(row["max_grip_mm"])
            tally.check(least <= most < long, f"hardware.csv {row}", "the bolt is shorter than its grip")
    bought = [(row["kind"], row["thread"], row["length"], row["note"]) for row in hardware]
    tally.check(len(set(bought)) == len(bought), "hardware.csv", "something is bought on two rows")
    check_tubes(folder, tally)


def check_tubes(folder, tally):
    """Each section ends with the sum of its lengths; nothing where a job has no tubes."""
    path = folder / "tubes.csv"
    if not path.exists():
        return
    listed = rows(path.read_bytes().decode("utf-8"), tally, "tubes.csv")
    sums = {r["section"]: r for r in listed if r["tube"] == "total of this section"}
    tubes = [r for r in listed if r["tube"] != "total of this section"]
    tally.check(set(sums) == {r["section"] for r in tubes}, "tubes.csv", "a section has no sum")
    for section, total in sums.items():
        wanted = sum(float(r["cut_length_mm"]) * int(r["pieces"]) for r in tubes if r["section"] == section)
        tally.same(float(total["cut_length_mm"]), wanted, "tubes.csv", f"the sum of {section}")


def main():
    folder, report = folder_and_report()
    parts = {part["name"]: part for part in report["parts"]}
    tally = Tally()
    packages = sorted((folder / "order").glob("*.zip"))
    sent = [check_package(path, report["units"], parts, tally) for path in packages]
    tally.check(sum(map(len, sent)) == len(parts) and set().union(*sent) == set(parts), "order", "a part is in no package or in two")
    check_lists(folder, report, tally)
    tally.end()


if __name__ == "__main__":
    main()
