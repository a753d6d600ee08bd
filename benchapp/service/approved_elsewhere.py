"""Procedures that another bench of the workshop approved, the office for one: they arrive with its chain, and nothing else is kept of
them. A make that runs keeps the text it was begun with."""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path

from benchapp import events as ev
from benchapp.foundation.text_files import NoTextFile, read_text_file
from benchapp.record.journal import Journal
from benchapp.record.masters import Master, current, masters_of
from benchapp.service.own_procedures import own_keys, own_procedures
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


def arrived_texts(journal: Journal, folder: Path | None) -> Mapping[str, str]:
    """By procedure the text that another bench approved, where it stands in the place of what is shipped, of an older version here,
    and of nothing; not in the place of what somebody has written anew here."""
    return dict(_standing(approved_elsewhere(journal), folder))


def _standing(approved: Mapping[str, tuple[Master, ...]], folder: Path | None) -> Iterator[tuple[str, str]]:
    own = own_keys(folder)
    for key, versions in approved.items():
        if key not in own or _own_sha256(key, folder) in {one.sha256 for one in versions}:
            yield key, versions[-1].text


def _own_sha256(key: str, folder: Path | None) -> str:
    """The hash of the text in an own procedure's file; "" where it cannot be read."""
    with contextlib.suppress(NoTextFile, OSError):
        return hashlib.sha256(read_text_file(find(key, own_procedures(folder))).encode()).hexdigest()
    return ""
