"""Copies of the journal in the place that was named for them: made when they are due, and said where that fails."""

from __future__ import annotations

from pathlib import Path

from benchapp.record.backups import BackupPlace
from benchapp.record.errors import RecordError
from benchapp.record.journal import Journal
from benchapp.runtime.settings import backup_plan_in


def keep_copies(journal: Journal, folder: Path) -> str:
    """Copy if a copy is due; what is wrong with the copies of this data folder in a sentence, "" where nothing is, or
    no place was ever named."""
    plan = backup_plan_in(folder)
    if plan is None:
        return ""
    place = BackupPlace(Path(plan.folder), plan.keep)
    try:
        place.keep_up(journal)
        return place.behind(journal)
    except RecordError as error:
        return str(error)
