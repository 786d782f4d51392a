import json
import re
import tomllib

import pytest

from geomgen.parameters import load, schema

SCHEMA = schema()


def resolved(node):
    while "$ref" in node:
        node = {**SCHEMA["$defs"][node["$ref"].rsplit("/", 1)[1]], **{"outer": node}}
    return node


def fits(value, node):
    """Tell whether a value fits a schema; only the words that our schema uses are known."""
    node = resolved(node)
    known = {
        "$schema",
        "$defs",
        "title",
        "description",
        "default",
        "outer",
        "examples",
        "if",
        "else",
    }
    known |= {"type", "properties", "required", "additionalProperties", "items", "anyOf", "const"}
    known |= {"enum", "pattern", "minimum", "maximum", "minLength", "maxLength", "minItems"}
    known |= {"maxItems", "maximum", "x-lowest", "x-highest"}
    assert set(node) <= known, set(node) - known
    if "anyOf" in node:
        return any(fits(value, option) for option in node["anyOf"])
    if "const" in node:
        return value == node["const"]
    if "enum" in node:
        return value in node["enum"]
    kinds = {"string": str, "boolean": bool, "object": dict, "array": list, "null": type(None)}
    if node["type"] == "integer":
        whole = isinstance(value, int) and not isinstance(value, bool)
        return whole and node["minimum"] <= value <= node["maximum"]
    if node["type"] == "number":
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and node["minimum"] <= value <= node["maximum"]
    if not isinstance(value, kinds[node["type"]]):
        return False
    if node["type"] == "string":
        return re.search(node.get("pattern", ""), value) is not None
    if node["type"] == "array":
        return all(fits(item, node["items"]) for item in value)
    if node["type"] == "object":
        names = node["properties"]
        need = node.get("required", node.get("else", {}).get("required", []))
        return set(need) <= set(value) <= set(names) and all(
            fits(item, names[key]) for key, item in value.items()
        )
    return True


@pytest.mark.parametrize("config", ["saltmarsh.toml", "hayfield.toml"])
def test_configs_fit(folder, config):
    assert fits(tomllib.loads((folder / config).read_text()), SCHEMA)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('wall = "4 mm"', 'wall = "4"'),
        ('wall = "4 mm"', "wall = 4"),
        ('wall = "4 mm"', 'wal = "4 mm"'),
        ("mirrored = true", 'mirrored = "yes"'),
        ('layout = "tricycle"', 'layout = "bicycle"'),
        ("tip_mach = 0.65", "tip_mach = 6.5"),
        ('name = "saltmarsh"', 'name = "../saltmarsh"'),
    ],
)
def test_what_the_loader_refuses_does_not_fit(folder, old, new):
    text = (folder / "saltmarsh.toml").read_text()
    assert old in text
    assert not fits(tomllib.loads(text.replace(old, new, 1)), SCHEMA)


def tables(node, seen):
    yield node
    for child in node.get("properties", {}).values():
        for option in child.get("anyOf", [child]):
            inner = option.get("items", option)
            if "$ref" in inner and inner["$ref"] not in seen:
                seen.add(inner["$ref"])
                yield from tables(resolved(inner), seen)


def test_every_key_is_described_and_no_other_is_allowed():
    every = list(tables(SCHEMA, set()))
    assert len(every) > 25
    for table in every:
        assert table["additionalProperties"] is False
        for key, node in table["properties"].items():
            assert node.get("description"), key


def test_every_pattern_compiles_and_takes_its_examples():
    for text in re.findall(r'"pattern": ("(?:[^"\\]|\\.)*")', json.dumps(SCHEMA)):
        re.compile(json.loads(text))

    def walk(node):
        if isinstance(node, dict):
            if "pattern" in node:
                for example in node.get("examples", []):
                    assert re.search(node["pattern"], example), example
            for value in node.values():
                walk(value)
        elif isinstance(node, list):
            for value in node:
                walk(value)

    walk(SCHEMA)


def test_defaults_are_written_as_in_a_file(folder):
    gap = SCHEMA["$defs"]["Firewall"]["properties"]["gap"]
    assert gap["default"] == "0.2 mm"
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA
    assert load(folder / "saltmarsh.toml")
