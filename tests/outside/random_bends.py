"""Random bent parts as recipes: trees of flanges, chains, boxes, tapered flanges.

Part N is the same at every run. Each comes with what a model of its own needs to know:
which faces each bend joins, and how large each face is drawn.
"""

import random

RADII = {1.0: [1.0, 1.5], 1.5: [1.8, 2.0, 2.5], 2.0: [2.0, 2.5, 3.0], 3.0: [3.0, 4.0, 4.5], 4.0: [4.0, 5.1, 6.0], 5.0: [5.1, 6.5]}
ANGLES = [90, 90, 90, 90, 90, 90, 30, 45, 60, 75, 105, 120, 135]
HEIGHTS = [15, 18, 20, 22, 25, 30, 35, 40, 45, 60, 80, 100]


class Drawn:
    """A recipe under way."""

    def __init__(self, random_, number):
        self.r, self.number = random_, number
        self.thickness = random_.choice(list(RADII))
        self.radius = random_.choice(RADII[self.thickness])
        self.faces, self.bends, self.areas, self.tree = [], [], {}, {}

    def face(self, name, corners, edges, carried):
        """A polygon; `edges` names the edge that starts at each of its corners."""
        words = []
        for (x, y), edge in zip(corners, edges):
            at = f'["{x:.2f} mm", "{y:.2f} mm"]'
            words.append(f'{{ at = {at}, edge = "{edge}" }}' if edge else at)
        self.faces.append(f'[face.{name}]\nblank = [ {{ add = "polygon", corners = [ {", ".join(words)} ] }} ]\n')
        pairs = zip(corners, corners[1:] + corners[:1])
        self.areas[name] = abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2
        return carried

    def bend(self, name, on, to, angle, up, **more):
        rows = [f'[bend.{name}]', f'on = "{on}"', f'to = "{to}"', f'angle = "{angle} deg"']
        rows += [f'radius = "{self.radius} mm"', f'side = "{"up" if up else "down"}"', 'relief = "round"']
        rows += [f'{key} = "{value}"' for key, value in more.items()]
        self.bends.append("\n".join(rows) + "\n")
        self.tree[name] = (on.split(".")[0], to)

    def flange(self, on, edge, name, wide, high, angle, up, taper=0.0, **more):
        half, top = wide / 2, wide / 2 - taper
        self.face(name, [(-half, 0), (half, 0), (top, high), (-top, high)], [None, None, "top", None], True)
        self.bend(name, f"{on}.{edge}", name, angle, up, **more)

    def recipe(self):
        head = 'about = "Random part"\n[inputs]\nq = { kind = "length", default = "1 mm", about = "nothing" }\n'
        return head + "".join(self.faces) + "".join(self.bends)


def base(part, x, y):
    corners = [(-x / 2, -y / 2), (x / 2, -y / 2), (x / 2, y / 2), (-x / 2, y / 2)]
    part.face("base", corners, ["front", "right", "back", "left"], False)


def tree(part):
    r = part.r
    x, y = r.choice([80, 120, 160, 220]), r.choice([60, 80, 120, 160])
    base(part, x, y)
    edges = r.sample(["front", "right", "back", "left"], r.choice([1, 2, 2, 3, 4]))
    for edge in edges:
        full = x if edge in ("front", "back") else y
        share = r.choice([1.0, 1.0, 0.8, 0.6])
        wide, more = full * share, {}
        if share < 1 and r.random() < 0.5:
            more["offset"] = f"{round((full - wide) / 2 * r.choice([-1, 1]), 2)} mm"
        if share == 1:
            more = r.choice([{}, {"corner": "closed", "gap": "0.5 mm"}, {"corner": "mitre", "gap": "0.5 mm"}])
        up = r.random() < 0.8
        high = r.choice(HEIGHTS)
        part.flange("base", edge, edge, wide, high, r.choice(ANGLES), up, r.choice([0, 0, 0, wide / 4]), **more)
        if r.random() < 0.3 and high >= 25:
            inset = r.choice([0, 4 * part.thickness])
            lip = edge + "_lip"
            # The lip is as wide as the free edge, which a taper may have shortened.
            drawn = part.faces[-1]
            top = 2 * abs(float(drawn.split("edge = \"top\"")[0].rsplit('at = ["', 1)[1].split(" ")[0]))
            part.flange(edge, "top", lip, max(12.0, top - inset), r.choice([15, 18, 20, 25]), 90, r.random() < 0.6)


def chain(part):
    r = part.r
    wide = r.choice([40, 60, 100, 180])
    first = r.choice([30, 50, 80, 120])
    part.face("f0", [(-wide / 2, 0), (wide / 2, 0), (wide / 2, first), (-wide / 2, first)], [None, None, "top", None], False)
    for i in range(1, r.choice([2, 3, 3, 4, 5])):
        high = r.choice([20, 25, 30, 40, 50, 60, 80])
        part.flange(f"f{i - 1}", "top", f"f{i}", wide, high, r.choice(ANGLES), r.random() < 0.65)


def box(part):
    r = part.r
    x, y, high = r.choice([90, 140, 200]), r.choice([70, 110, 160]), r.choice([15, 18, 22, 26, 30, 40, 55])
    base(part, x, y)
    corner = r.choice([{}, {"corner": "closed", "gap": "0.5 mm"}, {"corner": "overlap", "gap": "0.5 mm"}])
    for edge in ("front", "right", "back", "left"):
        wide = x if edge in ("front", "back") else y
        more = corner if corner.get("corner") != "overlap" or edge in ("front", "back") else {}
        part.flange("base", edge, edge, wide, high, 90, True, **more)


def drawn(number):
    """Part N."""
    r = random.Random(f"bent part {number}")
    part = Drawn(r, number)
    r.choice([tree, tree, tree, chain, chain, box])(part)
    return part


def job(part, shop):
    """The text of its job; without a shop where that is None."""
    head = f'shop = "{shop}"\n' if shop else ""
    return (
        f'process = "waterjet"\n{head}[[sheet]]\nname = "s"\nmaterial = "S235"\nthickness = "{part.thickness} mm"\n'
        f'stock = [ {{ size = ["2000 mm", "2000 mm"] }} ]\n[[part]]\nrecipe = "r"\nname = "p"\nsheet = "s"\n'
    )
