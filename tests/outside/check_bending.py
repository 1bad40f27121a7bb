"""Random bent parts through job files and the program, against a model of its own.

    .venv/bin/python tests/outside/check_bending.py PROGRAM [--every DEGREES] [--refused] SHOP PARTS ...

PARTS are numbers, as in 0-319 or 3,18,36; more shops with parts of theirs may follow.

Of each order that is said to work, every step is followed degree by degree (or in such
steps as are asked for) to the angle on the brake: nothing may collide, the part must come
between the tools and off them, and what clears by less than the shop's margin, or by less
than the report says, must be told. Each step is looked at once more with the tools below
the part 2 mm higher, which must be seen. With --refused the model looks for an order of its
own where the program finds none.

Prints one line for each fact that fails and one line of totals; exits 1 when a fact failed
or when there was nothing to check.
"""

import argparse
import collections
import json
import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import bent
import brakes
import own_order
import random_bends
import steps
from brakes import Tool
from steps import Step

ENOUGH = 5.0  # mm: room beyond is not looked at
PRINTED = 0.15  # mm by which two models of a distance may differ
PLANTED = 2.0  # mm by which the tools below the part are raised, to see that it is seen
ORDER = {"bend-sequence", "brake-length", "bend-force", "min-flange", "brake-radius"}


class Tally:
    def __init__(self):
        self.passed, self.failed, self.counts = 0, [], collections.Counter()

    def fact(self, true, words):
        if true:
            self.passed += 1
        else:
            self.failed.append(words)


def made(program, part, shop, folder):
    """Runs the program on a part: its report, or the codes it was stopped for."""
    (folder / "r.toml").write_text(part.recipe())
    (folder / "j.toml").write_text(random_bends.job(part, shop))
    out = folder / "out"
    run = subprocess.run(
        [program, "make", str(folder / "j.toml"), "--out", str(out), "--effort", "0", "--no-drawings"],
        capture_output=True, text=True, timeout=600, check=False,
    )
    stops = set(re.findall(r"^stop\[([a-z-]+)\]", run.stderr + run.stdout, re.M))
    if run.returncode != 0:
        return None, stops
    return json.loads((out / "report.json").read_text()), set()


def tools_of(step, row, shop):
    """The tools of a step, as its row in the report names them."""
    how = row["made"]
    brake = next(b for b in shop if how["tool"].split(",")[0] == b.name)
    spans = {}
    for sections in how.get("sections", []):
        places = [float((p - step.bend.start) @ step.bend.along) for p in map(bent.np.array, sections["line_mm"])]
        spans[sections["tool"]] = sorted(places)
    punch = re.search(r"punch `([^`]+)`", how["tool"])
    return brake, brakes.stand(step, brake, how.get("v_mm"), punch and punch[1], spans), spans


def check_step(name, step, row, shop, margin, told, tally, every):
    how = row["made"]
    brake, (above, below), spans = tools_of(step, row, shop)
    words = f"{name}, bend {row['name']} on {how['tool']}, clamp {how['clamp']}"
    v = how.get("v_mm")
    seen = steps.look(step, above + below, how["angle_under_load_deg"], v, ENOUGH, every)
    tally.fact(seen.hit is None, f"{words}: collides: {seen.hit}")
    planted = [Tool(t.name, t.shape, t.seat, t.touches, t.lift + PLANTED, t.span) for t in below]
    blind = steps.look(step, planted, 0.0, v, ENOUGH).hit is None
    tally.fact(not blind, f"{words}: tools {PLANTED} mm inside the sheet are not seen")
    if seen.hit is None:
        least, said = min(seen.least, ENOUGH), how["clearance_mm"]
        tally.fact(said <= least + PRINTED, f"{words}: {said:.2f} mm clear are said, there are {least:.2f}: {seen.where}")
        warned = row["name"] in told
        tally.fact(least > margin - 1e-6 or warned or said >= margin and least > margin - PRINTED,
                   f"{words}: only {least:.2f} mm clear, and nobody says so: {seen.where}")
        tally.counts["under the margin" if warned else "clear"] += 1
    leaf = [t for t in below if t.name != "leaf"]
    for degrees, when in ((0.0, "brought to"), (row["angle_deg"], "taken off")):
        for tools in (above, leaf):
            good = steps.escapes(step, tools, math.radians(degrees), v)
            tally.fact(good, f"{words}: cannot be {when} the {tools[-1].name}")
    check_sections(words, step, brake, how, spans, tally)
    up = (how["top"] == "top side") == (row["direction"] == "up")
    tally.fact(up, f"{words}: the inside of the bend is not up")
    tally.fact(step.bend.length <= brake.length + 1e-6, f"{words}: longer than the brake")
    tally.fact(how["angle_under_load_deg"] <= brake.most_angle + 1e-6, f"{words}: beyond the brake's angle")


def check_sections(words, step, brake, how, spans, tally):
    for sections in how.get("sections", []):
        tool = sections["tool"]
        if tool == "fingers":
            stock = list(brake.fingers)
        else:
            punch = re.search(r"punch `([^`]+)`", how["tool"])[1]
            table = next(t for t in (brake.punches if tool == "punch" else brake.dies)
                         if (t["name"] == punch if tool == "punch" else abs(brakes.mm(t["v"]) - how["v_mm"]) < 1e-6))
            stock = [brakes.mm(w) for w in table.get("lengths", [])]
        for width in sections["lengths_mm"]:
            tally.fact(width in stock, f"{words}: there is no {tool} of {width}")
            if width in stock:
                stock.remove(width)
        low, high = spans[tool]
        total = sum(sections["lengths_mm"])
        tally.fact(abs(high - low - total) < 1e-3, f"{words}: sections of {total} stand on {high - low}")
        inside = low > -1e-3 and high < step.bend.length + 1e-3
        tally.fact(inside, f"{words}: sections stand beside the bend")
        tally.fact(total >= step.bend.length - brake.gap - 1e-3, f"{words}: sections leave too much bare")


def check_part(number, program, shop_file, shop, margin, tally, refused, every):
    part = random_bends.drawn(number)
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        report, stops = made(program, part, shop_file, folder)
        if report is None:
            kind = "refused" if stops and stops <= ORDER else "no part"
            tally.counts[kind] += 1
            if kind == "refused" and refused:
                bare, _ = made(program, part, None, folder)
                if bare is not None:
                    model = bent.Part(folder / "out/flats/p.dxf", bare["parts"][0], part.tree, part.areas)
                    found = own_order.find(model, shop)
                    tally.counts["refused, and the model finds none" if found is None else "refused, but the model finds an order"] += 1
                    if found is not None:
                        print(f"part {number}: the model bends {found}")
            return
        tally.counts["orders"] += 1
        row = report["parts"][0]
        model = bent.Part(folder / "out/flats/p.dxf", row, part.tree, part.areas)
        told = {f["name"] for finding in report["findings"] if finding["code"] == "bend-sequence"
                for f in finding.get("features", []) if f["kind"] == "bend"}
        before = set()
        for i in sorted(range(len(row["bends"])), key=lambda i: row["bends"][i]["made"]["sequence"]):
            step = Step(model, i, frozenset(before), row["bends"][i]["made"]["clamp"])
            check_step(f"part {number}", step, row["bends"][i], shop, margin, told, tally, every)
            before.add(i)


def numbers(text):
    """The numbers of "0-3,7"."""
    found = []
    for stretch in text.split(","):
        first, _, last = stretch.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("program")
    arguments.add_argument("--every", type=float, default=1.0)
    arguments.add_argument("--refused", action="store_true")
    arguments.add_argument("lots", nargs="+", metavar="SHOP PARTS")
    asked = arguments.parse_args()
    tally = Tally()
    for shop_file, parts in zip(asked.lots[::2], asked.lots[1::2], strict=True):
        shop_file = Path(shop_file).resolve()
        shop, margin = brakes.read_shop(shop_file)
        for number in numbers(parts):
            check_part(number, asked.program, shop_file, shop, margin, tally, asked.refused, asked.every)
    for words in tally.failed:
        print(words)
    print(", ".join(f"{n} {what}" for what, n in sorted(tally.counts.items())))
    print(f"{tally.passed} passed, {len(tally.failed)} failed")
    sys.exit(1 if tally.failed or not tally.counts["orders"] else 0)


if __name__ == "__main__":
    main()
