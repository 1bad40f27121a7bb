"""Random clevises by an independent model of stacked tolerances.

    .venv/bin/python tests/outside/check_clevises.py PROGRAM FOLDER SEED COUNT

Draws COUNT clevises by lot, writes them as jobs into FOLDER, lets PROGRAM check and make
them, and works out anew, from the tables alone, the gap bare and coated at its worst and by
root sum square, and what of it must be found: a stop where the rod end does not go in as
drawn, a caution where it does not by root sum square, a note where only the worst case does
not. What a recipe refuses for another reason is left out. Prints one line for each fact that
fails and one line of totals; exits 1 when one failed.
"""

import csv
import json
import math
import random
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NEAR = 2e-6
RECIPES = ["clevis-plates", "clevis-weldment", "clevis-bent"]
PROCESSES = ["laser", "waterjet", "plasma"]
SHEETS = [1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0]
COATINGS = [None, 0.05, 0.12, "powder", "powder two coats", "wet paint", "electrocoat", "zinc plate", "anodize"]
PER_JOB = 26


def table(name):
    text = (ROOT / "src" / "table" / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    rows = csv.DictReader(lines, skipinitialspace=True)
    return [{key.strip(): value.strip() for key, value in row.items() if key} for row in rows]


def mm(text):
    number, unit = text.split()
    whole, _, part = number.rpartition("-")
    value = float(whole or 0)
    top, _, bottom = part.partition("/")
    value += float(top) / float(bottom or 1)
    return value * {"mm": 1.0, "in": 25.4}[unit]


def by_name(name):
    return {row["name"]: row for row in table(name)}


ROD_ENDS = by_name("rod-end")
TOLERANCE = by_name("tolerance")
FILMS = by_name("coating")


def of_length(row, length):
    """The figure of the first column long enough that has one."""
    known = None
    for key, value in row.items():
        if key.startswith("up_to_"):
            known = mm(value) if value else known
            if known is not None and length <= float(key[6:]):
                return known
    return known


def of_sheet(thickness):
    rows = table("sheet-tolerance")
    enough = [row for row in rows if thickness <= mm(row["up_to"])]
    return mm((enough or rows[-1:])[0]["tolerance"])


def of_cut(process, thickness, length):
    of_class = {"laser": "1", "plasma": "2"}.get(process)
    if of_class is None:
        return of_length(by_name("general-tolerance")["m"], length)
    rows = [row for row in table("cut-tolerance") if row["name"].split()[0] == of_class]
    enough = [row for row in rows if thickness <= mm(row["thickness"])]
    return of_length((enough or rows[-1:])[0], length)


class Clevis:
    def __init__(self, lot, name, process, coating):
        self.name, self.process = name, process
        self.recipe = lot.choice(RECIPES)
        self.thickness = lot.choice(SHEETS)
        self.rod_end = lot.choice(sorted(ROD_ENDS))
        self.spacer = lot.choice([0.0, 0.0, 1.5, 3.0, 12.0])
        self.clearance = round(lot.uniform(-0.15, 1.3), 3)
        self.reach = round(lot.uniform(32.0, 70.0), 1)
        if coating is None:
            self.film, self.films = 0.0, (0.0, 0.0)
        elif isinstance(coating, str):
            row = FILMS[coating]
            self.film, self.films = mm(row["thickness"]), (mm(row["min"]), mm(row["max"]))
        else:
            off = mm(TOLERANCE["coating"]["length"])
            self.film, self.films = coating, (max(coating - off, 0.0), coating + off)
        self.width = mm(ROD_ENDS[self.rod_end]["ball_width"]) + 2 * self.spacer
        self.gap = round(self.width + self.clearance + 2 * self.film, 4)

    def line(self):
        given = {
            "rod_end": self.rod_end,
            "spacer": f"{self.spacer} mm",
            "gap": f"{self.gap} mm",
            "reach": f"{self.reach} mm",
        }
        given = ", ".join(f'{key} = "{value}"' for key, value in given.items())
        return (
            f'part = {{ recipe = "{self.recipe}", name = "{self.name}", '
            f'sheet = "{self.thickness}", given = {{ {given} }} }}'
        )

    def contributions(self):
        """What the gap differs by: each with how often it enters."""
        weld = mm(TOLERANCE["weld"]["length"])
        if self.recipe == "clevis-plates":
            return [(weld, 1)]
        if self.recipe == "clevis-weldment":
            return [(of_cut(self.process, self.thickness, self.gap), 1), (weld, 1)]
        angle = math.radians(float(TOLERANCE["bend"]["angle"].split()[0]))
        leans = (self.reach - self.thickness) * math.tan(angle)
        return [(of_sheet(self.thickness), 2), (mm(TOLERANCE["bend"]["length"]), 2), (leans, 2)]

    def ranges(self):
        """Bare and coated, each at its worst and by root sum square."""
        all_of_them = [each for each, times in self.contributions() for _ in range(times)]
        thin, thick = self.films
        worst = sum(all_of_them)
        square = math.sqrt(sum(each**2 for each in all_of_them))
        # Each film is its mean, give or take; two of them.
        mean, half = (thin + thick) / 2, (thick - thin) / 2
        coated = math.sqrt(square**2 + 2 * half**2)
        return {
            "bare_gap": ((self.gap - worst, self.gap + worst), (self.gap - square, self.gap + square)),
            "coated_gap": (
                (self.gap - 2 * thick - worst, self.gap - 2 * thin + worst),
                (self.gap - 2 * mean - coated, self.gap - 2 * mean + coated),
            ),
        }


def job(process, coating, clevises):
    """A job, and which of its lines names which clevis."""
    lines = [f'process = "{process}"', 'margin = "5 mm"', 'paper = "none"']
    if coating is not None:
        lines.append(f'coating = "{coating}"' if isinstance(coating, str) else f'coating = "{coating} mm"')
    for thickness in sorted({clevis.thickness for clevis in clevises}):
        lines += [
            "[[sheet]]",
            f'name = "{thickness}"',
            'material = "S235"',
            f'thickness = "{thickness} mm"',
            'stock = [ { size = ["3000 mm", "1500 mm"] } ]',
        ]
    where = {}
    for clevis in clevises:
        lines.append("[[part]]")
        text = clevis.line()
        lines.append(text[len("part = { ") : -2].replace(", name", "\nname", 1).replace(", sheet", "\nsheet", 1).replace(", given", "\ngiven", 1))
        flat = "\n".join(lines).count("\n") + 1
        for line in range(flat - 4, flat + 1):
            where[line] = clevis.name
    return "\n".join(lines) + "\n", where


def findings(program, path):
    """Every finding of a check: weight, code, and the lines of the job it points at."""
    run = subprocess.run([program, "check", str(path)], capture_output=True, text=True, check=False)
    found = []
    for line in run.stderr.splitlines():
        head = re.match(r"(stop|caution)\[([a-z-]+)\]", line)
        if head:
            found.append((head[1], head[2], set()))
        marked = re.match(r"\s*(?:-->|:::) (.*):(\d+):\d+", line)
        if marked and found and marked[1].endswith(path.name):
            found[-1][2].add(int(marked[2]))
        numbered = re.match(r"\s*(\d+) \| (name|given)", line)
        if numbered and found:
            found[-1][2].add(int(numbered[1]))
    return found


class Facts:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def check(self, holds, words):
        self.passed += bool(holds)
        self.failed += not holds
        if not holds:
            print(words)

    def near(self, is_, wanted, words):
        self.check(abs(is_ - wanted) <= NEAR, f"{words}: {is_}, not {wanted}")


def judge(facts, clevis, row, found):
    ranges = clevis.ranges()
    for which in ["bare_gap", "coated_gap"]:
        worst, square = ranges[which]
        for is_, wanted, words in [
            (row[which]["worst_case_mm"], worst, "worst case"),
            (row[which]["root_sum_square_mm"], square, "root sum square"),
        ]:
            for end in (0, 1):
                facts.near(is_[end], wanted[end], f"{clevis.name} {clevis.recipe} {which} {words}")
    worst, square = (ranges["coated_gap"][i][0] - clevis.width for i in (0, 1))
    facts.near(row["min_play_mm"]["worst_case"], worst, f"{clevis.name} play at worst")
    facts.near(row["min_play_mm"]["root_sum_square"], square, f"{clevis.name} play by square")
    noted = any("too narrow" in note for note in row.get("worst_case_notes", []))
    facts.check(noted == (worst < -NEAR and square >= -NEAR), f"{clevis.name}: note {noted}, worst {worst}, square {square}")
    tight = ("caution", "clevis-gap") in found
    play = clevis.gap - 2 * clevis.film - clevis.width
    facts.check(play >= -NEAR, f"{clevis.name} is made with a play of {play}")
    loose = play > max(0.5, 2 * (play - square)) + NEAR
    facts.check(tight == (square < -NEAR or loose), f"{clevis.name}: caution {tight}, square {square}, play {play}")


def main(program, folder, seed, count):
    lot = random.Random(seed)
    facts, judged, stopped, drawn = Facts(), 0, 0, 0
    while judged + stopped < count and drawn < 20 * count:
        process, coating = lot.choice(PROCESSES), lot.choice(COATINGS)
        clevises = [Clevis(lot, f"c{drawn + i}", process, coating) for i in range(PER_JOB)]
        drawn += PER_JOB
        path = folder / f"job-{drawn}.toml"
        kept = clevises
        while kept:
            text, where = job(process, coating, kept)
            path.write_text(text, encoding="utf-8")
            of = {clevis.name: set() for clevis in kept}
            for weight, code, lines in findings(program, path):
                for name in {where[line] for line in lines if line in where}:
                    of[name].add((weight, code))
            # A finding common to several is reported for one of them: the others stop the next time.
            refused = [c for c in kept if any(weight == "stop" for weight, _ in of[c.name])]
            for clevis in refused:
                others = {code for weight, code in of[clevis.name] if weight == "stop"} - {"clevis-gap"}
                if not others:
                    play = clevis.gap - 2 * clevis.film - clevis.width
                    facts.check(play < -NEAR, f"{clevis.name} stops with a play of {play}")
                    stopped += 1
            if not refused:
                break
            kept = [clevis for clevis in kept if clevis not in refused]
        if not kept:
            continue
        out = folder / f"out-{drawn}"
        run = subprocess.run(
            [program, "make", str(path), "--effort", "0", "--out", str(out)],
            capture_output=True, text=True, check=False,
        )
        facts.check(run.returncode == 0, f"{path.name} is not made: {run.stderr[-600:]}")
        if run.returncode != 0:
            continue
        report = json.loads((out / "report.json").read_text(encoding="utf-8"))
        rows = {part["name"]: part["clevis"] for part in report["parts"] if "clevis" in part}
        for clevis in kept:
            suffixes = [clevis.name, f"{clevis.name}-ear"]
            row = next((rows[name] for name in suffixes if name in rows), None)
            facts.check(row is not None, f"{clevis.name} has no clevis in the report")
            if row is not None:
                judge(facts, clevis, row, of[clevis.name])
                judged += 1
    facts.check(judged + stopped >= count, f"only {judged} clevises were judged, {stopped} stopped")
    print(f"{judged} judged, {stopped} stopped")
    print(f"{facts.passed} passed, {facts.failed} failed")
    return 1 if facts.failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])))
