"""Random jobs of the machine: points, tape, obstacles, links, tubes and parts on points, mirrored.

    .venv/bin/python tests/outside/check_machine_jobs.py PROGRAM FIRST COUNT

Half of the jobs are as they should be but for their numbers; in the others keys are taken out, said
twice, given to the wrong table, or have the values of others. The program may refuse them, and must do
so with findings that name a place and what to type: it must not panic, hang, or find a fault of its
own. Of a job that could be read it must find the same once more when the job is mirrored in y. Prints
one line for each job that fails, and one line of totals; exits 1 when one failed or too few were read.
"""

import random
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

LENGTHS = ["0 mm", "1 mm", "-1 mm", "0.001 mm", "1e6 mm", "1e-9 mm", "12 in", "-3/8 in", "5 deg", "0", "mm", ""]
POINTS = ["A", "B", "C", "D", "E", "F", "G", "H"]
SHAPES = ["tube", "cylinder", "torus", "box", "panel"]
SECONDS = 60
# Findings once a whole job has been read and its bodies are placed in the machine.
JUDGED = ["machine-clearance", "link-travel", "link-strength", "nothing-fits", "sheets-used-up"]


def job(seed):
    """A job and whether all of it is as it should be."""
    rng = random.Random(seed)
    good = rng.random() < 0.5

    def mm(low, high):
        if not good and rng.random() < 0.06:
            return rng.choice(LENGTHS)
        return f"{round(rng.uniform(low, high), rng.choice([0, 1, 3]))} mm"

    def point():
        if not good and rng.random() < 0.05:
            return rng.choice(["Z", "a", "", "A.x", "distance(A, B)"])
        return rng.choice(POINTS)

    def points(count):
        if good or rng.random() < 0.8:
            return rng.sample(POINTS, count)
        return [point() for _ in range(count)]

    def line(key, value):
        return f"{key} = {value}"

    def quoted(names):
        return "[" + ", ".join(f'"{name}"' for name in names) + "]"

    def place(name):
        at = "[" + ", ".join(f'"{mm(-3000, 3000)}"' for _ in range(3)) + "]"
        if name in "ABCD" or rng.random() < 0.5:
            return at
        a, b, c = rng.sample(POINTS[: POINTS.index(name)], 3)
        if rng.random() < 0.1:
            return f'{{ from = {{ {a} = "{mm(2000, 5000)}", {b} = "{mm(2000, 5000)}", {c} = "{mm(2000, 5000)}" }}, side = "above" }}'
        return rng.choice([
            f'{{ along = ["{a}", "{b}"], by = "{mm(1, 200)}" }}',
            f'{{ mirror = "{a}", over = {quoted(["A", "B", "C"])} }}',
            at,
        ])

    tables = [["[points]"] + [line(name, place(name)) for name in POINTS]]
    asked = lambda: [entry for share, entry in [
        (0.3, line("clearance", f'"{mm(0, 40)}"')),
        (0.2, line("touches", quoted(rng.sample(["bar 0", "bar 1", "brace", "strut", "plate"], 2)))),
        (0.3, line("both_sides", "true")),
        (0.1, line("moves", "true")),
    ] if rng.random() < share and (entry[:5] != "moves" or tables[-1][0] == "[[obstacle]]")]
    count = rng.randint(1, 4)
    for i in range(count):
        tables.append(["[[obstacle]]"])
        shape = rng.choice(SHAPES)
        a, b, c = points(3)
        keys = {
            "tube": [line("tube", '"38 x 2"'), line("from", f'"{a}"'), line("to", f'"{b}"')],
            "cylinder": [line("outside", f'"{mm(5, 90)}"'), line("through", quoted([a, b, c])), line("radius", f'"{mm(20, 60)}"')],
            "torus": [line("at", f'"{a}"'), line("axis", f'"{b}"'), line("outside", f'"{mm(200, 700)}"'), line("section", f'"{mm(20, 90)}"')],
            "box": [line("on", f'{{ origin = "{a}", x = "{b}", side = "{c}" }}'), line("size", quoted([mm(10, 300) for _ in range(3)]))],
            "panel": [line("corners", quoted([a, b, c])), line("thickness", f'"{mm(1, 4)}"')],
        }[shape]
        tables[-1] += [line("name", f'"bar {i}"'), line("shape", f'"{shape}"')] + keys + asked()
    tables.append(["[[link]]"])
    a, b, c = points(3)
    tables[-1] += [line("name", '"brace"'), line("rod_end", '"M10 heavy"'), line("material", '"S235"'), line("from", f'"{a}"'), line("to", f'"{b}"')]
    tables[-1] += [line("travel", quoted([c]))] if rng.random() < 0.3 else []
    tables[-1] += [line("swing", f'"{rng.choice([0, 1, 8, 30])} deg"')] if rng.random() < 0.3 else []
    tables[-1] += [line("bung", '"turned"'), line("tube", '["25 x 2", "28 x 2", "30 x 2"]')] if rng.random() < 0.4 else []
    tables[-1] += asked()
    tables.append(["[[load]]", line("name", '"pull"'), line("link", '"brace"'), line("force", f'"{rng.randint(1, 4)} kN"')])
    tables.append(["[[tube]]"])
    a, b = points(2)
    tables[-1] += [line("name", '"strut"'), line("tube", '"30 x 2"'), line("from", f'"{a}"'), line("to", f'"{b}"')]
    tables[-1] += [line("start", '{ meets = "bar 0" }')] if rng.random() < 0.1 else []
    tables[-1] += [line("end", '{ meets = "bar 1" }')] if rng.random() < 0.1 else []
    tables[-1] += asked()
    tables.append(["[[sheet]]", line("name", '"s"'), line("material", '"S235"'), line("thickness", '"4 mm"'), line("stock", '[ { size = ["300 mm", "200 mm"] } ]')])
    tables.append(["[[part]]", line("recipe", '"tab"'), line("name", '"plate"'), line("sheet", '"s"')])
    a, b, c = points(3)
    tables[-1] += [
        rng.choice([
            line("on", f'{{ origin = "{a}", x = "{b}", side = "{c}" }}'),
            line("given", '{ reach = "max(lean(A, B) / 1 deg * 1 mm, 40 mm)" }'),
        ])
    ]
    tables[-1] += asked()
    head = [line("process", '"waterjet"'), line("tape", f'"{mm(1, 5)}"')]
    if rng.random() < 0.7 or any("both_sides = true" in entry for table in tables for entry in table):
        head.append(line("centre_plane", quoted(["A", "B", "C"])))
    if not good:
        for _ in range(rng.randint(1, 3)):
            table = rng.choice(tables)
            at = rng.randrange(len(table))
            other = rng.choice(rng.choice(tables)[1:])
            act = rng.randrange(5)
            if act == 0 and at > 0:
                del table[at]
            elif act == 1:
                table.append(other)
            elif act == 2 and at > 0:
                table[at] = table[at].split(" = ")[0] + " = " + other.split(" = ", 1)[1]
            elif act == 3 and at > 0:
                table[at] = table[at].split(" = ")[0] + " = " + rng.choice(["1", "true", "[]", "{}", '""', '["A"]', "[[]]", '{ meets = "strut" }'])
            else:
                table[at] = table[at].replace("A", "B", 1)
    return "\n".join(head) + "\n\n" + "\n\n".join("\n".join(table) for table in tables) + "\n", good


def mirrored(text):
    """The same mirrored in y, where every point is said by its coordinates; nothing where not."""
    block = text.split("[points]")[1].split("\n\n")[0]
    if "{" in block:
        return None
    turn = lambda found: f'{found[1]}"{found[2][1:] if found[2].startswith("-") else "-" + found[2]}"'
    return text.replace(block, re.sub(r'(= \["[^"]*", )"([^"]*)"', turn, block))


def check(program, folder, seed, text):
    path = Path(folder) / f"job-{seed}.toml"
    path.write_text(text)
    try:
        run = subprocess.run([program, "check", path], capture_output=True, text=True, timeout=SECONDS)
    except subprocess.TimeoutExpired:
        return None, "hangs"
    said = run.stdout + run.stderr
    if run.returncode not in (0, 1) or "panicked" in said or "[internal" in said:
        return None, f"exit {run.returncode}: {said[-300:]}"
    heads = re.findall(r"^(?:stop|caution)\[[\w-]+\]: .*$", said, re.M)
    if run.returncode == 1 and not heads:
        return None, f"stopped without a finding: {said[-300:]}"
    if run.returncode == 1 and said.count("--> ") == 0:
        return None, f"no place: {said[-300:]}"
    return run.returncode, sorted(heads)


def judged(heads):
    return all(any(f"[{code}]" in head for code in JUDGED) for head in heads)


def one(program, folder, seed):
    text, good = job(seed)
    code, found = check(program, folder, seed, text)
    if code is None:
        return seed, good, code, found
    other = mirrored(text) if good else None
    # A body in a frame that is turned over shows its other side.
    if other and judged(found) and "on = {" not in text and "twist(" not in text:
        _, again = check(program, folder, f"{seed}-over", other)
        # Only the order of two bodies in a finding may differ.
        words = lambda heads: sorted(" ".join(sorted(head.split())) for head in heads)
        if again == "hangs" or words(again) != words(found):
            return seed, good, None, f"differs when mirrored: {found} {again}"
    return seed, good, code, found


def main():
    program, first, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    stood = failed = refused = 0
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        for seed, good, code, found in pool.map(lambda seed: one(program, folder, seed), range(first, first + count)):
            if code is None:
                failed += 1
                print(f"job {seed}: {found}")
                continue
            stood += judged(found)
            refused += not judged(found)
    print(f"{count} jobs: {stood} stood in their machine, {refused} refused, {failed} failed")
    sys.exit(failed > 0 or stood < count // 20 or refused < count // 20)


if __name__ == "__main__":
    main()
