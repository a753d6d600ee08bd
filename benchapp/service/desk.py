"""The workshop's desk: every matter of it on one journal, as the commands ask and as the pages ask."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.correcting import correct, to_be_written
from benchapp.record.correction_words import word_of
from benchapp.service.aftercare import Aftercare
from benchapp.service.batches import Batches
from benchapp.service.costs import Costs
from benchapp.service.errors import CommandError
from benchapp.service.labels import Labels
from benchapp.service.lots import LotDesk
from benchapp.service.masters import Masters
from benchapp.service.matter import as_sentence
from benchapp.service.needs import Needs
from benchapp.service.overview import Overview
from benchapp.service.people import Personnel
from benchapp.service.release import Release
from benchapp.service.signing import Pin, signed_if_enrolled
from benchapp.service.tracing import Tracing
from benchapp.service.training import Training

if TYPE_CHECKING:
    from benchapp.rehearsal.debrief import Debrief


class Desk(
    Batches,
    Release,
    LotDesk,
    Costs,
    Needs,
    Tracing,
    Labels,
    Masters,
    Personnel,
    Training,
    Aftercare,
    Overview,
):
    """What is asked and written after a make. What may not be is refused with CommandError or a RecordError."""

    def correct(self, batch: str, n: int, change: tuple[str, str], reason: str, by: str, pin: Pin) -> str:
        """Say that a field of event ``n`` was wrong, by field and new value; the event stays."""
        said = ev.Corrected(at_s=0.0, n=n, field=change[0], old="", new=change[1], reason=reason, by=by)
        field = to_be_written(self.records, batch, said).field
        if field == "material":
            said = replace(said, new=self._as_received(batch, said))
        roles = ("releaser",) if field == "state" else ("maker", "releaser")  # as whoever judges a lot
        who = signed_if_enrolled(self.journal, by, pin, *roles)
        one = correct(self.records, batch, replace(said, by=who))
        return tr(
            "{batch}, event {n}: {field} was {old}, is {new}. Both stand in the record.",
            batch=batch,
            n=n,
            field=word_of(one.field),
            old=one.old,
            new=one.new,
        )

    def _as_received(self, batch: str, said: ev.Corrected) -> str:
        """The material that a delivery is corrected to, under its key as when it is received. Raises CommandError where it was
        mistyped."""
        named = self.journal.own.at(batch, said.n) or self.journal.at(batch, said.n)
        if named is None or not isinstance(named.event, ev.LotReceived):
            return said.new
        return self._named(replace(named.event, material=said.new, name=""), new=False)[0].material


class PageDesk(Desk):
    """The desk behind a page: a refusal is a sentence like any answer, and is shown in its place."""

    decide = as_sentence(Desk.decide)
    record_check = as_sentence(Desk.record_check)
    close_deviation = as_sentence(Desk.close_deviation)
    checked_afterwards = as_sentence(Desk.checked_afterwards)
    receive = as_sentence(Desk.receive)
    enrol = as_sentence(Desk.enrol)
    approve_master = as_sentence(Desk.approve_master)
    give = as_sentence(Desk.give)

    def debrief(self, batch: str) -> Debrief | str:
        """How a rehearsal went, or the sentence why nobody can say."""
        try:
            return self.debriefing(batch)
        except CommandError as error:
            return str(error).splitlines()[0]
