"""Judges random parts by a model of its own, and compares it with what the program says of them.

    .venv/bin/python tests/outside/check_strength.py PROGRAM FIRST COUNT [--planted] [--dense]

Plates, tees, hooks, angles, channels, hats, strips with up to three bends and plates under a
post, held by a seam or by bolts, each loaded in two or three ways; FIRST and COUNT say which.
Every printed section is worked out again from where it is, one that goes through a notch as if
that were filled among them: its six resultants to a millionth of the force, the share of its
ligament, and what is allowed of each, to 0.5 %. Then the parts are cut at places of the model's own choosing, and their holes, bolts and seams are looked at:
nothing may allow less than the program does. Last, relations: a hole, a notch, a thinner sheet,
a longer arm or a foot set aside never allows more; within 0.1° nothing steps; and it does not matter
how a part is drawn. Folding, equilibrium and formulas are written from the AISC specification
and manual, not from the program. `--planted` adds 3 % to all that is allowed, which must be
noticed. `--dense` spends much longer looking for weaker sections, from the weakest known on, and leaves the
relations out. Prints one line for each fact that fails and one line of totals; exits 1 when a fact
failed or too little was judged.
"""

import collections
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

from strength_fold import Part, write
from strength_relations import NEVER, SAME, SUB_STEPS, family, steps
from strength_scan import Scan
from strength_search import Search

RESULTANT, CAPACITY = 1e-6, 5e-3
NOTCHED = 2e-5  # of a part with notches, whose arcs the program cuts in straight pieces
PLANTED = 1.03
LOT = 60  # parts of a job: of more not every stop is printed
NAMES = ["normal", "shear", "across", "bend in", "bend out", "torsion"]


class Tally:
    def __init__(self):
        self.passed, self.failed, self.counts = 0, 0, collections.Counter()

    def fact(self, holds, kind, words):
        self.passed, self.failed = self.passed + bool(holds), self.failed + (not holds)
        if not holds:
            self.counts[kind] += 1
            print(f"{kind}: {words}")


def made(program, folder, parts):
    """The loads of a report by name, without the parts that a check of the drawing stops."""
    parts = dict(parts)
    for _ in range(40):  # alike stops are printed as one
        write(folder, list(parts.values()))
        command = [program, "make", "job.toml", "--out", "out", "--no-drawings", "--effort", "0"]
        run = subprocess.run(command, cwd=folder, capture_output=True, text=True)
        if run.returncode == 0:
            report = json.loads((folder / "out/report.json").read_text())
            return {load["case"]: load for load in report["strength"]["loads"]}, parts
        stops = [block for block in run.stderr.split("\n\n") if block.startswith("stop[")]
        named = {name for block in stops for name in re.findall(r'name = "(\w+)"|\./(\w+)\.toml', block)}
        bad = {one or other for one, other in named} & set(parts)
        if not bad:
            break
        parts = {name: part for name, part in parts.items() if name not in bad}
    raise SystemExit(f"the program does not make the job:\n{run.stderr[-2000:]}")


def chord_at(model, face, ends):
    """The model's section at a printed one; beside it where it is on the border of the face."""
    start, end = ends
    long = np.linalg.norm(end - start)
    way = (end - start) / long
    for off in (0, 2e-3, -2e-3):
        for chord in model.plates[face].chords(start + np.array([-way[1], way[0]]) * off, way):
            # Metal beyond an opening that the load does not spread to is left out of a section.
            pieces = [list(piece) for piece in chord.pieces if piece[0] > -2e-2 and piece[1] < long + 2e-2]
            if pieces and abs(pieces[0][0]) < 2e-2 and abs(pieces[-1][1] - long) < 2e-2:
                first = next(i for i, piece in enumerate(chord.pieces) if list(piece) == pieces[0])
                chord.depths = joined(chord.depths, first, len(pieces) - 1)
                chord.at, chord.pieces = start, pieces
                if off:
                    chord.pieces[0][0], chord.pieces[-1][1] = 0.0, long
                return chord
    return None


def joined(depths, first, count):
    """The depths between the pieces that are left, what is open beyond them counted with the next."""
    if not count:
        return []
    groups = [depths[: first + 1], *([d] for d in depths[first + 1 : first + count - 1]), depths[first + count - 1 :]]
    groups = [depths] if count == 1 else groups
    return [(min(low for low, _ in group), max(high for _, high in group)) for group in groups]


def printed(tally, model, way, load):
    """The sections of a report, each against the model's."""
    part = model.part
    for limit in load["limits"]:
        if not limit["what"].startswith(("section", "plate at")):
            continue
        place = limit["section"]
        where = f"{load['case']} ({part.kind}, {way}): {limit['what']}, {limit['rule']}"
        slanted, ends = "plastic" in limit["rule"], [np.array(end) for end in place["folded_mm"]]
        if "bend" in place:
            k = int(place["bend"][1:])
            share = bend_share(part, k, (ends[0] + ends[1]) / 2)
            found = [(*model.at_bend(k, share, f), None) for f in part.forces(way)]
            found = [[(times, whole, None, whole, caps)] for times, whole, caps, _ in found]
        else:
            face = int(place["face"][1:])
            drawn = [part.frames[face].seen(end)[:2] for end in ends]
            is_notched = "notch" in limit["what"]
            chord = model.plates[face].over_notches(*drawn) if is_notched else chord_at(model, face, drawn)
            tally.fact(chord, "no section", where)
            if not chord:
                continue
            slanted |= len(chord.pieces) > 1 and limit["rule"].startswith("AISC manual")
            cuts = [chord] if is_notched or "filled" not in limit["what"] else list(chord.fillings())
            found = [list(model.ligaments(cut, f, slanted)) for cut in cuts for f in part.forces(way)]
        notches = any(face.notches for face in part.faces)
        compare(tally, found, limit, where, NOTCHED if notches else RESULTANT)


def bend_share(part, k, middle):
    """How far round a bend a point is, from 0 to 1."""
    bend, (centre, x, y, z, _) = part.bends[k], part.curves[k]
    out = (middle - centre) * -bend.side
    return np.arctan2(bend.side * -(out @ y), out @ z) / bend.angle


def off(own, got):
    """By how much two rows of forces and moments differ; directions are the program's choice."""
    scale = np.array([1.0] * 3 + [max(1.0, np.abs(got[3:]).max())] * 3)
    return max((np.abs(np.abs(own) - np.abs(got)) / scale).max(), abs(own[0] - got[0]))


def compare(tally, found, limit, where, exact):
    rows = [np.array(list(limit["section"][key].values())) for key in ("forces", "ligament", "allowable")]
    whole, share, given = rows
    # How ligaments share bending out of the plane depends on the assumed spread of the load.
    at = np.arange(6) != 4
    near = lambda f: off(f[1], whole) + off(f[3] * at, share * at)
    all_of = min(found, key=lambda of: min(map(near, of), default=np.inf), default=None)
    tally.fact(all_of, "no resultants", where)
    if not all_of:
        return
    times, own_whole, _, own_share, caps = min(all_of, key=near)
    tally.fact(off(own_whole, whole) < exact, "resultants", f"{where}: {whole} here {own_whole}")
    tally.fact(off(own_share * at, share * at) < exact, "share", f"{where}: {share} here {own_share}")
    allowed = limit["allowable"]["kn"] * 1000
    same = abs(abs(own_share[4]) - abs(share[4])) < exact * max(1.0, abs(share[4]))
    if not same:
        bent, own_bent = abs(share[4]) / given[4], abs(own_share[4]) / caps[4]
        tally.fact(len(all_of) > 1 and bent > own_bent * (1 - CAPACITY), "share", f"{where}: bent {bent} here {own_bent}")
    for i, name in enumerate(NAMES):
        if abs(share[i]) < 1e-9:
            continue
        high, low = given[i] > caps[i] * (1 + CAPACITY), given[i] < caps[i] * (1 - CAPACITY)
        same &= not low
        # Where a load spreads the program may count less than is counted here.
        tally.fact(not high and (not low or name == "bend out"), "capacity", f"{where}: {name} {given[i]:.1f} here {caps[i]:.1f}")
    times, most = (min(of[0] for of in all_of), times)
    agrees = allowed < times * (1 + CAPACITY) and (not same or allowed > most * (1 - CAPACITY))
    tally.fact(agrees, "interaction", f"{where}: {allowed:.1f} here {times:.1f}")


def least(model, way):
    """What the model allows, and by what."""
    own = []
    for force in model.part.forces(way):
        own.append(model.weakest(force))
        own += [(times, what, None) for times, what in model.eye(force)]
        own += [(times, what, None) for times, what in model.bolts(force)]
        weld = model.weld(force)
        # All that J2-5 adds: for a force through the centroid of the seam.
        own += [(1.5 * weld, "fillet weld", None)] if weld else []
    return min(own, key=lambda o: o[0])


def judge(tally, parts, loads, factor, scan=Scan):
    """Every printed section, and whether anything of the model's allows less."""
    judged, same = 0, 0
    for part in parts:
        model = scan(part)
        for i, way in enumerate(part.loads):
            load = loads[f"{part.name} {i}"]
            if not load["judged"]:
                tally.fact(load["allowable"] is None, "judged", f"{load['case']}: a margin without a judgement")
                continue
            judged += 1
            printed(tally, model, way, load)
            allowed = load["allowable"]["kn"] * 1000 * factor
            times, what, where = least(model, way)
            same += abs(allowed / times - 1) < CAPACITY
            words = f"{load['case']} ({part.kind}, {way}): {allowed:.1f} by {load['governed_by']}; here {times:.1f} by {what} {where}"
            tally.fact(allowed < times * (1 + CAPACITY), "flatters", words)
    return judged, same


def relate(tally, relations, loads, parts):
    for kind, before, after in relations:
        if before not in parts or after not in parts:
            continue
        if kind == "step":
            stepped(tally, loads, parts, before, after)
            continue
        for i, way in enumerate(parts[before].loads):
            one, other = loads[f"{before} {i}"], loads[f"{after} {i}"]
            if not one["judged"] or not other["judged"]:
                tally.fact(kind != "same" or one["judged"] == other["judged"], kind, f"{before} {after}: only one is judged")
                continue
            a, b = (load["allowable"]["kn"] for load in (one, other))
            holds = {"same": abs(b / a - 1) < SAME + 1e-6 / a, "never": b < a * (1 + NEVER) + 1e-6}[kind]
            words = f"{before} {after} ({parts[before].kind}, {way}): {a} {b} kN by {one['governed_by']}, {other['governed_by']}"
            tally.fact(holds, kind, words)


def stepped(tally, loads, parts, before, after):
    """Whether nothing steps with the direction of a load."""
    for i, way in enumerate(parts[before].loads):
        row = [loads[f"{before} {i}"]] + [loads[f"{after} {SUB_STEPS * i + j}"] for j in range(SUB_STEPS)]
        if not all(load["judged"] for load in row):
            tally.fact(not any(load["judged"] for load in row), "step", f"{before} ({way}): only some are judged")
            continue
        allowed = [load["allowable"]["kn"] for load in row]
        words = f"{before} ({parts[before].kind}, {way}): {allowed} kN by {row[0]['governed_by']}, {row[-1]['governed_by']}"
        tally.fact(not steps(allowed[0], allowed[1:]), "step", words)


def main(program, first, count, planted, dense):
    numbers = range(int(first), int(first) + int(count))
    tally, factor = Tally(), PLANTED if planted else 1.0
    parts = {part.name: part for part in map(Part, numbers)}
    kin = [row for number in numbers if number % 3 == 0 and not dense for row in family(number)]
    related = {part.name: part for _, *pair in kin if None not in pair for part in pair}
    loads, left = {}, {}
    everything = list((parts | related).items())
    for i in range(0, len(everything), LOT):
        with tempfile.TemporaryDirectory() as folder:
            some, made_of = made(program, Path(folder), dict(everything[i : i + LOT]))
        loads, left = loads | some, left | made_of
    notched = [part.name for _, _, part in kin if part and part.name.endswith("notched")]
    everyone = [left[name] for name in [*parts, *notched] if name in left]
    judged, same = judge(tally, everyone, loads, factor, Search if dense else Scan)
    relate(tally, [(kind, a.name, b.name) for kind, a, b in kin if a and b], loads, left)
    tally.fact(judged > 1.5 * len(numbers), "judged", f"only {judged} loads are judged")
    if int(count) > 100:
        print(f"{len(left)} parts made of {len(parts | related)}, {judged} loads judged, the same limit in {same}; {dict(tally.counts)}")
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    flags = [flag in sys.argv for flag in ("--planted", "--dense")]
    sys.exit(main(*[argument for argument in sys.argv[1:] if not argument.startswith("--")], *flags))
