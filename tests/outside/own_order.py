"""An order of bending found by the model of steps.py alone, for a part the program refuses.

Depth first, over all brakes, ways to hold and tools, with sections as wide as fit, in the
middle of the bend and at both its ends. Coarser than the check of an order: steps of 4°.
"""

import math

import brakes
import numpy as np
import shapely
import steps
from brakes import stand
from steps import Step

MILD = 450.0  # MPa: tensile strength with which S235 is bent
EVERY = 4.0  # degrees
OVERBEND = 1.012  # mild steel keeps 0.99 or more where r/t is small
NOTCH, END = 12.0, 6.0
SECTIONS = ("punch", "die", "fingers")


def find(part, shop):
    """The bends in an order that goes, each with its tool; none where there is none."""
    dead, known = set(), {}

    def go_on(made, row):
        if len(row) == len(part.bends):
            return row
        if made in dead:
            return None
        for bend in range(len(part.bends)):
            if bend in made:
                continue
            if (made, bend) not in known:
                known[made, bend] = way(part, bend, made, shop)
            if known[made, bend]:
                found = go_on(made | {bend}, row + [(part.bends[bend].name, known[made, bend])])
                if found:
                    return found
        dead.add(made)
        return None

    return go_on(frozenset(), [])


def way(part, bend, made, shop):
    for hold in part.sides[bend]:
        step = Step(part, bend, made, hold)
        lengths = reach(step)
        for brake in shop:
            for words, v, above, below in options(step, brake, lengths):
                if works(step, above, v) and works(step, below, v):
                    return f"{words}, clamp {hold}"
    return None


def works(step, sets, v):
    """Whether some set of tools that stand on one side of the part does.

    Above and below do not ask for one another, so each is chosen by itself.
    """
    fixed = [t for t in sets[0] if t.name not in SECTIONS]
    if hits(step, fixed, v):
        return False
    for tools in sets:
        if hits(step, [t for t in tools if t.name in SECTIONS], v):
            continue
        lifted = [t for t in tools if t.name != "leaf"]
        if all(steps.escapes(step, lifted, a, v) for a in (0.0, step.bend.angle)):
            return True
    return False


def hits(step, tools, v):
    """Whether the part meets a tool: most do at the end, so that comes first."""
    if not tools:
        return False
    looks = (steps.look(step, tools, step.degrees, v, 1.0, every) for every in (step.degrees, EVERY))
    return any(look.hit for look in looks)


def options(step, brake, lengths):
    """The tools of a brake with which a bend could be made, by its figures.

    Sets that could stand above, and sets that could stand below.
    """
    bend, t = step.bend, step.part.thickness
    degrees = math.degrees(bend.angle) * OVERBEND
    step.degrees = degrees
    if bend.length > brake.length or degrees > brake.most_angle:
        return
    setback = min(math.tan(bend.angle / 2), 1.0) * (bend.radius + t)
    table = brake.table
    if brake.kind != "press":
        held, swung = lengths
        good = t <= brakes.mm(table["max_thickness"]) and bend.radius <= 6 * t
        good = good and held[1] >= brakes.mm(table["min_clamp"])
        if not (good and swung[0] + setback >= brakes.mm(table["min_flange"])):
            return
        spans = [{}]
        if brake.kind == "box-and-pan":
            whole = [{}] if sum(brake.fingers) >= bend.length - brake.gap else []
            spans = whole + [{"fingers": s} for s in places(brake.fingers, bend.length, brake.gap)]
        sets = [stand(step, brake, None, None, span) for span in spans]
        if sets:
            yield brake.name, None, [above for above, _ in sets], [sets[0][1]]
        return
    force = brakes.mm(table.get("force", "1e9 kN"))
    for die in brake.dies:
        v = brakes.mm(die["v"])
        gives, usual = 0.16 * v, brakes.usual_v(t)
        good = 0.6 <= v / usual <= 2.0 and gives / 1.5 - 1e-3 <= bend.radius <= gives * 1.5 + 1e-3
        good = good and 1.48 * MILD * bend.length * t * t / v / 1000 <= force
        least = brakes.mm(die["min_flange"]) if "min_flange" in die else 0.7 * v
        if not (good and min(lengths[0][0], lengths[1][0]) + setback >= least):
            continue
        for punch in brake.punches:
            if degrees > 180 - brakes.mm(punch["angle"]):
                continue
            overs = [{}] + [{"punch": s} for s in places(punch_widths(punch), bend.length, brake.gap)]
            unders = [{}] + [{"die": s} for s in places(punch_widths(die), bend.length, brake.gap)]
            above = [stand(step, brake, v, punch["name"], over)[0] for over in overs]
            below = [stand(step, brake, v, punch["name"], under)[1] for under in unders]
            yield f"{brake.name}, V {v}, {punch['name']}", v, above, below


def punch_widths(tool):
    return [brakes.mm(w) for w in tool.get("lengths", [])]


def places(widths, length, gap):
    """Where sections could stand: the widest set, and those that leave some room."""
    sets = brakes.stacks(widths, length, gap)
    chosen = []
    for room in (0.0, 2.0, 10.0):
        fit = [s for s in sets if s <= length - room + 1e-6]
        if fit and fit[0] not in chosen:
            chosen.append(fit[0])
    for total in chosen:
        slack = length - total
        yield from [(slack * share, slack * share + total) for share in (0.5, 0.0, 1.0)]


def reach(step):
    """Of both sides, the held one first: how far the sheet goes where it is shortest, and halfway."""
    part, bend = step.part, step.bend
    found = []
    for name in ("held", "swung"):
        shapes = [p for f, p in part.faces.items() if step.plates.get(f) == name]
        for i, other in enumerate(part.bends):
            a, b = part.sides[i]
            if i != step.index and i not in step.made and step.plates.get(a) == step.plates.get(b) == name:
                shapes.append(other.strip(0.0))
        whole = shapely.union_all(shapes).buffer(1e-3)
        out = bend.across * (step.side if name == "swung" else -step.side)
        end = min(END, 0.125 * bend.length)
        lengths = []
        for at in np.linspace(end, bend.length - end, 33):
            start = bend.start + bend.along * at + out * bend.allowance / 2
            line = shapely.LineString([start, start + out * 2000])
            cut = whole.intersection(line)
            spans = sorted(sorted(float((np.array(c) - start) @ out) for c in (g.coords[0], g.coords[-1]))
                           for g in getattr(cut, "geoms", [cut]) if not g.is_empty)
            far = 0.0
            for low, high in spans:
                if low > far + NOTCH:
                    break
                far = max(far, high)
            lengths.append(far)
        lengths.sort()
        found.append((lengths[0], lengths[len(lengths) // 2]))
    return found
