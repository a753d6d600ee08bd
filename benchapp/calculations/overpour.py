"""Too much of one ingredient: the three remedies worked out in full, each with why it cannot be had if it cannot.

Plain proportion throughout; exact decimal arithmetic, so that every figure is a number the scale can show.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact


@dataclass(frozen=True, slots=True)
class BatchShare:
    """One line of the formula as it stands at the moment of the over-pour. Masses in grams, shares in percent.

    ``weighed_g`` is None where it is still to come. ``may_add`` says whether more of it may go in at this point of
    the process (no wax into a cold emulsion). ``stock_g`` is what is left of its lot, not counting what has been
    weighed; None where nobody knows. ``tolerance_percent`` of its new mass may go unadded. ``evaporates`` marks water: what the batch loses, it loses of
    these lines. ``kettle`` is which of a batch's kettles it goes into, 0: into the whole batch.
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
    evaporates: bool = False
    kettle: int = 0


@dataclass(frozen=True, slots=True)
class OverCeiling:
    """A line that would stand above its ceiling in the finished mass."""

    key: str
    name: str
    percent: float
    ceiling_percent: float


@dataclass(frozen=True, slots=True)
class Accept:
    """Leave it in: what every line then is, in percent of the finished mass of ``finished_g`` grams. ``against`` are
    the law's ceilings it would pass, a sentence each."""

    percents: dict[str, float]
    over: tuple[OverCeiling, ...]
    finished_g: float
    against: tuple[str, ...] = ()

    @property
    def why_not(self) -> tuple[str, ...]:
        """Why it should not be: one sentence per ceiling passed."""
        return (*_sentences(self.over), *self.against)


@dataclass(frozen=True, slots=True)
class Remove:
    """Take ``remove_g`` grams out, down to ``down_to_g``. What is taken out is waste, never back to its lot."""

    remove_g: float
    down_to_g: float
    why_not: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Keep:
    """Keep the formula and make more of it. Masses in grams.

    ``additions_g`` is what goes on top of lines already weighed, ``targets_g`` what each line still to come becomes,
    ``totals_g`` what each line is in the end. ``stock_short_g`` holds the lines whose lot does not reach.
    """

    batch_g: float
    additions_g: dict[str, float]
    targets_g: dict[str, float]
    totals_g: dict[str, float]
    percents: dict[str, float]
    stock_short_g: dict[str, float]
    vessels_g: dict[str, float]
    extra_s: float
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
    """What the batch has to stay within. None: no limit known.

    ``vessel_g`` is how many grams of the batch each vessel takes. ``lost_g`` grams of water are expected to be lost
    before the batch is finished, all of it from the lines that evaporate and no more than they hold: ceilings hold in
    what is left.
    """

    largest_batch_g: float | None = None
    vessel_g: Mapping[str, float] | None = None
    time_left_s: float | None = None
    each_addition_s: float = 60.0
    lost_g: float = 0.0


def remedies(lines: Sequence[BatchShare], over: str, limits: OverpourLimits | None = None) -> Remedies:
    """Work out all three remedies for the line with the key ``over``, which has been weighed.

    Raises KeyError for a key that is no line, ValueError where that line has not been weighed, the shares do
    not add up to 100 percent, or nothing would be left of the batch.
    """
    limits = limits or OverpourLimits()
    line = next((x for x in lines if x.key == over), None)
    if line is None:
        raise KeyError(over)
    if line.weighed_g is None:
        raise ValueError(tr("{name} has not been weighed, so it cannot be over-poured", name=line.name))
    if exact(sum(x.percent for x in lines)) != 100:
        raise ValueError(
            tr("the shares add up to {sum:g} %; they have to be 100 %", sum=sum(x.percent for x in lines))
        )
    return Remedies(_accept(lines, limits), _remove(lines, line), _keep(lines, line, limits))


# --- accept ------------------------------------------------------------------------------------------------


def _accept(lines: Sequence[BatchShare], limits: OverpourLimits) -> Accept:
    masses = {x.key: x.target_g if x.weighed_g is None else x.weighed_g for x in lines}
    percents, finished = _percents(lines, masses, limits.lost_g)
    return Accept(percents, _over_ceiling(lines, percents), finished)


def _percents(
    lines: Sequence[BatchShare], masses_g: Mapping[str, float], lost_g: float
) -> tuple[dict[str, float], float]:
    """Each line's share of the finished mass, and that mass: what is lost is lost by the water alone."""
    water = sum(masses_g[x.key] for x in lines if x.evaporates)
    kept = 1.0 - min(lost_g / water, 1.0) if water > 0 else 1.0
    left = {x.key: masses_g[x.key] * (kept if x.evaporates else 1.0) for x in lines}
    finished = sum(left.values())
    if finished <= 0.0:
        raise ValueError(tr("with {lost_g:g} g of water lost, nothing is left of the batch", lost_g=lost_g))
    return {key: 100 * grams / finished for key, grams in left.items()}, finished


def _over_ceiling(lines: Sequence[BatchShare], percents: Mapping[str, float]) -> tuple[OverCeiling, ...]:
    return tuple(
        OverCeiling(x.key, x.name, percents[x.key], x.ceiling_percent)
        for x in lines
        if x.ceiling_percent is not None and exact(percents[x.key]) > x.ceiling_percent
    )


def _sentences(over: Sequence[OverCeiling]) -> tuple[str, ...]:
    return tuple(
        tr(
            "{name} would be {percent:.3g} % where {ceiling_percent:g} % is the most.",
            name=x.name,
            percent=x.percent,
            ceiling_percent=x.ceiling_percent,
        )
        for x in over
    )


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
    much = _exact(line.weighed_g) - _exact(line.target_g)
    if much <= 0:
        why_not += (tr("{name} is not above its target.", name=line.name),)
    return Remove(max(float(much), 0.0), line.target_g, why_not)


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
    masses = {key: float(grams) for key, grams in totals.items()}
    batch = float(sum(totals.values()))
    percents, _ = _percents(lines, masses, limits.lost_g)
    vessels: dict[str, float] = {}
    for line in lines:
        vessels[line.vessel] = vessels.get(line.vessel, 0.0) + masses[line.key]
    short = {
        x.key: float(_exact(need) - _exact(x.stock_g))
        for x in lines
        if x.stock_g is not None and (need := additions.get(x.key, targets.get(x.key, 0.0))) > x.stock_g
    }
    extra_s = len(additions) * limits.each_addition_s
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
    why_not += _no_room(vessels, batch, limits)
    if limits.time_left_s is not None and extra_s > limits.time_left_s:
        why_not.append(
            tr(
                "It takes {extra_s:.0f} min; {time_left_s:.0f} min are left.",
                extra_s=extra_s / 60,
                time_left_s=limits.time_left_s / 60,
            )
        )
    why_not += _sentences(_over_ceiling(lines, percents))
    return Keep(
        batch, additions, targets, masses, percents, short, vessels, extra_s, tuple(why_not)
    )  # fmt: skip


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


def _no_room(vessels_g: Mapping[str, float], batch_g: float, limits: OverpourLimits) -> list[str]:
    out = [
        tr(
            "{vessel} takes {room:g} g; {vessels_g:g} g would be in it.",
            vessel=vessel,
            room=room,
            vessels_g=vessels_g[vessel],
        )
        for vessel, room in (limits.vessel_g or {}).items()
        if vessels_g.get(vessel, 0.0) > room
    ]
    if limits.largest_batch_g is not None and batch_g > limits.largest_batch_g:
        out.append(
            tr(
                "The batch would be {batch_g:g} g; {largest_batch_g:g} g is the most.",
                batch_g=batch_g,
                largest_batch_g=limits.largest_batch_g,
            )
        )
    return out


def _exact(value: float | None) -> Decimal:
    return Decimal(0) if value is None else Decimal(repr(value))
