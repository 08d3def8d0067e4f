"""Holds the samples and the example binders against the schemas, by programs nobody here wrote.

Needs the packages `jsonschema` and `PyYAML`. Prints `N passed, 0 failed` and exits with 1 on any failure.
It knows the scalar rule of the binder, and nothing of what the values mean.
"""

import json
import pathlib
import re
import sys

import jsonschema
import yaml

ROOT = pathlib.Path(__file__).resolve().parents[2]
REGISTERS = {"binder.yaml": "binder", "crib.yaml": "crib", "crib-status.yaml": "crib-status", "fleet.yaml": "fleet", "waivers.yaml": "waivers"}


class Refused(Exception):
    """The file is no YAML of the kind a binder may hold."""


class BinderLoader(yaml.SafeLoader):
    """Reads every scalar as text but plain whole numbers, plain true and false, and nothing."""

    yaml_implicit_resolvers = {}

    def compose_node(self, parent, index):
        event = self.peek_event()
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            raise Refused(f"anchor or alias in line {event.start_mark.line + 1}")
        if getattr(event, "tag", None):
            raise Refused(f"tag in line {event.start_mark.line + 1}")
        return super().compose_node(parent, index)

    def construct_mapping(self, node, deep=False):
        keys = [self.construct_object(key, deep=True) for key, _ in node.value]
        for place, key in enumerate(keys):
            if key in keys[:place]:
                raise Refused(f"key `{key}` stands twice, line {node.value[place][0].start_mark.line + 1}")
            if key == "<<":
                raise Refused("merge key")
        return super().construct_mapping(node, deep)


def _resolve(tag, pattern, first):
    BinderLoader.add_implicit_resolver(tag, re.compile(pattern), first)


_resolve("tag:yaml.org,2002:int", r"^-?(?:0|[1-9][0-9]*)$", list("-0123456789"))
_resolve("tag:yaml.org,2002:bool", r"^(?:true|false)$", list("tf"))
_resolve("tag:yaml.org,2002:null", r"^(?:~|null|)$", ["~", "n", ""])


def load(text):
    """Returns the one document of a text, with its keys as texts, or raises `Refused`."""
    try:
        documents = list(yaml.load_all(text, BinderLoader))
    except yaml.YAMLError as error:
        raise Refused(str(error)) from error
    if len(documents) != 1:
        raise Refused(f"{len(documents)} documents")
    return _text_keys(documents[0])


def _text_keys(value):
    if isinstance(value, dict):
        return {key if isinstance(key, str) else str(key): _text_keys(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_text_keys(inner) for inner in value]
    return value


def front_matter(path):
    """Returns the front matter of a Markdown file, or None where it has none."""
    lines = path.read_text(encoding="utf-8").split("\n")
    if lines[0] != "---" or "---" not in lines[1:]:
        return None
    return "\n".join(lines[1 : lines.index("---", 1)]) + "\n"


def schemas():
    """Returns a validator for each schema, by its name."""
    found = {}
    for path in sorted((ROOT / "schema").glob("*.schema.json")):
        schema = json.loads(path.read_text(encoding="utf-8"))
        jsonschema.Draft7Validator.check_schema(schema)
        name = path.name.removesuffix(".schema.json")
        if schema["$id"] != f"https://matchmark.example/schema/{path.name}":
            raise SystemExit(f"{path.name}: its $id names another file")
        found[name] = jsonschema.Draft7Validator(schema)
    return found


def faults(validator, text):
    """Returns what is wrong with a text, one line each."""
    try:
        value = load(text)
    except Refused as refused:
        return [str(refused)]
    ordered = sorted(validator.iter_errors(value), key=lambda error: [str(part) for part in error.absolute_path])
    return ["/".join(str(part) for part in error.absolute_path) + ": " + error.message for error in ordered]


def main():
    validators = schemas()
    passed, failed = 0, []

    def expect(path, validator, text, want_valid):
        nonlocal passed
        found = faults(validator, text)
        if bool(found) == want_valid:
            failed.append(f"{path.relative_to(ROOT)}: " + ("; ".join(found) if found else "its fault was not found"))
        else:
            passed += 1
            if "--show" in sys.argv and found:
                print(f"{path.name}\n    " + "\n    ".join(found))

    used = set()
    for kind, want_valid in (("valid", True), ("invalid", False)):
        for path in sorted((ROOT / "tests/samples" / kind).glob("*.yaml")):
            name = path.name.split(".")[0]
            used.add((name, kind))
            expect(path, validators[name], path.read_text(encoding="utf-8"), want_valid)
    for name in validators:
        for kind in ("valid", "invalid"):
            if (name, kind) not in used:
                failed.append(f"schema `{name}` has no {kind} sample")

    for binder in (ROOT / "procedures/creamery", ROOT / "templates/init"):
        for path in sorted(binder.rglob("*")):
            if path.suffix == ".yaml":
                name = "family" if path.parent.name == "families" else REGISTERS[path.name]
                expect(path, validators[name], path.read_text(encoding="utf-8"), True)
            elif path.suffix == ".md" and (text := front_matter(path)) is not None:
                expect(path, validators["procedure"], text, True)

    for line in failed:
        print(line, file=sys.stderr)
    print(f"{passed} passed, {len(failed)} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
