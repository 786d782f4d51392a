"""The JSON Schema of a parameter file, for editors that complete keys and explain them."""

from typing import Any

from geomgen.parameters.records.aircraft import Parameters

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of a parameter file.

    A file that extends another may leave out what the other has; the schema describes the whole.

    >>> made = schema()
    >>> made["properties"]["name"]["description"]
    'short name; it becomes part of file names'
    """
    made = Parameters.model_json_schema(mode="validation")
    _without_titles(made)
    made["$schema"] = DIALECT
    made["title"] = "geomgen parameter file"
    made["properties"]["extends"] = {
        "type": "string",
        "description": "another parameter file, from the folder of this one on, whose keys "
        "hold where this one is silent",
    }
    made["if"] = {"required": ["extends"]}
    made["else"] = {"required": made.pop("required")}
    return made


def _without_titles(node: Any) -> None:
    """Drop the titles that repeat a key; a table's own description stays."""
    if isinstance(node, list):
        for item in node:
            _without_titles(item)
    elif isinstance(node, dict):
        if isinstance(node.get("title"), str):
            del node["title"]
        for value in node.values():
            _without_titles(value)
