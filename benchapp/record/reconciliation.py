"""What went in against what came out: the batch's mass, its containers and its labels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr_noop
from benchapp.record.batch_events import BatchEvents
from benchapp.record.lines import RecordLine

#: Keys of the lines of what dried off, of what fell in late, and of what was spilled.
WATER_LOST, LATE_DROP, SPILLED = "water lost", tr_noop("late drop"), "spilled"


@dataclass(frozen=True, slots=True)
class MassBalance:
    """Grams. ``unaccounted_g`` is what went in and was found nowhere: on tools, in the last pot, or an error."""

    went_in_g: float
    product_g: float
    samples_g: float
    waste_g: float
    water_lost_g: float
    spilled_g: float
    left_in_vessels_g: float
    unaccounted_g: float
    percent_of_theoretical: float
    theoretical_g: float


@dataclass(frozen=True, slots=True)
class PieceBalance:
    """Containers and labels, in pieces. ``left`` is what should stand on the shelf now; what was kept back and left when
    its time was over is among both."""

    filled: int
    retained: int
    dispatched: int
    left: int
    labels_printed: int
    labels_over: int  # printed beyond the containers filled: spoiled, kept with the record, or missing


def in_product(grams: Mapping[str, float], moves: Sequence[RecordLine]) -> dict[str, float]:
    """Grams of each formula line that are in the product, of ``grams`` that went in: without the water that was found lost
    and without what was spilled, each taken from the lines it was of, in proportion where they are not told apart, and
    from all of them where nobody knows."""
    left = dict(grams)
    for gone in moves:
        if gone.key not in (WATER_LOST, SPILLED) or not gone.now or not gone.value:
            continue
        as_it_stands = gone.now / gone.value
        for line, grams_of in gone.of_lines:
            if line in left:
                left[line] = max(left[line] - grams_of * as_it_stands, 0.0)
        shared = gone.now if gone.key == WATER_LOST else dict(gone.of_lines).get("", 0.0) * as_it_stands
        pool = [line for line, _ in gone.of_lines if line in left and gone.key == WATER_LOST] or list(left)
        whole = sum(left[line] for line in pool)
        for line in pool:
            left[line] *= 1 - min(shared / whole, 1.0) if whole > 0 else 1.0
    return left


def mass_balance(
    weighings: Sequence[RecordLine], moves: Sequence[RecordLine], containers: Sequence[RecordLine], batch_g: float,
    left_g: float, product_g: float | None,
) -> MassBalance:  # fmt: skip
    """The sums, from values as they stand after corrections.

    Everything weighed in and every late drop went in; samples, water, what was spilled and rests came out. Waste was taken
    out before its weighing counted, and what was spilled of a pour before it was weighed: neither went in.
    ``product_g`` stands in where nothing was filled into containers.
    """

    def total(*kinds: str) -> float:
        return sum(m.now or 0.0 for m in moves if m.key in kinds)

    went_in = sum(w.now or 0.0 for w in weighings) + total(LATE_DROP)
    filled = sum(c.now or 0.0 for c in containers) + total("short")
    product = filled if containers else (product_g or 0.0)
    spilled = sum(_spilled_g(m) for m in moves if m.key == SPILLED)
    out = product + total("sample") + total(WATER_LOST) + spilled + left_g
    return MassBalance(
        went_in_g=round(went_in, 3),
        product_g=round(product, 3),
        samples_g=round(total("sample"), 3),
        waste_g=round(total("waste"), 3),
        water_lost_g=round(total(WATER_LOST), 3),
        spilled_g=round(spilled, 3),
        left_in_vessels_g=round(left_g, 3),
        unaccounted_g=round(went_in - out, 3),
        percent_of_theoretical=round(100 * product / batch_g, 2) if batch_g > 0 else 0.0,
        theoretical_g=round(batch_g, 3),
    )


def _spilled_g(gone: RecordLine) -> float:
    """What of a spill had been weighed in, as it stands after corrections, in grams."""
    weighed_in = sum(grams for _, grams in gone.of_lines)
    return weighed_in * (gone.now or 0.0) / gone.value if gone.value else 0.0


@dataclass(frozen=True, slots=True)
class Product:
    """What came out: grams, and percent of what was to be made."""

    grams: float
    percent: float


def product_of(stored: BatchEvents) -> Product | None:
    """What a finished make brought out, as its events stand after corrections; None where it is not finished."""
    now = next(stored.standing.each(ev.MakeFinished), None)
    if now is None:
        return None
    place, finished = now
    filled, fixed = bool(stored.of(ev.BottleFilled)), stored.corrected
    written = (s for s in stored.all() if s.n in fixed) if fixed else ()
    more = sum(more_product_g(s.event, fixed[s.n].event, filled) for s in written)
    revised = [e.batch_g for e in stored.standing.events(ev.TargetsRevised)]
    planned = revised or [e.batch_g for e in stored.standing.events(ev.MakeStarted)]
    if (place.n not in fixed and not more) or not planned[-1]:
        return Product(finished.product_g, finished.yield_percent)
    grams = round(finished.product_g + more, 3)
    return Product(grams, round(100 * grams / planned[-1], 2))


def more_product_g(was: ev.Event, now: ev.Event, filled: bool) -> float:
    """How much more came out by a correction of one event: of a container, or of a weighing where none was
    ``filled``."""
    if isinstance(was, ev.BottleFilled) and isinstance(now, ev.BottleFilled):
        return now.net_g - was.net_g
    if isinstance(was, ev.SampleTaken) and isinstance(now, ev.SampleTaken) and was.what == ev.SHORT:
        return now.mass_g - was.mass_g
    if isinstance(was, ev.WeightTaken) and isinstance(now, ev.WeightTaken) and not filled:
        return now.net_g - was.net_g
    return 0.0


def left_in_vessels_g(stored: BatchEvents) -> float:
    """What stayed in vessels that were poured out, in grams; of one that was filled and poured out again, after the last."""
    return sum({e.origin: e.left_g for e in stored.events(ev.MassMoved)}.values())


def piece_balance(stored: BatchEvents) -> PieceBalance:
    """Containers filled, kept, sent and left; labels printed against containers."""
    filled = len(stored.of(ev.BottleFilled))
    retained = sum(e.pieces for e in stored.events(ev.SampleRetained))
    sent = len({n for e in stored.events(ev.Dispatched) for n in e.containers})
    printed = sum(e.pieces for e in stored.events(ev.LabelsPrinted))
    left, over = max(filled - retained - sent, 0), max(printed - filled, 0)
    return PieceBalance(filled, retained, sent, left, printed, over)
