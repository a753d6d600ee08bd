"""Too much of one ingredient: the three remedies worked out in full, each with why it cannot be had if it cannot.

Plain proportion throughout; exact decimal arithmetic, so that every figure is a number the scale can show.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact


@dataclass(frozen=True, slots=True)
class BatchShare:
    """One line of the formula as it stands at the moment of the over-pour. Masses in grams, shares in percent.

    ``weighed_g`` is None where it is still to come. ``may_add`` says whether more of it may go in at this point of
    the process (no wax into a cold emulsion). ``stock_g`` is what is left of its lot, not counting what has been
    weighed; None where nobody knows. ``tolerance_percent`` of its new mass may go unadded. ``kettle`` is which of a batch's kettles it goes into, 0: into the whole batch.
    """

    key: str
    name: str
    percent: float
    target_g: float
    readability_g: float
    weighed_g: float | None = None
    vessel: str = ""
    may_add: bool = True
    stock_g: float | None = None
    ceiling_percent: float | None = None
    tolerance_percent: float = 0.0
    kettle: int = 0


@dataclass(frozen=True, slots=True)
class Accept:
    """Leave it in; ``why_not`` are the ceilings it would pass, a sentence each."""

    why_not: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remove:
    """Take out what is too much. It is waste, never back to its lot."""

    why_not: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Keep:
    """Keep the formula and make more of it. Masses in grams.

    ``additions_g`` is what goes on top of lines already weighed, ``targets_g`` what each line still to come becomes.
    """

    batch_g: float
    additions_g: dict[str, float]
    targets_g: dict[str, float]
    why_not: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Remedies:
    """The three ways on. One may be offered where its ``why_not`` is empty; accepting is always the maker's choice
    to write a reason for, except past a ceiling."""

    accept: Accept
    remove: Remove
    keep: Keep


@dataclass(frozen=True, slots=True)
class OverpourLimits:
    """What the batch has to stay within. None: no limit known. ``vessel_g`` is how many grams of the batch each vessel takes."""

    largest_batch_g: float | None = None
    vessel_g: Mapping[str, float] | None = None


def remedies(
    lines: Sequence[BatchShare], over: str, limits: OverpourLimits, passed: tuple[str, ...]
) -> Remedies:
    """Work out all three remedies for the line with the key ``over``, which has been weighed. ``passed`` are the ceilings that
    are passed where it stays in.

    Raises KeyError for a key that is no line, ValueError where that line has not been weighed, or the shares do not add up
    to 100 percent.
    """
    line = next((x for x in lines if x.key == over), None)
    if line is None:
        raise KeyError(over)
    if line.weighed_g is None:
        raise ValueError(tr("{name} has not been weighed, so it cannot be over-poured", name=line.name))
    if exact(sum(x.percent for x in lines)) != 100:
        raise ValueError(
            tr("the shares add up to {sum:g} %; they have to be 100 %", sum=sum(x.percent for x in lines))
        )
    return Remedies(Accept(passed), _remove(lines, line), _keep(lines, line, limits))


# --- remove ------------------------------------------------------------------------------------------------


def _remove(lines: Sequence[BatchShare], line: BatchShare) -> Remove:
    assert line.weighed_g is not None
    with_it = [x.name for x in lines if x is not line and x.vessel == line.vessel and (x.weighed_g or 0) > 0]
    why_not: tuple[str, ...] = ()
    if with_it:
        why_not = (
            tr(
                "{names} is in the same vessel: what comes out would not be {name} alone.",
                names=", ".join(with_it),
                name=line.name,
            ),
        )
    if line.weighed_g <= line.target_g:
        why_not += (tr("{name} is not above its target.", name=line.name),)
    return Remove(why_not)


# --- keep the formula --------------------------------------------------------------------------------------


def _keep(lines: Sequence[BatchShare], over: BatchShare, limits: OverpourLimits) -> Keep:
    batches = _batches(lines, over)
    totals = _totals(lines, batches)
    additions = {
        x.key: float(totals[x.key] - _exact(x.weighed_g))
        for x in lines
        if x.weighed_g is not None and totals[x.key] > _exact(x.weighed_g)
    }
    targets = {x.key: float(totals[x.key]) for x in lines if x.weighed_g is None and x.kettle in batches}
    batch = float(sum(totals.values()))
    short = {
        x.key: float(_exact(need) - _exact(x.stock_g))
        for x in lines
        if x.stock_g is not None and (need := additions.get(x.key, targets.get(x.key, 0.0))) > x.stock_g
    }
    why_not = [
        tr("No more {name} may go in at this point.", name=x.name)
        for x in lines
        if x.key in additions and not x.may_add
    ]
    why_not += [
        tr(
            "The lot of {name} still holds {stock_g:g} g; {stock_g_2:g} g are needed.",
            name=x.name,
            stock_g=x.stock_g,
            stock_g_2=x.stock_g + short[x.key],
        )
        for x in lines
        if x.stock_g is not None and x.key in short
    ]
    why_not += [*_no_room(lines, totals, limits), *_over_ceiling(lines, totals)]
    return Keep(batch, additions, targets, tuple(why_not))


def _over_ceiling(lines: Sequence[BatchShare], totals: Mapping[str, Decimal]) -> Iterator[str]:
    """The lines that would stand above their ceiling in the whole, a sentence each."""
    whole = float(sum(totals.values()))
    for x in lines:
        percent = 100 * float(totals[x.key]) / whole
        if x.ceiling_percent is not None and exact(percent) > x.ceiling_percent:
            yield tr(
                "{name} would be {percent:.3g} % where {ceiling_percent:g} % is the most.",
                name=x.name,
                percent=percent,
                ceiling_percent=x.ceiling_percent,
            )


def _batches(lines: Sequence[BatchShare], over: BatchShare) -> dict[int, Decimal]:
    """The smallest batch in which no weighed line is too much, by the kettle whose lines are to be shares of it.

    Where one kettle got too much, that kettle is made larger, and what goes into the whole batch by as much as the kettles
    together; another kettle is not in it: it stays as it is.
    """
    mine = [x for x in lines if x.kettle == over.kettle or not over.kettle]
    batch = max(
        (_exact(x.weighed_g) * 100 / _exact(x.percent) for x in mine if x.weighed_g and x.percent > 0),
        default=Decimal(0),
    )
    if not over.kettle:
        return dict.fromkeys((x.kettle for x in lines), batch)
    split = [x for x in lines if x.kettle]
    grams = sum(
        (
            batch * _exact(x.percent) / 100
            if x.kettle == over.kettle
            else _exact(x.target_g if x.weighed_g is None else x.weighed_g)
            for x in split
        ),
        Decimal(0),
    )
    return {over.kettle: batch, 0: grams * 100 / sum((_exact(x.percent) for x in split), Decimal(0))}


def _totals(lines: Sequence[BatchShare], batches: Mapping[int, Decimal]) -> dict[str, Decimal]:
    """What every line becomes: its share of its batch, or what it is where its kettle has none.

    A weighed line is never less than it weighs; one inside its tolerance stays as it is. A line with a ceiling is
    rounded down, so that rounding never lifts it, any other to the nearest number of its scale.
    """
    totals: dict[str, Decimal] = {}
    for x in lines:
        if x.kettle not in batches:
            totals[x.key] = _exact(x.target_g if x.weighed_g is None else x.weighed_g)
            continue
        exact = batches[x.kettle] * _exact(x.percent) / 100
        there = Decimal(0) if x.weighed_g is None else _exact(x.weighed_g)
        step = _exact(x.readability_g)
        mode = ROUND_HALF_EVEN if x.ceiling_percent is None else ROUND_FLOOR
        # From what stands there in whole divisions: an addition has to be a number the scale can show.
        more = ((exact - there) / step).to_integral_value(rounding=mode) * step
        near = x.weighed_g is not None and exact - there <= exact * _exact(x.tolerance_percent) / 100
        totals[x.key] = there if near or more < 0 else there + more
    return totals


def _no_room(
    lines: Sequence[BatchShare], totals: Mapping[str, Decimal], limits: OverpourLimits
) -> Iterator[str]:
    for vessel, room in (limits.vessel_g or {}).items():
        filled = float(sum((totals[x.key] for x in lines if x.vessel == vessel), Decimal(0)))
        if filled > room:
            yield tr(
                "{vessel} takes {room:g} g; {vessels_g:g} g would be in it.",
                vessel=vessel,
                room=room,
                vessels_g=filled,
            )
    batch_g = float(sum(totals.values()))
    if limits.largest_batch_g is not None and batch_g > limits.largest_batch_g:
        yield tr(
            "The batch would be {batch_g:g} g; {largest_batch_g:g} g is the most.",
            batch_g=batch_g,
            largest_batch_g=limits.largest_batch_g,
        )


def _exact(value: float | None) -> Decimal:
    return Decimal(0) if value is None else Decimal(repr(value))
