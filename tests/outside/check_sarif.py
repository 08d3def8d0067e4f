"""Holds SARIF logs against the schema of SARIF 2.1.0, by a validator nobody here wrote.

Usage: check_sarif.py SCHEMA LOG...; needs the package `jsonschema`. Prints what is wrong, a line each, and exits with 1 if
anything is. A copy of the first log that was spoilt on purpose must be found wrong, or the schema judges nothing.
"""

import copy
import json
import pathlib
import sys

import jsonschema


def main():
    schema, *logs = [json.loads(pathlib.Path(name).read_text(encoding="utf-8")) for name in sys.argv[1:]]
    kind = jsonschema.validators.validator_for(schema)
    kind.check_schema(schema)
    validator = kind(schema)
    failed = []
    for name, log in zip(sys.argv[2:], logs):
        if not log["runs"][0]["results"]:
            failed.append(f"{name}: it holds no result")
        for error in validator.iter_errors(log):
            failed.append(f"{name}: {'/'.join(str(part) for part in error.absolute_path)}: {error.message[:200]}")
    spoilt = copy.deepcopy(logs[0])
    spoilt["runs"][0]["results"][0]["level"] = "fatal"
    if not list(validator.iter_errors(spoilt)):
        failed.append("a log with the level `fatal` was not found wrong")
    for line in failed:
        print(line, file=sys.stderr)
    print(f"{len(logs)} logs, {len(failed)} faults")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
