"""Centre lines of tubes in space, laid out anew: what is cut along them, and what is left in them."""

import math

import numpy as np
import shapely


def unit(v):
    return v / np.linalg.norm(v)


class CentreLine:
    """Straight legs by points, their corners bent to a radius."""

    def __init__(self, points, bend):
        self.points, self.bend = [np.array(p, float) for p in points], bend
        self.parts, at = [], self.points[0]
        for before, corner, after in zip(self.points, self.points[1:], self.points[2:]):
            u, v = unit(corner - before), unit(after - corner)
            half = math.acos(np.clip(u @ v, -1, 1)) / 2
            back = bend * math.tan(half)
            start, end = corner - u * back, corner + v * back
            centre = corner + unit(v - u) * bend / math.cos(half)
            self.parts += [("line", at, start), ("arc", centre, unit(start - centre), u, 2 * half, start, end)]
            at = end
        self.parts.append(("line", at, self.points[-1]))

    def distances(self, places):
        best = np.full(len(places), np.inf)
        for part in self.parts:
            if part[0] == "line":
                _, a, b = part
                way = b - a
                share = np.clip((places - a) @ way / (way @ way), 0, 1)
                near = np.linalg.norm(places - a - share[:, None] * way, axis=1)
            else:
                _, centre, out, along, angle, start, end = part
                x, y = (places - centre) @ out, (places - centre) @ along
                z = (places - centre) @ np.cross(out, along)
                turned = np.arctan2(y, x) % (2 * math.pi)
                on = np.hypot(np.hypot(x, y) - self.bend, z)
                ends = np.minimum(*(np.linalg.norm(places - e, axis=1) for e in (start, end)))
                near = np.where(turned <= angle, on, ends)
            best = np.minimum(best, near)
        return best

    def beside(self, cut, depths, radius):
        """How far outside a tube the straight edge through the sheet is at its nearest, mm: at the
        place of `cut` where that is least, and where it is most."""
        places = np.array([(x, y, z) for x, y in cut for z in depths])
        off = self.distances(places).reshape(len(cut), -1).min(axis=1) - radius
        return off.min(), off.max()

    def inside(self, metal, count, depths, radius):
        """How deep metal lies in a tube, mm, less than 0 where it does not: of `count` by `count`
        places all over a plate at each depth."""
        low, high = np.array(metal.bounds[:2]), np.array(metal.bounds[2:])
        grid = np.stack(np.meshgrid(*np.linspace(low, high, count).T), -1).reshape(-1, 2)
        grid = grid[shapely.contains_xy(metal, grid[:, 0], grid[:, 1])]
        return [radius - self.distances(np.column_stack([grid, np.full(len(grid), z)])).min() for z in depths]
