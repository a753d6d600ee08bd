"""Stock against a plan: what batches need, what there is too little of, and what runs out in which of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.calculations.cost import Need, soonest_first
from benchapp.foundation.language import tr, tr_n
from benchapp.record.corrections import as_they_stand
from benchapp.service.matter import Matter, Sheet
from benchapp.service.wording import amount

if TYPE_CHECKING:
    from benchapp.record.lots import Lot
    from procedures.model import Procedure


@dataclass(frozen=True, slots=True)
class Sized:
    """So many batches of a procedure, each of this size in grams."""

    procedure: Procedure
    batch_g: float
    times: int


class Needs(Matter):
    """What is reckoned from formulas, from what past batches took of packaging, and from the book of lots."""

    def short_of(self, procedure: Procedure) -> tuple[str, ...]:
        """What there is too little of for a batch of the usual size; () in a workshop that keeps no lots."""
        if not self.records.lots().lots:
            return ()
        needs = self._needs([Sized(procedure, procedure.default_batch_g, 1)], self.journal.today())
        return tuple(need.what for need in needs if need.short)

    def needs(self, plan: Sequence[Sized], until: str = "") -> Sheet:
        """What planned batches need against what may be used until an ISO date (today where none is given): what runs
        out first, first."""
        day = until or self.journal.today()
        needs = self._needs(plan, day)
        batches = [s for s in plan for _ in range(s.times)]
        rows = tuple(
            (n.what, amount(n.needed, n.unit), amount(max(n.on_hand, 0.0), n.unit),
             amount(n.short, n.unit) if n.short else "", _lasts(n, batches))
            for n in needs
        )  # fmt: skip
        return Sheet(
            (
                tr(
                    "{batches}, by what may be used on {day}:",
                    batches=tr_n("{n} batch", "{n} batches", n=len(batches)),
                    day=day,
                ),
            ),
            ("what", tr("needed"), tr("on hand"), "missing", tr("runs out")),
            rows,
            (*_as_needed(plan), *self._no_packaging(plan)),
        )

    def _needs(self, plan: Sequence[Sized], day: str) -> tuple[Need, ...]:
        """What planned batches need, what runs out first, first, by what may be used until that day."""
        book = self.records.lots()
        usable = [x for x in book.lots.values() if not book.usable(x.lot, day)]
        return soonest_first((*self._materials(plan, usable), *self._packaging(plan, usable)))

    def _materials(self, plan: Sequence[Sized], usable: Sequence[Lot]) -> list[Need]:
        tapped = {x.material for x in usable if x.on_tap}
        names: dict[str, str] = {}
        each: dict[str, list[float]] = {}
        batches = [s for s in plan for _ in range(s.times)]
        for n, sized in enumerate(batches):
            for line in sized.procedure.formula.lines:
                if line.cap_percent is None and line.material.key not in tapped:
                    names[line.material.key] = line.material.name
                    grams = each.setdefault(line.material.key, [0.0] * len(batches))
                    grams[n] += line.percent * sized.batch_g / 100
        left = {key: sum(x.left for x in usable if x.material == key and x.unit == "g") for key in each}
        return [Need(names[key], "g", tuple(grams), left[key]) for key, grams in each.items()]

    def _no_packaging(self, plan: Sequence[Sized]) -> tuple[str, ...]:
        """What no packaging can be foreseen for: silence would be taken for none needed."""
        known = {s.procedure.key for s in plan if self._packaging([s], ())}
        names = dict.fromkeys(s.procedure.name for s in plan if s.procedure.key not in known)
        if not names:
            return ()
        return (
            tr(
                "No packaging is counted for {names}: no past batch says how much it takes (benchapp pack).",
                names=", ".join(names),
            ),
        )

    def _packaging(self, plan: Sequence[Sized], usable: Sequence[Lot]) -> list[Need]:
        """Pieces, by what the newest batch of each procedure drew for a gram of it."""
        each: dict[str, list[float]] = {}
        batches = [s for s in plan for _ in range(s.times)]
        for n, sized in enumerate(batches):
            for line in self.journal.finished(sized.procedure.key, False, 1):
                for s in as_they_stand(self.journal.of_kinds((ev.PiecesUsed, ev.Corrected), line.batch)):
                    if isinstance(e := s.event, ev.PiecesUsed):
                        pieces = each.setdefault(e.material, [0.0] * len(batches))
                        pieces[n] += float(round(e.pieces * sized.batch_g / line.batch_g))
        left = {key: sum(x.left for x in usable if x.material == key and x.unit == "pieces") for key in each}
        return [Need(key, "pieces", tuple(pieces), left[key]) for key, pieces in each.items()]


def _lasts(need: Need, batches: Sequence[Sized]) -> str:
    if need.lasts_for == len(batches):
        return ""
    return tr(
        "in batch {lasts_for}, {name}",
        lasts_for=need.lasts_for + 1,
        name=batches[need.lasts_for].procedure.name,
    )


def _as_needed(plan: Sequence[Sized]) -> tuple[str, ...]:
    """What is used only where a measurement asks for it is not foreseen."""
    most: dict[str, float] = {}
    for sized in plan:
        for line in sized.procedure.formula.lines:
            if line.cap_percent is not None:
                name = line.whole_name
                most[name] = most.get(name, 0.0) + line.cap_percent * sized.batch_g * sized.times / 100
    if not most:
        return ()
    said = ", ".join(f"{name} {amount(grams, 'g')}" for name, grams in most.items())
    return (tr("Only as far as it is asked for, at the most: {said}.", said=said),)
