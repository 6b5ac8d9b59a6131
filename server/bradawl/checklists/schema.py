"""JSON Schema of the checklist files, for editors.  `bradawl checklists schema` prints it."""

from __future__ import annotations

import json
from typing import Any

from pydantic.json_schema import models_json_schema

from bradawl.checklists.loader import KINDS


def schema() -> dict[str, Any]:
    """One schema for all kinds of file: the key that names the kind picks the shape."""
    shapes, top = models_json_schema([(model, "validation") for model in KINDS.values()])
    rules = []
    for key, model in KINDS.items():
        rules.append({"if": {"required": [key]}, "then": shapes[(model, "validation")]})
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A Bradawl checklist file",  # for editors: not shown
        "type": "object",
        "oneOf": [{"required": [key]} for key in KINDS],
        "allOf": rules,
        "$defs": top["$defs"],
    }


def schema_text() -> str:
    """The schema as the committed file holds it."""
    return json.dumps(schema(), indent=1, sort_keys=True, ensure_ascii=False) + "\n"
