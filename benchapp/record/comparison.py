"""Two batches side by side: what came out, what was weighed, how warm and how sour it was, how long it took."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.batch_record import Record

#: Deviations of each grade that is held against a batch, in a maker's words.
GRADES = {
    "minor": tr_noop("minor deviations"),
    "major": tr_noop("major deviations"),
}


#: To so many digits behind the point a value is shown, a time to the second.
SHOWN_DIGITS = 2


@dataclass(frozen=True, slots=True)
class Pair:
    """One value of two batches in one unit; None where a batch has none."""

    group: str
    what: str
    unit: str
    first: float | None
    second: float | None

    @property
    def difference(self) -> float | None:
        """Second less first, each as it is shown, so that whoever reckons it again comes to the same."""
        if self.first is None or self.second is None:
            return None
        digits = 0 if self.unit == "s" else SHOWN_DIGITS
        return round(round(self.second, digits) - round(self.first, digits), digits)


def compare(first: Record, second: Record) -> tuple[Pair, ...]:
    """Every value that both batches could have, group by group, in the order of the first.

    Weighings are compared in percent of the product, so that batches of different size can be held
    against each other; times in seconds, temperatures in °C.
    """
    return tuple(
        pair
        for group, unit, values in (
            ("result", "", _results), ("weighed", "%", _shares), (tr("highest temperature"), "°C", _highest),
            (tr("time in band"), "s", _held), ("pH", "pH", _ph), ("time", "s", _times),
        )
        for pair in _pairs(group, unit, dict(values(first)), dict(values(second)))
    )  # fmt: skip


def _pairs(group: str, unit: str, a: dict[str, float], b: dict[str, float]) -> Iterator[Pair]:
    for name in (*a, *(n for n in b if n not in a)):
        what, _, own_unit = name.partition("|")
        yield Pair(group, what, own_unit or unit, a.get(name), b.get(name))


def _shares(r: Record) -> Iterator[tuple[str, float]]:
    names = {x.line: x.what for x in r.weighings}
    for key, percent in r.reached_percent.items():
        yield names.get(key, key), percent


def _highest(r: Record) -> Iterator[tuple[str, float]]:
    for curve in r.curves:
        yield curve.vessel, max(temp for _, temp in curve.points)


def _held(r: Record) -> Iterator[tuple[str, float]]:
    for hold in r.holds:
        yield str(hold["step_title"]), float(hold["held_s"])


def _ph(r: Record) -> Iterator[tuple[str, float]]:
    for word, found in (("first", r.batch_ph[:1]), ("last", r.batch_ph[-1:])):
        for x in found:
            if x.now is not None:
                yield word, x.now


def _times(r: Record) -> Iterator[tuple[str, float]]:
    total: dict[str, float] = {}
    for t in r.steps:
        total[t.title] = total.get(t.title, 0.0) + t.to_s - t.from_s
    yield from total.items()
    if r.steps:
        yield tr("the whole make"), max(t.to_s for t in r.steps) - min(t.from_s for t in r.steps)


def _results(r: Record) -> Iterator[tuple[str, float]]:
    if r.yield_percent is not None:
        yield "yield|%", r.yield_percent
    if r.mass is not None:
        yield tr("weighed in|g"), r.mass.went_in_g
        yield tr("came out|g"), r.mass.product_g
        yield tr("samples|g"), r.mass.samples_g
        yield tr("left in vessels|g"), r.mass.left_in_vessels_g
        yield tr("water lost|g"), r.mass.water_lost_g
        yield tr("spilled|g"), r.mass.spilled_g
        if r.came_to_its_end:
            yield tr("not accounted for|g"), r.mass.unaccounted_g
    yield "containers|pieces", float(len(r.containers))
    for grade, said in GRADES.items():
        yield f"{tr(said)}|", float(sum(d["grade"] == grade for d in r.deviations))
