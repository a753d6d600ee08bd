"""The procedure that a command line names. A bench alone need not open its journal, nor load what reads one, for that."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path

from benchapp.runtime.settings import SERVER, data_folder
from benchapp.service.own_procedures import NONE_ARRIVED, read_named
from procedures.model import Procedure


def arrived_in(folder: Path) -> Mapping[str, str]:
    """The procedures that other benches of the workshop approved, by their keys. Raises RecordError."""
    if not (folder / SERVER).is_file():
        return NONE_ARRIVED
    from benchapp.commands.opening import journal_in
    from benchapp.service.approved_elsewhere import arrived_texts

    with journal_in(folder) as journal:
        return arrived_texts(journal, folder)


def procedure_named(args: argparse.Namespace, named: str) -> Procedure:
    """The workshop's own, one that arrived, a shipped one, or one in a file. Raises ProcedureError and RecordError."""
    folder = data_folder(args.data)
    return read_named(named, folder, arrived_in(folder)).procedure
