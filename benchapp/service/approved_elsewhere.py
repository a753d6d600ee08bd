"""Procedures that another bench of the workshop approved, the office for one: they arrive with its chain, and nothing else is kept of
them. A make that runs keeps the text it was begun with."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.masters import Master, current, masters_of
from benchapp.service.materials import own_keys, own_procedures
from procedures.errors import ProcedureNotFound
from procedures.model import Procedure
from procedures.reading import read_procedure, read_text
from procedures.shelf import find


def approved_elsewhere(journal: Journal) -> Mapping[str, tuple[Master, ...]]:
    """By procedure its versions, where the one that counts was approved on another bench; nothing on a bench alone."""
    everywhere = journal.everywhere
    if everywhere is everywhere.own:
        return {}
    kinds = (ev.MasterApproved, ev.MasterWithdrawn)
    own = {e.sha256 for s in journal.own.of_kinds(kinds[:1]) if isinstance(e := s.event, ev.MasterApproved)}
    found = masters_of(everywhere.of_kinds(kinds, ev.WORKSHOP))
    return {
        key: versions
        for key, versions in found.items()
        if (now := current(versions)) is not None and now.sha256 not in own
    }


def procedure_here(
    journal: Journal,
    folder: Path | None,
    named: str,
    elsewhere: Mapping[str, tuple[Master, ...]] | None = None,
) -> Procedure:
    """A procedure by its name or file. What another bench approved stands in the place of what is shipped, of an older version here,
    and of nothing; not in the place of what somebody has written anew here. Raises ProcedureError."""
    versions = (approved_elsewhere(journal) if elsewhere is None else elsewhere).get(named, ())
    now = current(versions)
    try:
        found = read_procedure(find(named, own_procedures(folder))).procedure
    except ProcedureNotFound:
        if now is None:
            raise
        return read_text(now.text, f"{named}.toml").procedure
    older = {one.sha256 for one in versions[:-1]}
    if now is None or found.sha256 == now.sha256 or (named in own_keys(folder) and found.sha256 not in older):
        return found
    return read_text(now.text, f"{named}.toml").procedure
