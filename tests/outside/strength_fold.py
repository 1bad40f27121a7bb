"""Random parts as they are folded, and as a job asks for them."""

import math

import numpy as np
from shapely.affinity import rotate
from shapely.geometry import LineString, Point, Polygon, box

from strength_parts import Drawn, pattern


class Frame:
    """A drawing in space: where its origin is, and its axes."""

    def __init__(self, origin, x, y, z):
        self.origin, self.x, self.y, self.z = origin, x, y, z

    def point(self, at, height):
        return self.origin + self.x * at[0] + self.y * at[1] + self.z * height

    def seen(self, place):
        off = place - self.origin
        return np.array([off @ self.x, off @ self.y, off @ self.z])


class Part(Drawn):
    """A part in space. Its flat begins at the origin of its first face."""

    def __init__(self, number, **fixed):
        super().__init__(number, **fixed)
        self.fold()

    def fold(self):
        t = self.thick
        self.frames = {0: Frame(np.zeros(3), *np.eye(3))}
        self.places = {0: (np.zeros(2), np.eye(2))}
        self.curves = []
        for bend in self.bends:
            frame, (spot, turn) = self.frames[bend.on], self.places[bend.on]
            start, end = self.faces[bend.on].edge(bend.edge)
            middle, along = (start + end) / 2, (start - end) / np.linalg.norm(end - start)
            out = np.array([-along[1], along[0]])
            ex, ey = (frame.x * v[0] + frame.y * v[1] for v in (along, out))
            c, s = math.cos(bend.angle), math.sin(bend.angle) * bend.side
            y, z = c * ey + s * frame.z, c * frame.z - s * ey
            outside = -t if bend.side > 0 else 0.0
            mould = frame.point(middle, outside)
            self.frames[bend.to] = Frame(mould - outside * z, ex, y, z)
            back = self.setback(bend.angle)
            to = self.radius if bend.side > 0 else -t - self.radius
            centre = frame.point(middle - out * back, to)
            self.curves.append((centre, ex, ey, frame.z, np.linalg.norm(end - start)))
            axes = np.column_stack([turn @ along, turn @ out])
            self.places[bend.to] = (spot + turn @ middle + axes[:, 1] * (self.allowance(bend) - 2 * back), axes)

    def allowance(self, bend):
        k = min(1.0, 0.65 + 0.5 * math.log10(self.radius / self.thick))  # DIN 6935
        return bend.angle * (self.radius + k * self.thick / 2)

    def flat(self, face, at):
        spot, turn = self.places[face]
        return spot + turn @ np.array(at, float)

    def seam(self):
        """Ends of the edge that is held, as far as the plate beside it is flat."""
        face, name = self.held
        start, end = self.faces[face].edge(name)
        along = (end - start) / np.linalg.norm(end - start)
        inside = np.array([-along[1], along[0]]) * 1e-6
        met = self.metal(face).intersection(LineString([start + inside, end + inside]))
        places = [(np.array(c) - start) @ along for c in met.coords]
        return start + along * min(places), start + along * max(places)

    def loaded(self):
        return next((i for i, face in enumerate(self.faces) if face.eye), 0)

    def spot(self):
        return self.at if self.above is not None else self.faces[self.loaded()].eye

    def load_point(self):
        height = self.above if self.above is not None else -self.thick / 2
        return self.frames[self.loaded()].point(self.spot(), height)

    def pull(self):
        """Straight away from what holds the part, in the loaded face."""
        loaded, (holder, _) = self.loaded(), self.held
        if self.above is not None:
            return np.array([0.0, 1.0])
        if loaded == holder:
            bolts = self.faces[holder].bolts
            if not bolts:
                return np.array([0.0, 1.0])
            away = np.array(self.spot()) - np.mean(bolts, axis=0)
            return away / np.linalg.norm(away)
        bend, forward = self.path()[0]
        if forward:
            return np.array([0.0, 1.0])
        start, end = self.faces[loaded].edge(self.bends[bend].edge)
        along = (end - start) / np.linalg.norm(end - start)
        return np.array([-along[1], along[0]])

    def path(self):
        """Bends from the load to the support: (bend, whether it carries the load's side)."""
        def up(face):
            carrying = [next((i for i, b in enumerate(self.bends) if b.to == face), None)]
            while carrying[-1] is not None:
                on = self.bends[carrying[-1]].on
                carrying.append(next((i for i, b in enumerate(self.bends) if b.to == on), None))
            return carrying[:-1]
        a, b = up(self.loaded()), up(self.held[0])
        while a and b and a[-1] == b[-1]:
            a.pop(), b.pop()
        return [(i, True) for i in a] + [(i, False) for i in b[::-1]]

    def forces(self, way):
        """The load of 1 N, in each of its ways."""
        frame, pull = self.frames[self.loaded()], self.pull()
        y = frame.x * pull[0] + frame.y * pull[1]
        x = np.cross(y, frame.z)
        z = frame.z
        turned = {"pull": [y], "push": [-y], "along": [-x, x], "normal": [z, -z]}
        if way in turned:
            return turned[way]
        angle = math.radians(float(way.split()[0]))
        return [y * math.cos(angle) - x * math.sin(angle)]

    def metal(self, face):
        """A face between its bends, with its openings."""
        drawn = self.faces[face]
        metal = Polygon(drawn.points)
        for x, y, w, h in drawn.slots:
            metal -= rotate(box(x - w / 2, y - h / 2, x + w / 2, y + h / 2), drawn.turned)
        for x, y, d in drawn.empty + drawn.notches:
            metal -= Point(x, y).buffer(d / 2, 64)
        for bend in self.bends:
            back = self.setback(bend.angle)
            if bend.on == face:
                start, end = drawn.edge(bend.edge)
                along = (end - start) / np.linalg.norm(end - start)
                normal = np.array([-along[1], along[0]])
                corners = [start - along * 99, end + along * 99]
                metal -= Polygon([*corners, *[c + normal * back for c in corners[::-1]]])
            if bend.to == face:
                metal -= Polygon([(-999, -9), (999, -9), (999, back), (-999, back)])
        return metal

    # As a job

    def recipe(self):
        lines = ['about = "random part"', "[inputs]"]
        lines.append(f'bolt = {{ kind = "bolt", default = "M{self.bolt:g}", about = "holds it" }}')
        for i, face in enumerate(self.faces):
            corners = [self.corner(at, face.edges.get(j)) for j, at in enumerate(face.points)]
            steps = [f'{{ add = "polygon", corners = [ {", ".join(corners)} ] }}']
            steps += [
                f'{{ cut = "rectangle", width = {self.length_of(w)}, height = {self.length_of(h)}, '
                f'at = {self.corner((x, y), None)}, rotate = "{face.turned} deg" }}'
                for x, y, w, h in face.slots
            ]
            steps += [
                f'{{ cut = "disc", radius = {self.length_of(d / 2)}, at = {self.corner((x, y), None)} }}'
                for x, y, d in face.empty + face.notches
            ]
            lines += [f"[face.f{i}]", f"blank = [ {', '.join(steps)} ]"]
            holes = []
            if face.eye:
                role = ', role = "eye"' if self.is_eye else ""
                holes.append(f'{{ name = "eye", at = {self.corner(face.eye, None)}, diameter = {self.length_of(self.hole)}{role} }}')
            if face.bolts:
                columns, rows, across, up, turned = face.pattern or pattern(face.bolts)
                middle = self.corner(np.mean(face.bolts, axis=0), None)
                grid = f'grid = {{ columns = "{columns}", rows = "{rows}", pitch = {self.corner((across, up), None)} }}'
                size = self.length_of(self.clear)
                holes.append(f'{{ name = "fix", at = {middle}, diameter = {size}, {grid}, rotate = "{turned} deg", for = "bolt" }}')
            if holes:
                lines.append(f"holes = [ {', '.join(holes)} ]")
            if self.held == (i, "foot"):
                lines.append(f'weld = [ {{ edge = "foot", leg = {self.length_of(self.leg)} }} ]')
        for i, bend in enumerate(self.bends):
            lines += [f"[bend.k{i}]", f'on = "f{bend.on}.{bend.edge}"', f'to = "f{bend.to}"']
            lines += [f'angle = "{math.degrees(bend.angle):.6g} deg"', f'radius = {self.length_of(self.radius)}']
            lines.append(f'side = "{"up" if bend.side > 0 else "down"}"')
        return "\n".join(lines) + "\n"

    def length_of(self, mm):
        return f'"{round(float(mm), 9) / 25.4:.12f} in"' if self.inches else f'"{round(float(mm), 9)} mm"'

    def corner(self, at, edge):
        place = f"[{self.length_of(at[0])}, {self.length_of(at[1])}]"
        return f'{{ at = {place}, edge = "{edge}" }}' if edge else place

    def job(self):
        lines = ["[[part]]", f'recipe = "{self.name}"', f'name = "{self.name}"', f'sheet = "{self.thick}"']
        for i, way in enumerate(self.loads):
            lines += ["[[load]]", f'name = "{self.name} {i}"', f'part = "{self.name}"', 'force = "1 N"', f'direction = "{way}"']
            if self.above is None:
                lines += ['hole = "eye"', f'pin = "{self.pin} mm"']
            else:
                lines += [f"at = {self.corner(self.at, None)}", f'above = "{self.above} mm"', f'foot = "{self.foot} mm"']
            if self.held[1] is None:
                lines += ['bolts = "fix"', 'bolts_grade = "8.8"']
        return lines


def write(folder, parts):
    """The job and the recipes of these parts."""
    lines = ['process = "laser"']
    for thick in sorted({part.thick for part in parts}):
        lines += ["[[sheet]]", f'name = "{thick}"', 'material = "S235"', f'thickness = "{thick} mm"']
        lines.append('stock = [ { size = ["3000 mm", "1500 mm"] } ]')
    for part in parts:
        (folder / f"{part.name}.toml").write_text(part.recipe())
        lines += part.job()
    (folder / "job.toml").write_text("\n".join(lines) + "\n")
