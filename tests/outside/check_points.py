"""Fits points by their measures with numpy and compares the places with those of the program.

    python check_points.py NETWORKS

NETWORKS is JSON: for each network the start of every point, whether it is fixed, its measures
(kind, points, value), and the places that the program found.
"""

import json
import math
import sys

import numpy

KINDS = {"distance", "left", "direction"}


def residuals(places, measures):
    out = []
    for kind, names, value in measures:
        assert kind in KINDS, kind
        point = places[names[0]]
        first = places[names[1]]
        if kind == "distance":
            out.append(math.dist(point, first) - value)
        elif kind == "left":
            along = numpy.subtract(places[names[2]], first)
            along = along / numpy.linalg.norm(along)
            out.append(float(numpy.dot([-along[1], along[0]], numpy.subtract(point, first))) - value)
        else:
            angle = math.radians(value)
            across = [-math.sin(angle), math.cos(angle)]
            out.append(float(numpy.dot(across, numpy.subtract(point, first))))
    return numpy.array(out)


def fitted(places, free, measures):
    """Gauss-Newton with slopes by differences, each step by numpy's own least squares."""
    places = dict(places)
    for _ in range(60):
        here = residuals(places, measures)
        slopes = numpy.zeros((len(here), 2 * len(free)))
        for column, (name, axis) in enumerate((n, a) for n in free for a in (0, 1)):
            step = 1e-4
            ends = []
            for way in (1, -1):
                moved = {n: list(p) for n, p in places.items()}
                moved[name][axis] += way * step
                ends.append(residuals(moved, measures))
            slopes[:, column] = (ends[0] - ends[1]) / (2 * step)
        shift = numpy.linalg.lstsq(slopes, -here, rcond=None)[0]
        for column, (name, axis) in enumerate((n, a) for n in free for a in (0, 1)):
            places[name] = list(places[name])
            places[name][axis] += float(shift[column])
        if numpy.abs(shift).max() < 1e-12:
            break
    return places


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        networks = json.load(file)
    worst = 0.0
    for network in networks:
        free = network["free"]
        places = fitted(network["places"], free, network["measures"])
        for name in free:
            worst = max(worst, math.dist(places[name], network["found"][name]))
    print(json.dumps({"networks": len(networks), "worst": worst}))


main()
