"""Validation by the generated schema.

Thousands of answers pass through it, so a compiled library looks at each; what it refuses goes to
the reference library, whose words name the place.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import jsonschema
import jsonschema_rs

from web.tools.contract import SCHEMA


@cache
def _validators(name: str) -> tuple[Any, Any]:
    whole = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(whole)
    schema = {**whole, "$ref": f"#/$defs/{name}"}
    return jsonschema_rs.Draft202012Validator(schema), jsonschema.Draft202012Validator(schema)


def validate(name: str, value: Any) -> None:
    """Raises jsonschema.ValidationError where `value` is not of that shape of the contract."""
    quick, reference = _validators(name)
    if not quick.is_valid(value):
        reference.validate(value)
        raise AssertionError(f"one library refuses this {name}, the other does not")
