"""Copies of the journal in the place that was named for them, and its head outside it: made when they are due, and said where that fails."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import said_as
from benchapp.record.backups import KEEP, NAME_A_PLACE, BackupPlace
from benchapp.record.errors import RecordError
from benchapp.record.heads import head_now
from benchapp.record.journal import Journal
from benchapp.runtime.removable_disks import Disk, plugged_in
from benchapp.runtime.settings import (
    BACKUPS,
    BackupPlan,
    backup_plan_in,
    head_file,
    keep_backup_plan,
    same_disk,
)
from benchapp.service.errors import CommandError

#: What is said where no place was named for copies.
NO_PLACE = tr_noop("No copy is made by itself. If this machine is lost, so is every record.")
#: The folder for copies on a stick that is named as a whole.
ON_A_STICK = tr_noop("copies of the bench")


@dataclass(frozen=True, slots=True)
class CopyPlaces:
    """Where copies go now ("" where nowhere), what is wrong with them ("" where nothing is), and the disks that are
    plugged in and may be named."""

    now: str
    wrong: str
    disks: tuple[Disk, ...]


def copy_places(journal: Journal, folder: Path) -> CopyPlaces:
    """What can be said and chosen of the copies of this data folder; nothing is copied. Raises OSError."""
    named = str(folder / BACKUPS)
    try:
        place = _place(folder)
        if place is None:
            return CopyPlaces("", "", plugged_in())
        named = str(place.folder)
        wrong = place.behind(journal) or on_one_disk(folder, place.folder)
    except (CommandError, RecordError) as error:
        wrong = str(error)
    return CopyPlaces(named, wrong, plugged_in())


def _place(folder: Path) -> BackupPlace | None:
    """The place for this data folder's copies, None where none was ever named. Raises CommandError."""
    not_read = tr_noop("{file} cannot be read ({strerror}), so no copy is made. {name_a_place}")
    with said_as(CommandError, not_read, file=folder / BACKUPS, name_a_place=tr(NAME_A_PLACE)):
        plan = backup_plan_in(folder)
    return None if plan is None else BackupPlace(Path(plan.folder), plan.keep)


def on_one_disk(folder: Path, into: Path) -> str:
    """Why copies there save nothing when the disk dies; "" where they do. Raises OSError."""
    if not same_disk(folder, into):
        return ""
    return tr(
        "{into} is on the same disk as the journal: that saves nothing when the disk dies. {name_a_place}",
        into=into,
        name_a_place=NAME_A_PLACE,
    )


def keep_copies(journal: Journal, folder: Path) -> str:
    """Copy if a copy is due; what is wrong with the copies of this data folder in a sentence, "" where nothing is, or
    no place was ever named."""
    try:
        place = _place(folder)
        if place is None:
            return ""
        place.keep_up(journal)
        return place.behind(journal)
    except (CommandError, RecordError) as error:
        return str(error)


def keep_head(journal: Journal) -> str:
    """Keep the journal's head outside it; why that is impossible in a sentence, "" where it is done or nothing is recorded."""
    kept = head_file()
    try:
        with journal.reading() as c:
            head = head_now(c, journal.wall(), str(journal.path.parent.resolve()))
        if head is not None:
            kept.keep(head)
    except (OSError, RecordError) as error:
        why = getattr(error, "strerror", None) or str(error).rstrip(".")
        return tr(
            "The journal's head is not kept in {path} ({why}): verify will know less.",
            path=kept.path,
            why=why,
        )
    return ""


def begin_copies(journal: Journal, folder: Path, into: Path, keep: int = KEEP) -> str:
    """From now on copies of this data folder's journal go there, the first at once; how it went. Raises CommandError
    for less than one copy, RecordError, and OSError where the plan itself can't be kept."""
    if keep < 1:
        raise CommandError(tr("At least one copy has to stay."))
    place = BackupPlace(into, keep)
    place.prepare()
    keep_backup_plan(folder, BackupPlan(str(into), keep))
    made = place.keep_up(journal)
    first = (
        tr("Copied: {made}.", made=made)
        if made
        else tr("The newest copy in {into} holds everything.", into=into)
    )
    went = tr(
        "{first} From now on a copy goes there each day and after each batch; the newest "
        "{keep} stay, and the last of each month for a year.",
        first=first,
        keep=keep,
    )
    return f"{went} {on_one_disk(folder, into)}".rstrip()


def end_copies(folder: Path) -> str:
    """No more copies by themselves; how it went. Raises OSError."""
    keep_backup_plan(folder, None)
    return tr("No more copies are made by themselves. Those that were made stay.")
