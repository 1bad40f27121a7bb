"""A part between the tools of a brake while one bend is made.

Sections are drawn as the reference says: across towards the operator, up. A beam, finger
or jaw has its origin at the bottom of its front, on the sheet, where the sight line is (one
inside radius beyond where the bend begins: FAA-H-8083-31), rounded for the bend; a bed
below the sheet where the bend begins; a leaf where the bend ends, below the flange it
swings. A punch has its origin at its tip, which rests in the middle of the bend; a die at
the centre of its opening, whose shoulders carry both legs. Ram and bed of a press are set
at the punch's top and the die's foot. Tools are solid along the bend line, over their sections or without end.

What may touch: the clamped side beam, fingers, jaws and bed; the flange its leaf; both legs
punch and die. Of these only what reaches into the tool counts. All else must stay clear.
"""

import math

import numpy as np
import shapely
from bent import convex, moved
from brakes import Tool, usual_v
from shapely.geometry import Polygon

SKIN = 0.08  # mm that what may touch may reach into a tool
CLEAR = 0.02  # mm: what must stay clear touches at less
SURFACE = 0.05  # mm: nearer to the plane on which a side of the sheet lies is on it
NEAR_NOSE = 8.0  # thicknesses round the nose within which the legs may come near
COARSE = 5  # degrees: the bend itself and how near its legs come are looked at in such steps
V_LEGS = 1.5  # usual openings of V beside the punch within which the legs may come near


class Step:
    """One bend of a part, those of a set made before; `hold` is the face that is held."""

    def __init__(self, part, bend, made, hold):
        self.part, self.index, self.bend = part, bend, part.bends[bend]
        self.made = made
        self.flat = {}
        sides = part.across(bend)
        self.side = 1 if hold in sides[0] else -1  # held at −t: the other is at +t
        self.held_faces = sides[0] if self.side == 1 else sides[1]
        self.root = part.sides[bend][0 if self.side == 1 else 1]
        other = part.sides[bend][1 if self.side == 1 else 0]
        self.plates = {self.root: "held", other: "swung"}
        changed = True
        while changed:
            changed = False
            for i, (a, b) in enumerate(part.sides):
                if i == bend or i in made:
                    continue
                for x, y in ((a, b), (b, a)):
                    if x in self.plates and y not in self.plates:
                        self.plates[y], changed = self.plates[x], True

    def angles(self, angle):
        made = [b.angle if i in self.made else 0.0 for i, b in enumerate(self.part.bends)]
        made[self.index] = angle
        return made

    def role(self, piece):
        if piece.bend == self.index:
            return "bend"
        if piece.bend is None:
            return self.plates.get(piece.face, "other")
        a, b = self.part.sides[piece.bend]
        same = piece.bend not in self.made and self.plates.get(a) == self.plates.get(b)
        return self.plates.get(a, "other") if same else "other"

    def is_held(self, piece):
        """Whether a piece hangs together with the side that is held."""
        face = piece.face or self.part.sides[piece.bend][0]
        return face in self.held_faces

    def frame(self, angle, tool, v_opening):
        """Origin, along, across and up of a tool's section."""
        part, bend, seat = self.part, self.bend, tool.seat
        half = bend.allowance / 2
        share = {"clamp": 0.0, "bed": 0.0, "leaf": 1.0}.get(seat, 0.5)
        motion = part.step(self.index, angle, self.side, bend.allowance * share)
        out = np.append(bend.across * self.side, 0.0)
        top = 1.0 if bend.up else -1.0
        inside = 0.0 if bend.up else -part.thickness
        start = np.append(bend.start, 0.0) + out * (bend.allowance * share - half)
        start = start + np.array([0, 0, inside])
        origin = motion[:, :3] @ start + motion[:, 3]
        u = motion[:, :3] @ out
        v = motion[:, :3] @ np.array([0, 0, top])
        if seat == "clamp":
            origin = origin + u * bend.radius
        elif seat in ("bed", "leaf"):
            origin = origin - v * part.thickness
        elif seat == "die":
            origin = origin + v * shoulders(v_opening, part.thickness, bend.rolled(angle), angle)
        return origin + v * tool.lift, np.append(bend.along, 0.0), u, v

    def still(self, skin):
        """All but the bend itself while that is flat: roles, sides, and corners by piece."""
        if skin not in self.flat:
            solids, _ = self.part.solids(self.angles(0.0), self.root, skin=skin)
            solids = [(p, c) for p, c in solids if p.bend != self.index]
            self.flat[skin] = Solids([(self.role(p), p, self.is_held(p), c) for p, c in solids])
        return self.flat[skin]

    def at(self, angle, skin):
        """All but the bend itself when it is made so far."""
        flat = self.still(skin)
        motion = self.part.step(self.index, angle, self.side, self.bend.allowance)
        swung = moved(motion, flat.points)
        return np.where(flat.held_points[:, None], flat.points, swung)

    def itself(self, angle, skin):
        """The bend when it is made so far."""
        return self.part.rolled(self.index, self.angles(angle)[self.index], self.side, skin)

    def seen(self, angle, skin):
        """Role, piece and corners of all."""
        flat, points = self.still(skin), self.at(angle, skin)
        found = [(role, piece, points[i:j]) for (role, piece, _), (i, j) in zip(flat.pieces, flat.places)]
        return found + [("bend", None, corners) for corners in self.itself(angle, skin)]


class Solids:
    """Convex pieces with all their corners in one array."""

    def __init__(self, rows):
        self.pieces = [(role, piece, held) for role, piece, held, _ in rows]
        sizes = [len(corners) for *_, corners in rows]
        ends = np.cumsum(sizes)
        self.places = list(zip(ends - sizes, ends))
        self.starts = ends - sizes
        self.points = np.vstack([corners for *_, corners in rows])
        self.held_points = np.repeat([held for _, _, held, _ in rows], sizes)


def shoulders(v, thickness, radius, angle):
    """Height of the shoulders over the punch's tip: both legs are tangents there."""
    half = angle / 2
    flat = 0.0 if math.isinf(radius) else radius * (1 - 1 / math.cos(half))
    return v / 2 * math.tan(half) - thickness / math.cos(half) + flat


def between(corners, low, high):
    """What of a convex solid lies between two places along the line, as points."""
    x = corners[:, 0]
    inside = corners[(x >= low) & (x <= high)]
    cut = [inside]
    for at in (low, high):
        left, right = corners[x < at], corners[x > at]
        if len(left) and len(right) and math.isfinite(at):
            a = np.repeat(left, len(right), axis=0)
            b = np.tile(right, (len(left), 1))
            share = (at - a[:, 0]) / (b[:, 0] - a[:, 0])
            cut.append(a + (b - a) * share[:, None])
    return np.vstack(cut)


def outline(points):
    return shapely.MultiPoint(points[:, 1:]).convex_hull


def counts(tool, role, shape, thickness):
    """Of a leg that may touch, what must stay clear all the same: nothing near the tool."""
    if tool.seat == "die" or role == "bend":
        return None
    if tool.seat == "punch":
        near = V_LEGS * usual_v(thickness)
    elif (tool.seat == "leaf") == (role == "swung"):
        return None
    else:
        near = NEAR_NOSE * thickness
    far = shape.difference(shapely.box(-near, -near, near, near))
    return None if far.is_empty else far


def beyond(tool, held, angle, v_opening, shape):
    """What of a side of the sheet reaches through the plane on which it lies on the tool.

    Flanges that stand up from a sheet that lies on a bed, or down from one under a beam,
    cannot get there. None where this side does not lie on the tool.
    """
    if not tool.touches or tool.seat == "punch":
        return shape
    if tool.seat == "die":
        sign = -1.0 if held else 1.0
        at, away = (sign * v_opening / 2, 0.0), (sign * math.sin(angle / 2), -math.cos(angle / 2))
    elif held == (tool.seat == "leaf"):
        return shape
    else:
        at, away = (0.0, 0.0), (0.0, 1.0 if tool.seat == "clamp" else -1.0)
    far = 1e4
    along = (-away[1], away[0])
    at = (at[0] + away[0] * SURFACE, at[1] + away[1] * SURFACE)
    half = [(at[0] + along[0] * a + away[0] * b, at[1] + along[1] * a + away[1] * b)
            for a, b in ((-far, 0), (far, 0), (far, far), (-far, far))]
    return shape.intersection(Polygon(half))


class Result:
    def __init__(self):
        self.hit, self.least, self.where = None, math.inf, ""


def look(step, tools, last, v_opening, enough, every=1.0):
    """The part between the tools from flat to the last angle, degrees."""
    result = Result()
    count = max(1, math.ceil(last / every))
    still = step.still(0.0)
    for k in range(count + 1):
        degrees = min(last, k * every)
        angle = math.radians(degrees)
        full, thin = step.at(angle, 0.0), step.at(angle, SKIN)
        coarse = k % COARSE == 0 or k == count
        itself = step.itself(angle, SKIN) if coarse else []
        for tool in tools:
            origin, along, u, v = step.frame(angle, tool, v_opening)
            axes = np.column_stack([along, u, v])
            seen = (full - origin) @ axes
            rows = []
            for n in nearby(tool, seen, still.starts, enough):
                (role, piece, held), (i, j) = still.pieces[n], still.places[n]
                contact = tool.touches and role != "other"
                corners = (thin[i:j] - origin) @ axes if contact else seen[i:j]
                rows.append((role, piece.face or step.part.bends[piece.bend].name, held, contact, corners))
            if tool.touches and tool.seat != "clamp":
                rows += [("bend", step.bend.name, True, True, (c - origin) @ axes) for c in itself]
            if not rows:
                continue
            # How far each is without regard to where the tool ends: it can only be farther.
            at_least = shapely.distance(outlines([row[-1] for row in rows]), tool.shape)
            for (role, name, held, contact, corners), bound in zip(rows, at_least):
                if contact and bound > 0 and not coarse or not contact and bound >= min(result.least, enough):
                    continue
                through = lambda shape: beyond(tool, held, angle, v_opening, shape)
                apart = apart_from(tool, role, corners, contact, step.part.thickness, min(result.least, enough), through)
                words = f"{name} ({role}) at {tool.name}, {degrees:.0f}°"
                if apart < (0.0 if contact else CLEAR) + 1e-12:
                    result.hit = words
                    return result
                if apart < result.least:
                    result.least, result.where = apart, words
    return result


def outlines(solids):
    """The outlines of convex solids across the bend line."""
    places = np.repeat(np.arange(len(solids)), [len(c) for c in solids])
    return shapely.convex_hull(shapely.multipoints(np.vstack(solids)[:, 1:], indices=places))


def nearby(tool, seen, starts, enough):
    """The pieces whose boxes come near a tool's."""
    low, high = np.minimum.reduceat(seen, starts), np.maximum.reduceat(seen, starts)
    du = np.maximum(0.0, np.maximum(tool.box[0] - high[:, 1], low[:, 1] - tool.box[2]))
    dv = np.maximum(0.0, np.maximum(tool.box[1] - high[:, 2], low[:, 2] - tool.box[3]))
    dx = 0.0
    if tool.span:
        dx = np.maximum(0.0, np.maximum(tool.span[0] - high[:, 0], low[:, 0] - tool.span[1]))
    return np.flatnonzero(du**2 + dv**2 + dx**2 < enough**2)


def apart_from(tool, role, corners, contact, thickness, enough, through):
    """From a piece to a tool, mm; -1 where what may touch reaches in."""
    x0, x1 = corners[:, 0].min(), corners[:, 0].max()
    if contact:
        points = between(corners, *tool.span) if tool.span else corners
        if len(points) < 3:
            return math.inf
        shape = outline(points)
        if shape.intersects(tool.shape):
            return -1.0
        shape = counts(tool, role, shape, thickness)
        return math.inf if shape is None else shape.distance(tool.shape)
    if not tool.span or (x0 >= tool.span[0] and x1 <= tool.span[1]):
        return distance(through(outline(corners)), tool)
    # The nearest point may be beside the span: its distance along the line counts too.
    def across(wider):
        points = between(corners, tool.span[0] - wider, tool.span[1] + wider)
        return distance(through(outline(points)), tool) if len(points) else math.inf

    least = enough
    if across(least) >= least:
        return math.inf
    for wider in np.arange(max(0.0, tool.span[0] - x1, x0 - tool.span[1]), enough, 0.2):
        if wider >= least:
            break
        least = min(least, math.hypot(wider, across(wider)))
    return least


def distance(shape, tool):
    return math.inf if shape.is_empty else shape.distance(tool.shape)


def escapes(step, tools, angle, v_opening):
    """Whether the part can be moved off tools in the plane across the bend line.

    Exact for all movements without turning: the places the part cannot be moved to are the
    Minkowski sums of convex pieces; where it is must hang together with far away.
    """
    for left in (tools, None):
        sets = [left] if left is not None else slid(tools)
        for chosen in sets:
            if free(step, chosen, angle, v_opening):
                return True
        if all(t.span is None for t in tools):
            return False
    return False


def slid(tools):
    """The same with the sections pushed out along the line, either way."""
    for k in (0, 1):
        yield [t if t.span is None else Tool(t.name, t.shape, t.seat, t.touches, t.lift,
               (-1e5, t.span[1]) if k == 0 else (t.span[0], 1e5)) for t in tools]


def free(step, tools, angle, v_opening):
    solids = step.seen(angle, 2 * SKIN)
    blocked = []
    sliding = [t for t in tools if t.span and (t.span[0] < -1e4 or t.span[1] > 1e4)]
    for tool in tools:
        origin, along, u, v = step.frame(angle, tool, v_opening)
        axes = np.column_stack([along, u, v])
        thinner = tool.shape.buffer(-SKIN, join_style="mitre")
        parts = [c for p in getattr(thinner, "geoms", [thinner]) for c in convex(p)]
        for role, _, corners in solids:
            if role == "bend":
                continue
            seen = (corners - origin) @ axes
            points = between(seen, *tool.span) if tool.span else seen
            if len(points) < 3:
                continue
            shape = outline(points)
            if shape.geom_type != "Polygon":
                continue
            if tool in sliding:
                if shape.intersects(thinner):
                    return False
                continue
            theirs = np.array(shape.exterior.coords[:-1])
            for ours in parts:
                sums = (ours[:, None, :] - theirs[None, :, :]).reshape(-1, 2)
                blocked.append(shapely.MultiPoint(sums).convex_hull)
    if not blocked:
        return True
    block = shapely.union_all(blocked).buffer(-1e-3)
    box = shapely.box(*block.buffer(10).bounds)
    open_ = box.difference(block)
    home = shapely.Point(0, 0)
    for place in getattr(open_, "geoms", [open_]):
        if place.distance(home) < 0.2 and place.boundary.intersects(box.boundary):
            return True
    return False
