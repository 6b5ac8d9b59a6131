"""Validation by the generated schema."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import jsonschema

from web.tools.contract import SCHEMA


@cache
def _validator(name: str) -> Any:
    whole = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(whole)
    return jsonschema.Draft202012Validator({**whole, "$ref": f"#/$defs/{name}"})


def validate(name: str, value: Any) -> None:
    """Raises jsonschema.ValidationError where `value` is not of that shape of the contract."""
    _validator(name).validate(value)
