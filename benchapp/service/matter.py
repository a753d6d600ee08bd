"""What the desk's matters have in common: the records they ask and add to, and the sheet they answer with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, ParamSpec

from benchapp.events import MakeStarted
from benchapp.foundation.language import tr
from benchapp.record.errors import NoSuchBatch, NoSuchLot, NotAllowed, Unspecified, no_lot
from benchapp.record.facts import ProcedureFacts
from benchapp.record.journal import Journal
from benchapp.record.workshop import Workshop
from benchapp.service.errors import CommandError
from procedures.errors import ProcedureError

if TYPE_CHECKING:
    from procedures.model import Procedure

P = ParamSpec("P")


@dataclass(frozen=True, slots=True)
class Sheet:
    """An answer of many lines: sentences, a table, and sentences after it. Faces draw it as a table or as lines."""

    head: tuple[str, ...] = ()
    titles: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """All of it as lines, a row as its first cell and the others after a colon."""
        rows = (f"{row[0]}: {', '.join(cell for cell in row[1:] if cell)}" for row in self.rows)
        return (*self.head, *rows, *self.notes)


class Matter:
    """One subject of the desk, on one journal. What may not be is refused with CommandError or a RecordError."""

    def __init__(self, journal: Journal) -> None:
        self.journal = journal
        self.records = Workshop(journal, facts_as_made)

    def procedure_named(self, named: str) -> Procedure:
        """A procedure of the workshop's own, a shipped one, or one in a file. Raises ProcedureError."""
        from benchapp.service.approved_elsewhere import arrived_texts
        from benchapp.service.own_procedures import read_named

        folder = self.journal.path.parent
        return read_named(named, folder, arrived_texts(self.journal, folder)).procedure

    def require_lot(self, lot: str) -> None:
        """Raise NoSuchLot where nothing was received under that name: before anybody is asked for a PIN."""
        if not self.records.lots_named(lot):
            raise no_lot(lot)

    def missing_elsewhere(self) -> tuple[str, ...]:
        """What of the other benches an answer may lack, a sentence each; nothing on a bench alone."""
        missing = self.journal.elsewhere.missing()
        return tuple(tr("It may lack what other benches made: {why}", why=why) for why in missing)

    def day_gone_by(self, on: str) -> str:
        """The ISO date on which something was done, today where none is given. Raises CommandError for a later one."""
        if on > self.journal.today():
            raise CommandError(tr("{on} is still to come.", on=on))
        return on or self.journal.today()


def as_sentence(method: Callable[P, str]) -> Callable[P, str]:
    """The method with its refusal as a sentence, like its answer: a page shows either."""

    def told(*args: P.args, **kwargs: P.kwargs) -> str:
        try:
            return method(*args, **kwargs)
        except (CommandError, NotAllowed, NoSuchBatch, NoSuchLot) as error:
            return str(error)

    return told


def facts_as_made(started: MakeStarted) -> ProcedureFacts:
    """The facts of a make's procedure, its release specification among them. Raises Unspecified where this
    version can't read it: nothing is released by guess."""
    from benchapp.service.procedure_facts import facts_of_text

    try:
        return facts_of_text(started.procedure, started.procedure_text)
    except ProcedureError as error:
        first = str(error).splitlines()[0]
        raise Unspecified(
            tr(
                "What {batch} has to be before it leaves cannot be read by this version ({first}). "
                "Look at the procedure in its record, and decide with the version it was made with.",
                batch=started.batch,
                first=first,
            )
        ) from error
