"""The load path of a part by equilibrium: resultants, shares and capacities of sections."""

import math

import numpy as np

import strength_limits as limits
from strength_cuts import Plate, cones, merged, plastic, properties, subtract


class Reactions:
    """What each bolt of a group takes of a force, by the elastic method, at the seating face."""

    def __init__(self, part):
        holder = part.held[0]
        self.frame = part.frames[holder]
        self.places = np.array(part.faces[holder].bolts, float)
        half = part.thick / 2
        load = self.frame.seen(part.load_point())
        above = load[2] + half  # from mid-plane
        self.seat = -part.thick if above > 1e-9 else 0.0 if above < -1e-9 else -half
        self.lifts = -1.0 if above < -1e-9 else 1.0
        self.middle = self.places.mean(axis=0)
        self.arm = load - np.array([*self.middle, self.seat])

    def of(self, force):
        """Forces of the bolts on the part in the axes of its face; `None` where one line pivots."""
        f = np.array([force @ self.frame.x, force @ self.frame.y, force @ self.frame.z])
        moment = np.cross(self.arm, f)
        offs = self.places - self.middle
        count, spread = len(offs), (offs**2).sum()
        twist = moment[2] / spread if spread > 1e-9 else 0.0
        across = -np.array([f[0] / count - twist * offs[:, 1], f[1] / count + twist * offs[:, 0]]).T
        # Reactions along z: r = a + b x + c y in balance with the load.
        pivots = False
        along = np.full(count, -f[2] / count)
        inertia = offs.T @ offs
        values, axes = np.linalg.eigh(inertia)
        # Σ z y = -Mx, Σ -z x = -My of the load, about the middle.
        wanted = np.array([moment[1], -moment[0]])
        for value, axis in zip(values, axes.T):
            need = wanted @ axis
            if abs(need) < 1e-9:
                continue
            if value < 1e-6:
                pivots = True
                continue
            along += need / value * (offs @ axis)
        return np.column_stack([across, along]), pivots


class Model:
    def __init__(self, part):
        self.part = part
        self.reactions = Reactions(part) if part.held[1] is None else None
        faces = [part.loaded()]
        for i, forward in part.path():
            faces.append(part.bends[i].on if forward else part.bends[i].to)
        self.plates = {face: Plate(part, face) for face in faces}

    def length(self):
        """Of the path in the flat, from the load to the middle of what holds."""
        part = self.part
        holder, edge = part.held
        end = np.mean(part.seam() if edge else part.faces[holder].bolts, axis=0)
        return np.linalg.norm(part.flat(part.loaded(), part.spot()) - part.flat(holder, end))

    def resultants(self, force, about, normal, along, up, bolts=()):
        """N, V in plane, V across, M in plane, M out of plane, T of what is on the load's side."""
        part = self.part
        total, moment = force.copy(), np.cross(part.load_point() - about, force)
        if len(bolts):
            own, _ = self.reactions.of(force)
            frame = self.reactions.frame
            for i in bolts:
                push = frame.x * own[i][0] + frame.y * own[i][1] + frame.z * own[i][2]
                place = frame.point(self.reactions.places[i], self.reactions.seat)
                total = total + push
                moment = moment + np.cross(place - about, push)
        return np.array([total @ normal, total @ along, total @ up, moment @ up, moment @ along, moment @ normal])

    def discs(self):
        """Where the load comes from in the flat, and how wide."""
        part = self.part
        radius = part.foot / 2 if part.above is not None else part.hole / 2
        return part.flat(part.loaded(), part.spot()), radius

    def spread(self, face, chord):
        """Stretches of a section to which the load and the bolts spread, from either side."""
        part = self.part
        spot, turn = part.places[face]
        at, way, normal = spot + turn @ chord.at, turn @ chord.way, turn @ chord.normal
        place, radius = self.discs()
        holder, edge = part.held
        drawn = part.faces[holder]
        end = part.flat(holder, np.mean(part.seam() if edge else drawn.bolts, axis=0))
        axis = (end - place) / max(np.linalg.norm(end - place), 1e-9)
        near = cones(place, radius, axis, at, way)
        if part.kind in ("hook", "wing"):
            # The path turns: the nearest metal carries the load that spreads past a section.
            low, high = chord.pieces[0][0], chord.pieces[-1][1]
            for a, b in list(near):
                middle = min(max((a + b) / 2, low), high)
                near.append((middle - (b - a) / 2, middle + (b - a) / 2))
            near = merged(near)
        far = []
        if chord.bolts or face == holder and not edge:
            for i, bolt in enumerate(drawn.bolts):
                s = (part.flat(holder, bolt) - at) @ way
                reach = self.heel(np.array(bolt))
                (near if i in chord.bolts else far).append((s - reach, s + reach))
        return near, far or [(-1e9, 1e9)]

    def heel(self, bolt):
        """From a bolt to where the middles of the plates meet, or to the load: no more bends beside it."""
        part = self.part
        holder = part.held[0]
        if part.loaded() == holder:
            return np.linalg.norm(bolt - np.array(part.spot()))
        bend = part.bends[part.path()[-1][0]]
        half = min(bend.angle, math.pi / 2) / 2
        before = part.setback(bend.angle) - (part.radius + part.thick / 2) * math.tan(half)
        if bend.to == holder:
            return bolt[1] - before
        start, end = part.faces[holder].edge(bend.edge)
        along = (end - start) / np.linalg.norm(end - start)
        return (bolt - start) @ np.array([-along[1], along[0]]) - before

    def capacities(self, gross, net, elastic, plastic_, counted, pushed):
        thick, length = self.part.thick, self.length()
        wide = self.discs()[1] * 2 + 2 * math.tan(math.pi / 6) * length
        normal = limits.compression(min(gross, wide), thick, length) if pushed else limits.tension(gross, thick)
        sheared = limits.shear(gross, thick)
        edgeways = limits.in_plane(plastic_ * thick, elastic * thick, gross, thick, length)
        return np.array([normal, sheared, sheared, edgeways, limits.out_of_plane(counted, thick), limits.torsion(net, thick)])

    def at_chord(self, chord, force, is_slanted):
        """(times, forces of the whole, ligament, its share, its capacities) of the worst ligament."""
        return min(self.ligaments(chord, force, is_slanted), key=lambda found: found[0], default=None)

    def ligaments(self, chord, force, is_slanted):
        """The same of each."""
        part, plate = self.part, self.plates[chord.face]
        frame, thick = part.frames[chord.face], part.thick
        # At a slant that parts the whole load all ligaments count: how far a load spreads the
        # sections across look at.
        spreads = () if is_slanted and len(chord.pieces) > 1 and not chord.bolts else self.spread(chord.face, chord)
        holes = plate.deductions(chord)
        # Metal beside an opening to which the load does not spread carries nothing.
        kept = [p for p in chord.pieces if len(chord.pieces) == 1 or self.counted([tuple(p)], spreads)]
        cuts = [subtract([tuple(p)], holes) for p in kept]
        cuts, kept = zip(*[(c, k) for c, k in zip(cuts, kept) if c]) if any(cuts) else ((), ())
        if not cuts:
            return
        everything = [s for c in cuts for s in c]
        _, centre, _ = properties(everything)
        up = frame.z
        normal, along = (frame.x * v[0] + frame.y * v[1] for v in (chord.normal, chord.way))
        about = frame.point(chord.at + chord.way * centre, -thick / 2)
        whole = self.resultants(force, about, normal, along, up, chord.bolts)
        shares = self.share(chord, cuts, whole, spreads, is_slanted)
        for piece, cut, share in zip(kept, cuts, shares):
            gross = piece[1] - piece[0]
            net, middle, inertia = properties(cut)
            far = max(piece[1] - middle, middle - piece[0])
            counted = sum(self.counted(cut, spreads))
            caps = self.capacities(gross, net, inertia / far, plastic(cut), counted, share[0] < 0)
            yield self.times(share, caps, is_slanted), whole, piece, share, caps

    @staticmethod
    def counted(cut, spreads):
        spans = cut
        for stretches in spreads:
            spans = merged([(max(a, c), min(b, d)) for a, b in spans for c, d in stretches if min(b, d) - max(a, c) > 1e-9])
        return [b - a for a, b in spans]

    @staticmethod
    def times(share, caps, is_slanted):
        used = np.array([abs(f) / c if abs(f) > 1e-9 and c > 0 else (0.0 if abs(f) <= 1e-9 else 1e9) for f, c in zip(share, caps)])
        pulled, sideways = used[0], math.hypot(used[1], used[2]) + used[5]
        bent = used[3] + used[4]
        return limits.slanted(bent, pulled, sideways) if is_slanted else limits.straight(pulled + bent, sideways)

    def share(self, chord, cuts, whole, spreads, is_slanted):
        """An open frame: ligaments as stiff as they are, bent over the length of the opening."""
        if len(cuts) == 1:
            return [whole]
        n, v, q, m, lift, twist = whole
        hand, thick = chord.hand, self.part.thick
        low, high = chord.opening
        # At a slant the ligaments do not run along its normal: plane sections then, no frame.
        length, past = (1e-3, 0.0) if is_slanted else (high - low, (low + high) / 2)
        props = [properties(c) for c in cuts]
        areas = np.array([p[0] for p in props])
        arms = np.array([p[1] for p in props])
        own = np.array([p[2] for p in props])
        arms = arms - areas @ arms / areas.sum()
        second = own.sum() + areas @ arms**2
        m = m + hand * past * v
        g = limits.E / 2.6
        flexible = length**3 / (12 * limits.E * own) + 1.2 * length / (g * areas)
        stiff = 1 / flexible
        spread_sum = areas @ arms**2
        by_lift = 12 * limits.E * (thick**2 / 12) * spread_sum / length**3
        by_twist = g * areas.sum() * thick**2 / 3 / length
        couple = by_lift / (by_lift + by_twist)
        counted = np.array([sum(self.counted(c, spreads)) for c in cuts])
        shares = []
        for i in range(len(cuts)):
            vi = v * stiff[i] / stiff.sum()
            li = -hand * couple * twist * arms[i] * areas[i] / spread_sum
            shares.append(np.array([
                n * areas[i] / areas.sum() + hand * m * arms[i] * areas[i] / second,
                vi,
                q * areas[i] / areas.sum() + li,
                abs(m * own[i] / second) + abs(past * vi),
                abs(lift) * counted[i] / max(counted.sum(), 1e-9) + abs(past * li),
                (1 - couple) * twist * areas[i] / areas.sum(),
            ]))
        return shares
