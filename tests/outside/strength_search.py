"""The weakest section of a part, looked for much more densely, and then from the weakest known on.

Nothing of how the program looks for it is known here: lines at random and between all corners,
and from the least of them small random steps, ever smaller, as long as one finds less.
"""

import math
import random

import numpy as np

from strength_scan import Scan

CORNERS = 16  # of a face, between all of which lines run
STARTS, TRIES = 6, 90
FIRST, LAST = 2.0, 0.01  # steps, mm


class Search(Scan):
    cuts = 150

    def lines(self, plate, rng):
        yield from super().lines(plate, rng)
        rings = [plate.metal.exterior, *plate.metal.interiors]
        corners = [np.array(c) for ring in rings for c in list(ring.simplify(0.05).coords)[:-1]]
        rng.shuffle(corners)
        for i, one in enumerate(corners[:CORNERS]):
            for other in corners[:i]:
                long = np.linalg.norm(other - one)
                if long > 1:
                    way = (other - one) / long
                    aside = np.array([-way[1], way[0]])
                    for start, end in ((1e-3, 1e-3), (-1e-3, -1e-3), (1e-3, -1e-3), (-1e-3, 1e-3)):
                        step = other + aside * end - one - aside * start
                        yield one + aside * start, step / np.linalg.norm(step), True

    def weakest(self, force):
        found = super().weakest(force)
        for times, chord, slanted in self.starts(force):
            less = self.improved(force, times, chord, slanted)
            if less[0] < found[0]:
                times, chord = less
                ends = [chord.at + chord.way * s for s in (chord.pieces[0][0], chord.pieces[-1][1])]
                found = (times, "section", (chord.face, np.round(ends, 3).tolist(), slanted, chord.bolts))
        return found

    def counts(self, chord, force):
        pivots = self.reactions is not None and self.reactions.of(force)[1]
        return not (self.within(chord) or pivots and chord.bolts)

    def starts(self, force):
        """The weakest sections, each elsewhere."""
        known = []
        for chord, slanted in self.sections():
            at = self.at_chord(chord, force, slanted) if self.counts(chord, force) else None
            if at:
                known.append((at[0], chord, slanted))
        known.sort(key=lambda found: found[0])
        taken = []
        for found in known:
            middle = self.middle(found[1])
            if all(np.linalg.norm(middle - self.middle(other[1])) > 3 or found[2] != other[2] for other in taken):
                taken.append(found)
            if len(taken) == STARTS:
                break
        return taken

    @staticmethod
    def middle(chord):
        return chord.at + chord.way * (chord.pieces[0][0] + chord.pieces[-1][1]) / 2

    def improved(self, force, times, chord, slanted):
        rng = random.Random(self.part.number)
        step, best = FIRST, (times, chord)
        while step > LAST:
            is_less = False
            for _ in range(TRIES // 8):
                near = best[1]
                half = max(1.0, (near.pieces[-1][1] - near.pieces[0][0]) / 2)
                turn = rng.gauss(0, step / half) if slanted else 0.0
                c, s = math.cos(turn), math.sin(turn)
                way = np.array([c * near.way[0] - s * near.way[1], s * near.way[0] + c * near.way[1]])
                # About its middle, or about one of its ends.
                pivot = near.at + near.way * rng.choice([near.pieces[0][0], near.pieces[-1][1], self.middle(near) @ near.way - near.at @ near.way])
                at = pivot + np.array([-way[1], way[0]]) * rng.gauss(0, rng.choice([0.0, step]) or 1e-4)
                for other in self.plates[near.face].chords(at, way):
                    for cut in (other, *other.fillings()):
                        found = self.at_chord(cut, force, slanted) if self.counts(cut, force) else None
                        if found and found[0] < best[0] * (1 - 1e-6):
                            best, is_less = (found[0], cut), True
            if not is_less:
                step /= 2
        return best
