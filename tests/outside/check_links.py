"""Judges random links by a model of its own, and compares it with what the program says of them.

    .venv/bin/python tests/outside/check_links.py PROGRAM FIRST COUNT [--planted]

Links of all rod ends of the table with random lengths, ratings, metals, engagements, legs and
directions, through job files; FIRST and COUNT say which. Every limit of the report is worked out
again to 0.1 %, and none may be missing on either side: the strut in compression by beam finite
elements with their geometric stiffness, its shape as it buckles from the same, the rest by AISC
360-16 (D2, E3, E7, H2, J2.4, J4), written from the specification and not from the program. Then
relations: a longer link never buckles later, and a smaller rating or a lower engagement never
allows more. `--planted` adds 3 % to all that is allowed, which must be noticed. Prints one line for
each fact that fails and one line of totals; exits 1 when a fact failed or too little was judged.
"""

import json
import random
import re
import subprocess
import sys
import tempfile
from fractions import Fraction
from math import pi, sqrt
from pathlib import Path

import numpy as np

TABLES = Path(__file__).resolve().parents[2] / "src/table"
UNITS = {"mm": 1, "in": 25.4, "MPa": 1, "GPa": 1000, "ksi": 6.894757293168361, "kN": 1000}
TOLERANCE = 1e-3
OMEGA_YIELD, OMEGA_RUPTURE, OMEGA_SHEAR = 1.67, 2.0, 2.0
PLANTED = 1.03
METALS = ["S235", "A36", "4130-N", "1020", "1020-CD", "1018-CD", "304", "6061-T6", "2024-T3"]


def value(cell):
    """`1-1/4 in` in mm, `36 ksi` in N/mm²; text as it is."""
    found = re.fullmatch(r"(?:(\d+)-)?([\d./]+) (\w+)", cell)
    if not found or found[3] not in UNITS:
        return cell
    return float(Fraction(found[1] or "0") + Fraction(found[2])) * UNITS[found[3]]


def table(name):
    lines = (TABLES / f"{name}.csv").read_text().splitlines()
    rows = [[cell.strip() for cell in line.split(",")] for line in lines if line and line != "#" and not line.startswith("# ")]
    return {row[0]: dict(zip(rows[0], map(value, row))) for row in rows[1:]}


RODS, THREADS, BUNGS, TUBES, NUTS, METAL, FILLERS = map(
    table, ["rod-end", "thread", "bung", "tube", "jam-nut", "material", "filler"]
)


def strut(lengths, inertias, elastic):
    """Critical force and the shares by which both joints move, by beam elements: E I v'''' + P v'' = 0."""
    nodes = [0.0]
    sections = []
    for length, inertia in zip(lengths, inertias):
        count = 10 if length > 3 * min(lengths) else 6
        start = nodes[-1]
        nodes += [start + length * (i + 1) / count for i in range(count)]
        sections += [inertia] * count
    size = 2 * len(nodes)
    stiff, geometric = np.zeros((size, size)), np.zeros((size, size))
    for i, inertia in enumerate(sections):
        h = nodes[i + 1] - nodes[i]
        bend = elastic * inertia / h**3 * np.array(
            [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
             [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
        press = 1 / (30 * h) * np.array(
            [[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
             [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])
        at = slice(2 * i, 2 * i + 4)
        stiff[at, at] += bend
        geometric[at, at] += press
    free = [i for i in range(size) if i not in (0, size - 2)]
    # The smallest P of K v = P G v is the largest 1/P of G v = 1/P K v.
    lower = np.linalg.cholesky(stiff[np.ix_(free, free)])
    inverse = np.linalg.inv(lower)
    values, vectors = np.linalg.eigh(inverse @ geometric[np.ix_(free, free)] @ inverse.T)
    shape = np.zeros(size)
    shape[free] = inverse.T @ vectors[:, -1]
    moved = np.abs(shape[0::2])
    # Between nodes a wave rises above both: its crest by the cubic of each element.
    crest = moved.max()
    for i in range(len(sections)):
        h = nodes[i + 1] - nodes[i]
        a, b, c, d = shape[2 * i : 2 * i + 4]
        for s in np.linspace(0, 1, 41):
            y = a * (1 - 3 * s**2 + 2 * s**3) + b * h * (s - 2 * s**2 + s**3) + c * (3 * s**2 - 2 * s**3) + d * h * (s**3 - s**2)
            crest = max(crest, abs(y))
    joint = [int(np.argmin(np.abs(np.array(nodes) - at))) for at in (lengths[0], lengths[0] + lengths[1])]
    return 1 / values[-1], [moved[i] / crest for i in joint]


def second_order(area, modulus, stress, off, critical):
    """The force at which N/A + N·off/(1 − N/Pcr)/S is the stress, by halving."""
    low, high = 0.0, min(critical, stress * area)
    for _ in range(200):
        force = (low + high) / 2
        is_over = force / area + force * off / (1 - force / critical) / modulus > stress
        low, high = (low, force) if is_over else (force, high)
    return low


class End:
    """A rod end in its bung."""

    def __init__(self, name):
        self.name, self.rod = name, RODS[name]
        thread = self.rod["thread"]
        self.bung, self.nut = BUNGS[thread], NUTS[thread]
        self.pitch, self.diameter = THREADS[thread]["pitch"], THREADS[thread]["diameter"]
        self.root = self.diameter - 1.22687 * self.pitch
        self.area, self.inertia = pi * self.root**2 / 4, pi * self.root**4 / 64
        self.modulus = pi * self.root**3 / 32
        self.stripped = pi * (self.diameter - 0.649519 * self.pitch) / 2
        deepest = self.rod["threaded"] - self.nut["height"]
        # As made: three quarters of the bung, or of the way from one diameter to the deepest.
        self.made = min(0.75 * self.bung["length"], self.rod["shank"] + 0.75 * (deepest - self.rod["shank"]))
        self.deepest = max(deepest, self.made)


class Link:
    """What is asked of the program, and what follows."""

    def __init__(self, dice, i):
        self.name = f"l{i}"
        first = dice.choice(sorted(RODS))
        # Bungs of these threads fit the bore of one tube.
        unlike = {"M12": "M14", "M14": "M12", "M6": "M5", "M5": "M6"}.get(first, first)
        self.ends = [End(first), End(dice.choice([first, unlike]))]
        self.tube_name = self.ends[0].bung["tube"]
        least = sum(end.rod["length"] + end.bung["length"] for end in self.ends)
        self.pins = least + dice.uniform(40, 1200)
        self.rating = dice.choice([None, *[dice.uniform(2, 60) * 1000] * 9])
        self.metal = dice.choice(METALS)
        self.least = min(end.rod["shank"] for end in self.ends) * dice.choice([1.0, dice.uniform(0.7, 1.0)])
        self.leg = dice.choice([None, dice.uniform(1.0, 3.0)])
        self.filler = dice.choice([None, "E60", "E80"]) if METAL[self.metal]["metal"] == "steel" else None
        self.direction = dice.choice(["pull", "push", None, None])
        self.force = 10.0  # N: nothing is stopped

    def rated(self, end):
        """The rating of a rod end, N: the one given, or that of its series; none of a plain row."""
        return self.rating or end.rod["static_load"] or None

    def text(self):
        more = f'rating = "{self.rating / 1000:.9f} kN"\n' if self.rating else ""
        load = f'direction = "{self.direction}"\n' if self.direction else ""
        load += f'leg = "{self.leg:.9f} mm"\n' if self.leg else ""
        load += f'filler = "{self.filler}"\n' if self.filler else ""
        return (
            f'[[link]]\nname = "{self.name}"\npins = "{self.pins:.9f} mm"\nrod_end = {json.dumps([end.name for end in self.ends])}\n{more}'
            f'tube = "{self.tube_name}"\n'
            f'min_engagement = "{self.least:.9f} mm"\nmaterial = "{self.metal}"\n'
            f'[[load]]\nname = "{self.name}"\nlink = "{self.name}"\nforce = "{self.force / 1000} kN"\n{load}'
        )

    def settings(self):
        """Pin to pin and engagements, the shortest and the longest."""
        made = [end.made for end in self.ends]
        deepest, least = [end.deepest for end in self.ends], [min(self.least, m) for m in made]
        return [(self.pins + sum(made) - sum(engaged), engaged) for engaged in (deepest, least)]

    def judged(self):
        metal = METAL[self.metal]["metal"]
        ways = {"pull": ["pull"], "push": ["push"], None: ["pull", "push"]}[self.direction]
        return all(map(self.rated, self.ends)) and self.metal != "2024-T3" and (metal == "steel" or "push" not in ways)

    def limits(self):
        """What is allowed: by limit, way, end and setting, N."""
        row, tube = METAL[self.metal], TUBES[self.tube_name]
        strong = (row["yield"], row["tensile"])
        is_aluminium = row["metal"] == "aluminium"
        has_weaker = row["welded_yield"] != ""
        fy, fu = (row["welded_yield"], row["welded_tensile"]) if has_weaker else strong
        d, t = tube["outside"], tube["design_wall"] or tube["wall"]
        area = pi / 4 * (d**2 - (d - 2 * t) ** 2)
        inertia = pi / 64 * (d**4 - (d - 2 * t) ** 4)
        first = next(r for r in FILLERS.values() if r["metal"] == row["metal"])
        shear = (FILLERS[self.filler] if self.filler else first)["shear"]
        shear = min(shear, 0.6 * fu / 0.707) if is_aluminium else shear
        smallest = next((leg for most, leg in [(6.35, 3.0), (12.7, 4.7625), (19.05, 6.0)] if t <= most + 1e-6), 7.9375)
        greatest = t if t < 6.35 else t - 25.4 / 16
        line = 0.707 * (self.leg or min(smallest, greatest)) * shear
        is_steel = row["metal"] == "steel"
        found = {}
        for way in ["pull", "push"]:
            if self.direction not in (None, way):
                continue
            for i, end in enumerate(self.ends):
                spigot = pi / 4 * (end.bung["spigot"] ** 2 - end.diameter**2)
                found["rod end", way, i + 1, None] = self.rated(end) / OMEGA_RUPTURE
                found["bung round its thread", way, i + 1, None] = fy * spigot / OMEGA_YIELD
                for pins, engaged in self.settings():
                    sheared = 0.6 * end.stripped * min(engaged[i], end.bung["length"]) / OMEGA_SHEAR
                    found["thread of the bung", way, i + 1, pins] = fu * sheared
                    found["thread of the rod end", way, i + 1, pins] = self.rated(end) / end.area * sheared
            if way == "pull":
                found["tube in tension, yielding", way, 0, None] = fy * area / OMEGA_YIELD
                found["tube in tension, rupture", way, 0, None] = fu * area / OMEGA_RUPTURE
                for end in (1, 2):
                    found["weld of the bung", way, end, None] = line * pi * d / OMEGA_RUPTURE
            elif is_steel:
                for end in (1, 2) if has_weaker else ():
                    found["tube beside its weld", way, end, None] = fy * area / OMEGA_YIELD
                for pins, engaged in self.settings():
                    out = [end.rod["length"] - is_in for end, is_in in zip(self.ends, engaged)]
                    lengths = [out[0], pins - sum(out), out[1]]
                    inertias = [self.ends[0].inertia, inertia, self.ends[1].inertia]
                    critical, shares = strut(lengths, inertias, row["elastic"])
                    critical = min(critical, pi**2 * row["elastic"] * inertia / pins**2)
                    fe = critical / area
                    away = strong[0]
                    fn = 0.658 ** (away / fe) * away if away / fe <= 2.25 else 0.877 * fe
                    thin = d / t * away / row["elastic"]
                    whole = area if thin <= 0.11 else area * (0.038 / thin + 2 / 3)
                    found["buckling", way, 0, pins] = fn * whole / OMEGA_YIELD
                    for i, end in enumerate(self.ends):
                        off = shares[i] * pins / 1000 + max(tube["inside"] - end.bung["spigot"], 0) / 2
                        stress = self.rated(end) * OMEGA_YIELD / OMEGA_RUPTURE / end.area
                        nominal = second_order(end.area, end.modulus, stress, off, critical)
                        found["shank in compression and bending", way, i + 1, pins] = nominal / OMEGA_YIELD
                        nominal = second_order(pi * d, pi * d**2 / 4, line, off, critical)
                        found["weld of the bung", way, i + 1, pins] = nominal / OMEGA_RUPTURE
        return found


def made(program, links):
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        (folder / "job.toml").write_text('process = "laser"\n' + "".join(link.text() for link in links))
        command = [program, "make", "job.toml", "--out", "out", "--no-drawings", "--effort", "0"]
        run = subprocess.run(command, cwd=folder, capture_output=True, text=True)
        if run.returncode:
            raise SystemExit(f"the program does not make the job:\n{run.stderr[-3000:]}")
        report = json.loads((folder / "out/report.json").read_text())
        return {load["case"]: load for load in report["strength"]["links"]}


def said(load):
    ways = {"tension": "pull", "compression": "push"}
    return {
        (one["what"], ways[one["acting"]], 0 if one["place"] == "tube" else int(one["place"][4:]), one.get("pins_mm")):
        one["allowable"]["kn"] * 1000
        for one in load["limits"]
    }


def allowable(load):
    return load["allowable"]["kn"]


def buckling(load):
    return min((one["allowable"]["kn"] for one in load["limits"] if one["what"] == "buckling"), default=0)


def near(key, others):
    """The same limit of the other side, whose setting may differ by rounding."""
    same = [k for k in others if k[:3] == key[:3] and (k[3] is None) == (key[3] is None)]
    return next((k for k in same if key[3] is None or abs(k[3] - key[3]) < 1e-3), None)


def main():
    program, first, count, *flags = sys.argv[1:]
    links = [Link(random.Random(f"link {i}"), i) for i in range(int(first), int(first) + int(count))]
    passed, failed, worst, judged = 0, 0, 0.0, 0

    def fact(holds, words):
        nonlocal passed, failed
        passed, failed = passed + bool(holds), failed + (not holds)
        if not holds:
            print(words)

    loads = made(program, links)
    for link in links:
        load = loads[link.name]
        fact(load["judged"] == link.judged(), f"{link.name}: judged {load['judged']}, {load.get('why_not')}")
        if not (load["judged"] and link.judged()):
            fact(load["allowable"] is None, f"{link.name}: a margin without a verdict")
            continue
        judged += 1
        own, theirs = link.limits(), said(load)
        fact(len(own) == len(theirs), f"{link.name}: {len(theirs)} limits, of its own {len(own)}")
        for key, allowed in own.items():
            other = near(key, theirs)
            is_there = other is not None
            fact(is_there, f"{link.name}: no {key}")
            if is_there:
                is_allowed = theirs[other] * (PLANTED if "--planted" in flags else 1)
                worst = max(worst, abs(is_allowed / allowed - 1))
                fact(abs(is_allowed / allowed - 1) < TOLERANCE, f"{link.name} ({link.ends[0].name}, {link.ends[1].name}, {link.metal}): {key} {is_allowed:.1f}, of its own {allowed:.1f}")
        least = min(own.values())
        fact(abs(load["allowable"]["kn"] * 1000 / least - 1) < TOLERANCE or "--planted" in flags, f"{link.name}: governs {load['governed_by']}")
    changed = []
    for link in links[:: 3]:
        if not loads[link.name]["judged"]:
            continue
        for kind in ["longer", "weaker", "looser"]:
            other = Link(random.Random(f"link {link.name[1:]}"), f"{link.name[1:]}-{kind}")
            other.pins *= 1.1 if kind == "longer" else 1
            if kind == "weaker":
                other.rating = 0.9 * min(map(other.rated, other.ends))
            other.least *= 0.9 if kind == "looser" else 1
            changed.append((link, kind, other))
    if changed:
        after = made(program, [other for *_, other in changed])
        for link, kind, other in changed:
            # A longer link is more crooked, but its shanks have a smaller share of how it bends.
            of = buckling if kind == "longer" else allowable
            was, now = (of(load) for load in (loads[link.name], after[other.name]))
            fact(now <= was * (1 + 1e-9), f"{link.name}: {kind} allows {now}, before {was}")
    print(f"{judged} links judged, {worst:.2e} apart at most")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or judged < int(count) // 3 else 0


if __name__ == "__main__":
    sys.exit(main())
