"""Holds files against the JSON Schemas, by a validator we did not write.

usage: check_schema.py FOLDER
FOLDER holds recipe.json and job.json, and below good/ and bad/ files named
recipe-*.toml and job-*.toml. Good ones must fit, bad ones must not.
"""

import json
import pathlib
import sys
import tomllib

import jsonschema


def main(folder):
    schemas = {}
    for kind in ("recipe", "job"):
        schema = json.loads((folder / f"{kind}.json").read_text("utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        schemas[kind] = jsonschema.Draft202012Validator(schema)
    passed = failed = 0
    for wanted in ("good", "bad"):
        for path in sorted((folder / wanted).glob("*.toml")):
            kind = path.name.split("-")[0]
            errors = list(schemas[kind].iter_errors(tomllib.loads(path.read_text("utf-8"))))
            if bool(errors) == (wanted == "bad"):
                passed += 1
                continue
            failed += 1
            print(f"{wanted}/{path.name}:")
            for error in errors or ["fits, but should not"]:
                where = "/".join(map(str, getattr(error, "path", [])))
                print(f"  {where}: {getattr(error, 'message', error)}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1])))
