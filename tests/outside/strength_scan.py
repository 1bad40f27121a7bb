"""Everything the model looks at in a part: sections, the loaded hole, bolts, the seam."""

import math
import random

import numpy as np
from shapely.geometry import LineString, Point

import strength_limits as limits
from strength_model import Model

class Scan(Model):
    cuts = 60  # at random in each face, and as many across

    def bend_section(self, k, share):
        """Where a bend is cut, and the axes there: about, towards the load, along, up, flat line."""
        part = self.part
        bend, (centre, x, y, z, width) = part.bends[k], part.curves[k]
        turned = bend.angle * share
        c, s = math.cos(turned), math.sin(turned) * bend.side
        forward, up = c * y + s * z, c * z - s * y
        about = centre - bend.side * (part.radius + part.thick / 2) * up
        if not dict(part.path())[k]:
            forward = -forward
        start, end = part.faces[bend.on].edge(bend.edge)
        middle, along = (start + end) / 2, (start - end) / width
        out = np.array([-along[1], along[0]])
        spot, turn = part.places[bend.on]
        at = spot + turn @ (middle + out * (share * part.allowance(bend) - part.setback(bend.angle)))
        return about, forward, x, up, at, turn @ along, width

    def at_bend(self, k, share, force):
        about, forward, along, up, at, way, width = self.bend_section(k, share)
        place, radius = self.discs()
        off = place - at
        s, far = off @ way, abs(off @ np.array([-way[1], way[0]]))
        counted = min(width / 2, s + radius + far) - max(-width / 2, s - radius - far)
        whole = self.resultants(force, about, forward, along, up)
        elastic, plastic = width**2 / 6, width**2 / 4
        caps = self.capacities(width, width, elastic, plastic, max(counted, 0.0), whole[0] < 0)
        return self.times(whole, caps, False), whole, caps

    def forward(self, face):
        """Away from the support in a face: square to the bend or seam on the way, or as the load pulls."""
        part, path = self.part, dict(self.part.path())
        if face == part.loaded():
            return part.pull()
        for i, bend in enumerate(part.bends):
            if i in path and bend.on == face:
                start, end = part.faces[face].edge(bend.edge)
                along = (end - start) / np.linalg.norm(end - start)
                return np.array([-along[1], along[0]])
        return np.array([0.0, 1.0])

    def lines(self, plate, rng):
        """Where a face is cut: at random, across, through its corners and holes; whether at a slant."""
        x0, y0, x1, y1 = plate.metal.bounds
        pull, bent = self.forward(plate.face), self.part.kind == "hook"
        square = np.array([pull[1], -pull[0]])
        rings = [plate.metal.exterior, *plate.metal.interiors]
        corners = np.array([c for ring in rings for c in list(ring.coords)[:: max(1, len(ring.coords) // 24)]])
        for _ in range(self.cuts):
            turn = rng.uniform(0, math.pi)
            for way, slanted in ((np.array([math.cos(turn), math.sin(turn)]), True), (square, bent)):
                yield np.array([rng.uniform(x0, x1), rng.uniform(y0, y1)]), way, slanted
        for corner in corners:
            for off in (-1e-3, 1e-3):
                yield corner + pull * off, square, bent
            other = corners[rng.randrange(len(corners))]
            if np.linalg.norm(other - corner) > 1:
                way = (other - corner) / np.linalg.norm(other - corner)
                yield corner + 1e-4 * np.array([-way[1], way[0]]), way, True
        for middle, _ in plate.filled:
            for off in (-1e-3, 1e-3):
                yield middle + pull * off, square, bent

    def sections(self):
        """The chords of all faces, once for all loads."""
        if not hasattr(self, "_chords"):
            rng = random.Random(self.part.number)
            self._chords = []
            for plate in self.plates.values():
                for at, way, slanted in self.lines(plate, rng):
                    for chord in plate.chords(at, way):
                        # Nothing is allowed more for an opening.
                        self._chords += [(c, slanted) for c in (chord, *chord.fillings())]
        return self._chords

    def within(self, chord):
        """Whether it runs through what is loaded, where nothing has spread yet."""
        part = self.part
        if chord.face != part.loaded():
            return False
        radius = part.foot / 2 if part.above is not None else part.hole / 2
        off = np.array(part.spot()) - chord.at
        return abs(off @ chord.normal) < radius and chord.pieces[0][0] - 1 < off @ chord.way < chord.pieces[-1][1] + 1

    def weakest(self, force):
        """(times, what, where) of the weakest section."""
        found = (math.inf, None, None)
        pivots = self.reactions is not None and self.reactions.of(force)[1]
        for chord, slanted in self.sections():
            if self.within(chord) or pivots and chord.bolts:
                continue
            at = self.at_chord(chord, force, slanted)
            if at and at[0] < found[0]:
                ends = [chord.at + chord.way * s for s in (chord.pieces[0][0], chord.pieces[-1][1])]
                found = (at[0], "section", (chord.face, np.round(ends, 2).tolist(), slanted, chord.bolts))
        for k, _ in self.part.path():
            for share in np.linspace(0, 1, 9):
                times = self.at_bend(k, share, force)[0]
                if times < found[0]:
                    found = (times, "bend", (k, share))
        return found

    # At holes and supports

    def clear(self, face, at, way):
        """From a point to the end of the metal along a direction, and whether that is a support."""
        plate = self.plates[face]
        ray = LineString([at, at + way * 999])
        met = ray.intersection(plate.metal.boundary)
        places = [np.array(g.coords[0]) for g in getattr(met, "geoms", [met])]
        far = min(((p - at) @ way for p in places), default=math.inf)
        end = Point(at + way * far)
        held = len(plate.holds) > 1 and LineString([plate.holds[0], plate.holds[-1]]).distance(end) < 1e-2
        return far, held

    def eye(self, force):
        """Limits of the loaded hole straight along the load."""
        part = self.part
        if part.above is not None:
            return
        frame, thick = part.frames[part.loaded()], part.thick
        flat = np.array([force @ frame.x, force @ frame.y])
        share = np.linalg.norm(flat)
        if share < 1e-9:
            return
        way, at = flat / share, np.array(part.spot())
        side = np.array([-way[1], way[0]])
        far, held = self.clear(part.loaded(), at, way)
        beside = [self.clear(part.loaded(), at, s)[0] for s in (side, -side)]
        if part.is_eye:
            yield limits.bearing_of_pin(part.pin, thick) / share, "bearing of the pin"
            if not held:
                yield limits.eye_tension(min(beside) - part.hole / 2, thick) / share, "net section at the hole"
                yield limits.eye_shear(far - part.hole / 2, part.pin, thick) / share, "shear beyond the hole"
            return
        yield limits.bearing_of_bolt(part.pin, thick) / share, "bearing of the bolt"
        if not held:
            yield limits.tear_out(far - part.hole / 2, thick) / share, "tear-out"
            gross, net = 2 * far * thick, 2 * (far - part.hole / 2 - 1) * thick
            yield min(0.6 * limits.FU * net, 0.6 * limits.FY * gross) / limits.RUPTURE / share, "block shear"

    def bolts(self, force):
        part, group = self.part, self.reactions
        if group is None:
            return
        own, pivots = group.of(force)
        for place, push in zip(group.places, own):
            across = np.linalg.norm(push[:2])
            pull = -group.lifts * push[2] if not pivots else 0.0
            yield limits.bolt_alone(part.bolt, across, pull), "bolt"
            if across > 1e-9:
                yield limits.bearing_of_bolt(part.bolt, part.thick) / across, "bearing at a bolt"
                far, held = self.clear(part.held[0], place, push[:2] / across)
                if not held:
                    yield limits.tear_out(far - part.clear / 2, part.thick) / across, "tear-out at a bolt"

    def weld(self, force):
        """Two fillets as lines, by the elastic method: without and with the 1.5 of J2-5."""
        part = self.part
        face, edge = part.held
        if not edge:
            return None
        start, end = part.seam()
        width, thick, frame = np.linalg.norm(end - start), part.thick, part.frames[face]
        line = (end - start) / width
        inward = np.array([-line[1], line[0]])
        about = frame.point((start + end) / 2, -thick / 2)
        axes = [frame.x * v[0] + frame.y * v[1] for v in (inward, line)]
        n, v, q, bend, lift, twist = self.resultants(force, about, axes[0], axes[1], frame.z)
        length, edgeways, out = 2 * width, width**3 / 6, 2 * width * thick**2 / 4
        most = 0.0
        for at in (-width / 2, width / 2):
            for off in (-thick / 2, thick / 2):
                stress = [
                    n / length - bend * at / edgeways + lift * off / out,
                    v / length + twist * off / (edgeways + out),
                    q / length - twist * at / (edgeways + out),
                ]
                most = max(most, np.linalg.norm(stress))
        return limits.fillet(part.leg) / most
