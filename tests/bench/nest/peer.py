"""Packs one strip with the general packing library spyrrow, to compare figures.

    PYTHON tests/bench/nest/peer.py INSTANCE.json SECONDS SEED THREADS

Needs `pip install spyrrow==0.9.0 shapely==2.2.0` in an environment of its own. The
instance is in the form of sets/, without arcs. Prints one line of JSON: the length of
the strip, the length after 1, 2, 5, 10 and 20 s, and the least distance of two parts
measured by shapely, which must not be below what was asked for.
"""

import json
import math
import sys
import threading
import time

import spyrrow
from shapely import STRtree
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

MARKS = (1, 2, 5, 10, 20)


def solve(instance, seconds, seed, threads):
    """The answer, and (seconds, length) of each that was better than all before."""
    items = [
        spyrrow.Item(i["id"], [tuple(p) for p in i["outer"]], i["qty"], i["rotations"])
        for i in instance["items"]
    ]
    strip = spyrrow.StripPackingInstance(instance["name"], instance["strip_height"], items)
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        total_computation_time=seconds,
        num_workers=threads,
        seed=seed,
        min_items_separation=instance["separation"] or None,
    )
    queue, answer, trace = spyrrow.ProgressQueue(), {}, []
    start = time.monotonic()

    def look():
        for kind, found in queue.drain():
            if "Infeas" not in str(kind) and "Improving" not in str(kind):
                trace.append((time.monotonic() - start, found.width))

    def work():
        answer["best"] = strip.solve(config, queue)

    worker = threading.Thread(target=work)
    worker.start()
    while worker.is_alive():
        worker.join(0.05)
        look()
    look()
    return answer["best"], trace


def least_gap(instance, answer):
    """Of all pairs; negative when two overlap."""
    shapes = {i["id"]: Polygon(i["outer"]) for i in instance["items"]}
    laid = [
        translate(rotate(shapes[p.id], p.rotation, origin=(0, 0)), *p.translation)
        for p in answer.placed_items
    ]
    tree, least = STRtree(laid), math.inf
    for i, shape in enumerate(laid):
        for j in tree.query(shape.buffer(instance["separation"] + 1)):
            if j > i:
                over = shape.intersection(laid[j]).area
                least = min(least, -over if over > 1e-6 * shape.area else shape.distance(laid[j]))
    return least, len(laid)


def main():
    if len(sys.argv) != 5:
        sys.exit("usage: peer.py INSTANCE.json SECONDS SEED THREADS")
    with open(sys.argv[1], encoding="utf-8") as file:
        instance = json.load(file)
    answer, trace = solve(instance, *map(int, sys.argv[2:]))
    gap, parts = least_gap(instance, answer)

    def at(mark):
        return min((width for moment, width in trace if moment <= mark), default=None)

    print(
        json.dumps(
            {
                "length": answer.width,
                "at": [at(mark) for mark in MARKS],
                "parts": parts,
                "gap": gap if math.isfinite(gap) else None,
            }
        )
    )


if __name__ == "__main__":
    main()
