"""Procedures by their names: the workshop's own in its folder, those that arrived from its other benches, and the shipped ones."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from benchapp.runtime.settings import OWN_PROCEDURES
from procedures.reading import Checked, read_procedure, read_text
from procedures.shelf import find, kept_in, shipped

#: On a bench alone none arrives; by their keys the texts of those that do (see approved_elsewhere).
NONE_ARRIVED: Mapping[str, str] = MappingProxyType({})


def own_procedures(folder: Path | None) -> Path | None:
    """Where a workshop keeps procedures of its own, in its folder."""
    return None if folder is None else folder / OWN_PROCEDURES


def own_keys(folder: Path | None) -> tuple[str, ...]:
    """The names of a workshop's own procedures."""
    own = own_procedures(folder)
    return () if own is None else kept_in(own)


def keys_on_the_shelf(folder: Path | None, arrived: Mapping[str, str]) -> tuple[str, ...]:
    """Every procedure there is: the workshop's own, those that arrived among them, then the shipped ones that none of these replaces."""
    return tuple(dict.fromkeys((*own_keys(folder), *arrived, *shipped())))


def read_named(named: str, folder: Path | None, arrived: Mapping[str, str]) -> Checked:
    """A procedure by its name or file; what has arrived stands in the place of a file of that name. Raises ProcedureError."""
    if named in arrived:
        return read_text(arrived[named], f"{named}.toml")
    return read_procedure(find(named, own_procedures(folder), arrived))
