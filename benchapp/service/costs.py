"""Money and time: what a batch cost, what it would cost in another size, and how long one usually takes."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.calculations.cost import BatchCost, Drawn, at_size, batch_cost, containers_of, resized
from benchapp.foundation.language import number, tr, tr_n, translated
from benchapp.make.waits import hours
from benchapp.record import stock
from benchapp.record.labour import MakeTimes, times_of
from benchapp.record.tracing import LotInBatch, back
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, signed_if_enrolled
from benchapp.service.wording import REHEARSAL_DRAWS, amount

if TYPE_CHECKING:
    from benchapp.record.batch_events import BatchEvents
    from benchapp.record.facts import ProcedureFacts


#: So many makes say how long one usually takes.
NEWEST = 3


class Costs(Matter):
    """What is reckoned from lot prices, from what was drawn, and from the times of past makes."""

    def price(self, lot: str, price: tuple[float, str], by: str, pin: Pin) -> str:
        """What a whole delivery cost: an amount and its currency (ISO 4217)."""
        cost, currency = price
        self.require_lot(lot)
        who = signed_if_enrolled(self.journal, by, pin)
        stock.about_lot(self.records, ev.LotPriced(at_s=0.0, lot=lot, price=cost, currency=currency, by=who))
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
            for b in self.journal.finished(procedure, False, None)
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

    def usual_s(self, procedure: str) -> float | None:
        """How long a make of it took, at work and waiting: the middle one of the newest; None where none is finished."""
        taken = []
        for line in self.journal.finished(procedure, False, NEWEST):
            stored = self.journal.by_kind(line.batch)
            times = times_of(stored, _facts(stored))
            taken.append(times.worked_s + times.waited_s)
        return median(taken) if taken else None


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
