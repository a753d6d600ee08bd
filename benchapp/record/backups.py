"""Copies of the journal in a second place: made whole with their head, when they are due, the older ones thinned out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sqlalchemy import func, select

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import said_as, write_whole
from benchapp.record.errors import JournalUnavailable
from benchapp.record.heads import Head, head_now
from benchapp.record.journal import Journal
from benchapp.record.tables import BATCH, EVENT

#: What tells the second place from an empty folder under which no stick is mounted.
MARK = "copies-of-the-journal.txt"
_MARK_TEXT = tr_noop(
    "Copies of a journal are kept in this folder, each with its head beside it. To "
    "restore one, put it as journal.sqlite\n"
    "into an empty folder, name that with --data, and verify. Without this file nothing "
    "is copied here.\n"
)
#: How a place gets its first copy, or another one.
NAME_A_PLACE = tr_noop(
    "Name the place for copies: on the glass under Settings, Upkeep, Copies; in a "
    "terminal benchapp backup --into FOLDER."
)
#: So many copies are kept unless somebody says otherwise, and of older ones the last of so many months.
KEEP, MONTHS = 14, 12
#: A copy that lacks events is old after so many days.
OLD_DAYS = 2

_ENDS = (ev.MakeFinished.__name__, ev.MakeAbandoned.__name__)
_NAME = re.compile(r"journal-([0-9a-f]{8})-([0-9]{8}T[0-9]{6})-([0-9]{1,15})\.sqlite")


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy: how many events it holds, and when it was taken, ``YYYYMMDDTHHMMSS`` by the wall's clock."""

    path: Path
    seq: int
    taken: str

    @property
    def day(self) -> date:
        """The day it was taken."""
        return date.fromisoformat(self.taken[:8])


def back_up(journal: Journal, to: Path) -> Head | None:
    """A copy of the whole journal in a file, and its head beside it; each is whole or not there. Returns the head,
    which the copy holds, or a later one. Raises RecordError."""
    head = _head(journal)
    journal.store.backup(to)
    if head is not None:
        beside = head_beside(to)
        with said_as(
            JournalUnavailable, tr_noop("The head {beside} cannot be written ({strerror})."), beside=beside
        ):
            beside.unlink(missing_ok=True)
            write_whole(beside, f"{head}\n".encode())
    return head


def head_beside(copy: Path) -> Path:
    """Where the head of a copy stands."""
    return copy.with_name(f"{copy.name}.head")


class BackupPlace:
    """A folder for copies: on a stick, another disk or another machine. ``keep``: how many of the newest stay."""

    def __init__(self, folder: Path, keep: int = KEEP) -> None:
        self.folder, self.keep = folder, keep

    def prepare(self) -> None:
        """Make the folder one for copies. Raises JournalUnavailable."""
        with self._or(
            tr_noop("{folder} cannot be written to ({strerror}). Choose another place for copies.")
        ):
            self.folder.mkdir(parents=True, exist_ok=True)
            if not (self.folder / MARK).is_file():
                write_whole(self.folder / MARK, _MARK_TEXT.encode())

    def _or(self, sentence: str) -> AbstractContextManager[None]:
        """Inside, what the disk refuses is said so."""
        return said_as(JournalUnavailable, sentence, folder=self.folder)

    def copies(self, chain: str) -> tuple[Copy, ...]:
        """The copies of one journal, the one with the fewest events first. Raises JournalUnavailable where the
        place is out of reach."""
        with self._or(
            tr_noop("The place for copies, {folder}, cannot be read ({strerror}). Plug it in again.")
        ):
            if not (self.folder / MARK).is_file():
                raise JournalUnavailable(
                    tr(
                        "The place for copies, {folder}, is not there. Plug its disk or stick in; if it was "
                        "emptied, begin it anew. {name_a_place}",
                        folder=self.folder,
                        name_a_place=NAME_A_PLACE,
                    )
                )
            found = [(path, _NAME.fullmatch(path.name)) for path in self.folder.iterdir()]
        ours = (Copy(p, int(m[3]), m[2]) for p, m in found if m is not None and m[1] == chain[:8])
        return tuple(sorted(ours, key=lambda copy: (copy.seq, copy.taken)))

    def keep_up(self, journal: Journal) -> Path | None:
        """Make a copy if one is due, and thin the older ones out; where it is now, None where none was due.

        One is due where something was recorded since the last, and that was on another day, or a batch has ended since.
        Raises RecordError.
        """
        head = _head(journal)
        if head is None:
            return None
        copies = self.copies(head.chain)
        if not _due(journal, head, copies):
            return None
        self._clear(head.chain)
        made = self.folder / f"journal-{head.chain[:8]}-{_compact(journal.wall())}-{head.seq}.sqlite"
        back_up(journal, made)
        self._thin(self.copies(head.chain))
        return made

    def behind(self, journal: Journal) -> str:
        """Why the copies are no safety any more, in a sentence; "" while they are. Raises RecordError."""
        head = _head(journal)
        if head is None:
            return ""
        copies = self.copies(head.chain)
        if not copies:
            return tr(
                "No copy of this journal lies in {folder}. {name_a_place}",
                folder=self.folder,
                name_a_place=NAME_A_PLACE,
            )
        newest = copies[-1]
        days = (date.fromisoformat(journal.today()) - newest.day).days
        if newest.seq == head.seq or 0 <= days <= OLD_DAYS:
            return ""
        if days < 0:  # the clock went wrong, then or now
            return tr(
                "The newest copy in {folder} is dated {day}, which is still to come, and {seq} events came since. {name_a_place}",
                folder=self.folder,
                day=newest.day.isoformat(),
                seq=head.seq - newest.seq,
                name_a_place=NAME_A_PLACE,
            )
        return tr(
            "The newest copy in {folder} is {days} days old, and {seq} events came since. {name_a_place}",
            folder=self.folder,
            days=days,
            seq=head.seq - newest.seq,
            name_a_place=NAME_A_PLACE,
        )

    def _clear(self, chain: str) -> None:
        """Take away what a power cut left half written."""
        with self._or(tr_noop("{folder} cannot be written to ({strerror}). Plug it in again.")):
            for half in self.folder.glob(f"journal-{chain[:8]}-*.unfinished"):
                half.unlink(missing_ok=True)

    def _thin(self, copies: Sequence[Copy]) -> None:
        with self._or(tr_noop("Old copies in {folder} cannot be taken away ({strerror}); it will fill up.")):
            for copy in surplus(copies, self.keep):
                head_beside(copy.path).unlink(missing_ok=True)
                copy.path.unlink(missing_ok=True)


def surplus(copies: Sequence[Copy], keep: int) -> tuple[Copy, ...]:
    """Those that go: all but the newest ``keep``, and the last of each of the twelve months before them."""
    older = copies[: max(len(copies) - keep, 0)]
    last_of_month = {copy.taken[:6]: copy for copy in older}
    months = sorted(last_of_month)[-MONTHS:]
    kept = {last_of_month[month] for month in months}
    return tuple(copy for copy in older if copy not in kept)


def _due(journal: Journal, head: Head, copies: Sequence[Copy]) -> bool:
    if not copies:
        return True
    newest = copies[-1]
    if newest.seq == head.seq:
        return False
    with journal.reading() as c:
        real = select(BATCH.c.batch).where(~BATCH.c.rehearsal)
        ends = select(func.max(EVENT.c.seq)).where(EVENT.c.kind.in_(_ENDS), EVENT.c.batch.in_(real))
        ended = c.execute(ends).scalar() or 0  # its place in the chain, as no clock goes back there
    return newest.taken[:8] != _compact(journal.wall())[:8] or ended > newest.seq


def _compact(wall: str) -> str:
    return wall[:19].replace("-", "").replace(":", "")


def _head(journal: Journal) -> Head | None:
    with journal.reading() as c:
        return head_now(c, journal.wall(), str(journal.path.parent.resolve()))
