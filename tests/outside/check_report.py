"""report.json against the schema that the program prints, by a validator we did not write.

usage: check_report.py FOLDER, which holds report.json and schema.json
"""

import json
import sys
from pathlib import Path

import jsonschema


def main(folder):
    schema = json.loads((folder / "schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    report = json.loads((folder / "report.json").read_text("utf-8"))
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(report))
    for error in errors:
        print("/".join(map(str, error.path)), error.message)
    print(f"{len(report['parts'])} passed, {len(errors)} failed")
    return 1 if errors else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
