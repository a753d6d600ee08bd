"""Money, time and stock: what a batch cost, what it would cost in another size, and what a plan of batches needs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from statistics import median
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.calculations.cost import (
    BatchCost,
    Drawn,
    Need,
    at_size,
    batch_cost,
    containers_of,
    resized,
    soonest_first,
)
from benchapp.foundation.language import number, tr, tr_n, translated
from benchapp.make.waits import hours
from benchapp.record.labour import MakeTimes, times_of
from benchapp.record.tracing import LotInBatch, back
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, signed_if_enrolled
from benchapp.service.wording import REHEARSAL_DRAWS, amount

if TYPE_CHECKING:
    from benchapp.record.batch_events import BatchEvents
    from benchapp.record.batch_line import BatchLine
    from benchapp.record.facts import ProcedureFacts
    from benchapp.record.lots import Lot
    from procedures.model import Procedure


#: So many makes say how long one usually takes.
NEWEST = 3


@dataclass(frozen=True, slots=True)
class Sized:
    """So many batches of a procedure, each of this size in grams."""

    procedure: Procedure
    batch_g: float
    times: int


class Costs(Matter):
    """What is reckoned from lot prices, from what was drawn, and from the times of past makes."""

    def price(self, lot: str, price: tuple[float, str], by: str, pin: Pin) -> str:
        """What a whole delivery cost: an amount and its currency (ISO 4217)."""
        cost, currency = price
        self.require_lot(lot)
        who = signed_if_enrolled(self.journal, by, pin)
        self.records.about_lot(ev.LotPriced(at_s=0.0, lot=lot, price=cost, currency=currency, by=who))
        return tr("Lot {lot} cost {cost:.2f} {currency}.", lot=lot, cost=cost, currency=currency)

    def cost(self, batch: str, hourly: float | None = None, batch_g: float | None = None) -> Sheet:
        """What one batch cost; with ``batch_g``, what the same formula would cost in that size. Raises NoSuchBatch."""
        line = self.journal.named(batch)
        if line.rehearsal:
            return Sheet((translated(REHEARSAL_DRAWS),))
        drawn, currency = self._drawn(line.batch)
        stored = self.journal.by_kind(line.batch)
        filled = [e.net_g for e in stored.counted.standing.events(ev.BottleFilled)]
        times = times_of(stored, _facts(stored))
        containers, made = len(filled), f"{line.batch}, {number(line.batch_g)} g"
        head: tuple[str, ...] = ()
        if batch_g is not None:
            factor = batch_g / line.batch_g
            containers = containers_of(factor * sum(filled), filled)
            drawn = resized(drawn, factor, (len(filled), containers))
            times, basis = self._times_at(line.procedure, batch_g, times, (len(filled), containers))
            made, head = tr("{batch} in a size of {batch_g:g} g", batch=line.batch, batch_g=batch_g), (basis,)
        found = batch_cost(drawn, containers, times.worked_s, hourly)
        return Sheet(
            (tr("What {made} would cost:", made=made) if head else tr("What {made} cost:", made=made), *head),
            ("what", "lot", "drawn", "cost"),
            tuple((d.what, d.lot, amount(d.amount, d.unit), _money(d.cost, currency)) for d in drawn),
            _sums(found, times, currency, hourly),
        )

    def _drawn(self, batch: str, above: tuple[str, ...] = ()) -> tuple[tuple[Drawn, ...], str]:
        """All that went into a batch with what its deliveries cost, and the currency; the workshop's own lots cost what
        went into their batch. Raises CommandError where there are two currencies."""
        inputs = [x for x in back(self.journal, batch).inputs if x.batch == batch]
        priced = {
            s.event.lot: s.event
            for s in self.journal.of_kinds((ev.LotPriced,), ev.WORKSHOP)
            if isinstance(s.event, ev.LotPriced)
        }
        names = {key: line.name for key, line in _facts(self.journal.by_kind(batch)).lines.items()}
        currencies: list[str] = []
        drawn: list[Drawn] = []
        for x in inputs:
            price: float | None = None
            if x.use.lot in priced:
                price = priced[x.use.lot].price
                currencies.append(priced[x.use.lot].currency)
            elif x.lot is not None and x.lot.made_in and x.lot.made_in not in (*above, batch):
                inside, currency = self._drawn(x.lot.made_in, (*above, batch))
                costs = [d.cost for d in inside]
                price = None if None in costs else sum(c or 0.0 for c in costs)
                currencies += [currency] if currency else []
            drawn.append(_of(x, names, price))
        if len(set(currencies)) > 1:
            both = " and ".join(sorted(set(currencies)))
            raise CommandError(tr("Its lots are priced in {both}: give them in one currency.", both=both))
        return tuple(drawn), next(iter(currencies), "")

    def _times_at(
        self, procedure: str, batch_g: float, own: MakeTimes, containers: tuple[int, int]
    ) -> tuple[MakeTimes, str]:
        """The times a size would take, from the finished makes of the procedure, and what they rest on."""
        past = [
            (b.batch_g, times_of(stored, _facts(stored)))
            for b in self._made(procedure, None)
            for stored in (self.journal.by_kind(b.batch),)
        ]
        sizes = len({size for size, _ in past})
        steady = at_size([(size, t.worked_s - t.filling_s) for size, t in past], batch_g)
        waited = at_size([(size, t.waited_s) for size, t in past], batch_g)
        before, after = containers
        filling = own.filling_s * (after / before if before else 1.0)
        basis = tr_n(
            "Its times by {n} finished batch of it", "Its times by {n} finished batches of it", n=len(past)
        )
        basis += (
            tr(" in one size: heating and cooling take longer in a larger one.")
            if sizes < 2
            else tr(" in {sizes} sizes; filling goes by the containers.", sizes=sizes)
        )
        worked = (own.worked_s - own.filling_s if steady is None else steady) + filling
        return MakeTimes(worked, own.waited_s if waited is None else waited, 0.0, filling), basis

    def _made(self, procedure: str, newest: int | None = 50) -> Iterator[BatchLine]:
        """Its finished batches that were no rehearsals, the newest first, among so many."""
        batches = self.journal.batches(newest, procedure)
        return (b for b in batches if b.made)

    def usual_s(self, procedure: str) -> float | None:
        """How long a make of it took, at work and waiting: the middle one of the newest; None where none is finished."""
        taken = []
        for line in islice(self._made(procedure), NEWEST):
            stored = self.journal.by_kind(line.batch)
            times = times_of(stored, _facts(stored))
            taken.append(times.worked_s + times.waited_s)
        return median(taken) if taken else None

    def short_of(self, procedure: Procedure) -> tuple[str, ...]:
        """What there is too little of for a batch of the usual size; () in a workshop that keeps no lots."""
        if not self.records.lots().lots:
            return ()
        needs = self._needs([Sized(procedure, procedure.default_batch_g, 1)], self.today())
        return tuple(need.what for need in needs if need.short)

    def needs(self, plan: Sequence[Sized], until: str = "") -> Sheet:
        """What planned batches need against what may be used until an ISO date (today where none is given): what runs
        out first, first."""
        day = until or self.today()
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
            newest = next(self._made(sized.procedure.key), None)
            for s in () if newest is None else self.journal.of_kinds((ev.PiecesUsed,), newest.batch):
                if newest is not None and isinstance(e := s.event, ev.PiecesUsed):
                    pieces = each.setdefault(e.material, [0.0] * len(batches))
                    pieces[n] += float(round(e.pieces * sized.batch_g / newest.batch_g))
        left = {key: sum(x.left for x in usable if x.material == key and x.unit == "pieces") for key in each}
        return [Need(key, "pieces", tuple(pieces), left[key]) for key, pieces in each.items()]


def _facts(stored: BatchEvents) -> ProcedureFacts:
    """Plain keys in place of names where this version can no longer read the batch's procedure."""
    from benchapp.service.procedure_facts import facts_in

    return facts_in(stored.first.event)


def _of(found: LotInBatch, names: dict[str, str], price: float | None) -> Drawn:
    use, lot = found.use, found.lot
    what = names.get(use.line, "") or (lot.name if lot else "") or use.material or use.line
    quantity = lot.quantity if lot is not None else -1.0  # no lot: what it cost is not known
    return Drawn(what, use.lot, use.used + use.spoiled, use.unit, quantity, price)


def _money(value: float | None, currency: str) -> str:
    return tr("not known") if value is None else f"{number(value, '.2f')} {currency}".strip()


def _sums(found: BatchCost, times: MakeTimes, currency: str, hourly: float | None) -> tuple[str, ...]:
    work = tr(
        "At work {hours}, waiting for heat and cold {hours_2}",
        hours=hours(times.worked_s),
        hours_2=hours(times.waited_s),
    )
    work += tr(", away {hours}.", hours=hours(times.away_s)) if times.away_s >= 60 else "."
    out = [
        tr(
            "Materials {money}, packaging {money_2}.",
            money=_money(found.materials, currency),
            money_2=_money(found.packaging, currency),
        ),
        work,
    ]
    if found.labour is not None:
        out.append(
            tr("Work at {hourly:g} an hour: {money}.", hourly=hourly, money=_money(found.labour, currency))
        )
    whole = tr("In all {money}", money=_money(found.total, currency))
    whole += "" if found.labour is not None else tr(" without the work (its rate: --hourly)")
    each = (
        ""
        if found.each is None
        else tr(
            "; {money} for each of {containers} containers",
            money=_money(found.each, currency),
            containers=found.containers,
        )
    )
    out.append(f"{whole}{each}.")
    if found.unknown:
        out.append(
            tr(
                "Without what no price is known for: {names}. (benchapp lot price LOT)",
                names="; ".join(found.unknown),
            )
        )
    return tuple(out)


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
