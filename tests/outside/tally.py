"""Counts the facts that hold, and says which do not: what most checks of a folder have in common."""

import json
import sys
from pathlib import Path

SHARE = 1e-4  # areas and lengths agree within 0.01 %


class Tally:
    def __init__(self):
        self.passed = 0
        self.failed = 0

    def check(self, good, name, words):
        if good:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED {name}: {words}")
        return good

    def same(self, found, wanted, name, what, share=SHARE):
        good = abs(found - wanted) <= share * abs(wanted)
        return self.check(good, name, f"{what} is {found:.6f}, the report says {wanted:.6f}")

    def end(self):
        """Prints the line of totals; the exit code is 1 where a fact failed or none was checked."""
        print(f"{self.passed} passed, {self.failed} failed")
        sys.exit(1 if self.failed or not self.passed else 0)


def folder_and_report():
    """The only argument, a finished output folder, and its report; exit code 2 where it has none."""
    if len(sys.argv) != 2:
        sys.exit(f"usage: {Path(sys.argv[0]).name} OUT_DIR")
    folder = Path(sys.argv[1])
    try:
        return folder, json.loads((folder / "report.json").read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        print(f"no report: {error}", file=sys.stderr)
        sys.exit(2)
