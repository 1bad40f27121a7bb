"""Runs checks one behind the other in one interpreter, so that readers are imported once.

Each line read is a JSON list: a script of this folder and its arguments. It is run as if
it had been called alone; the answer is a line of JSON, its exit code and what it said.
"""

import contextlib
import gc
import io
import json
import os
import runpy
import sys
import traceback
from pathlib import Path

HERE = Path(__file__).resolve().parent


def run(script, arguments):
    path = str(HERE / script)
    sys.argv = [path, *arguments]
    out, err = io.StringIO(), io.StringIO()
    code = 0
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            runpy.run_path(path, run_name="__main__")
        except SystemExit as end:
            code = end.code
            if isinstance(code, str):
                print(code, file=sys.stderr)
                code = 1
        except BaseException:
            traceback.print_exc()
            code = 1
    return int(code or 0), out.getvalue() + err.getvalue()


def main():
    # Drawings are many small objects that live until their check ends: to look for rings
    # of them again and again costs more than it frees.
    gc.set_threshold(200_000, 20, 100)
    # Libraries that are not Python print past it; the answers must not be mixed with that.
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    for line in sys.stdin:
        script, *arguments = json.loads(line)
        print(json.dumps(run(script, arguments)), file=answers, flush=True)


main()
