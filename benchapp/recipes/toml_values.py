"""Values and whole tables as TOML text, laid out as the shipped procedures are."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

import tomlkit

#: A list that is longer than this on one line gets a line for each item.
_WIDE = 88


def toml_value(value: Any) -> str:
    """One value as it stands behind the equals sign."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{k} = {toml_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list | tuple):
        return _listed([toml_value(one) for one in value], any(isinstance(one, Mapping) for one in value))
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, float):
        return repr(value)
    return str(tomlkit.item(value).as_string())


def _listed(items: list[str], tables: bool) -> str:
    flat = "[" + ", ".join(items) + "]"
    if not tables and len(flat) <= _WIDE:
        return flat
    return "[\n" + "".join(f"    {one},\n" for one in items) + "]"


def toml_fields(fields: Mapping[str, Any]) -> str:
    """A line for each field."""
    return "".join(f"{key} = {toml_value(value)}\n" for key, value in fields.items())
