"""The batch in one picture: where its mass went, and the facts that are signed for."""

from __future__ import annotations

from collections import Counter

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import number, tr, tr_n, translated
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Context
from benchapp.make.pictures import BatchPicture
from benchapp.make.waits import wait
from procedures.steps import Fill

#: From so many hours on, a check's time is said in days.
HOURS_PER_DAY = 24.0
#: Less than this is no part of its own, in grams.
LEAST_G = 0.05


def batch_picture(context: Context, percent: float, band: Band) -> BatchPicture:
    """What is known of the batch when it is signed."""
    went_in = sum(context.state.weighed_g.values())
    container = next((x.container for x in context.plan.procedure.steps if isinstance(x, Fill)), "bottle")
    parts = _parts(context, went_in, translated(container))
    return BatchPicture(
        parts, exact(went_in), percent, band.low, band.high, _facts(context), _filled_g(context),
        context.state.short_g, container,
    )  # fmt: skip


def _filled_g(context: Context) -> tuple[float, ...]:
    """What is in each container, in grams."""
    return tuple(b.net_g for filled in context.state.bottles.values() for b in filled)


def _parts(context: Context, went_in_g: float, container: str) -> tuple[tuple[str, float], ...]:
    """Everything that went in: filled, sampled, steamed off, and what stayed behind."""
    state = context.state
    bottles = _filled_g(context)
    steam = sum(e.lost_g for e in state.log if isinstance(e, ev.WaterLost))
    waste = sum(e.removed_g for e in state.log if isinstance(e, ev.MaterialRemoved))
    known = (
        (tr("in {count} filled", count=len(bottles)), sum(bottles)), (tr("in a last, not full {container}", container=container), state.short_g), ("samples", state.samples_g),
        (tr("steamed off"), steam), (tr("taken out"), waste),
    )  # fmt: skip
    rest = went_in_g - sum(grams for _, grams in known)
    name = tr("in pots and tools") if bottles else tr("in the pot")
    return tuple((what, exact(grams)) for what, grams in (*known, (name, rest)) if grams >= LEAST_G)


def _facts(context: Context) -> tuple[tuple[str, str], ...]:
    """The pH, deviations by grade, and what is to be checked later; what there is none of is not said."""
    state = context.state
    grades = Counter(str(d.grade) for d in state.deviations)
    deviations = ", ".join(f"{count} {translated(grade)}" for grade, count in sorted(grades.items()))
    ph = number(state.phs[-1].ph, ".2f") if state.phs else ""
    later = sorted(check.due_s for check in context.plan.procedure.release)
    due = tr_n("{n}, {due}", "{n}, first {due}", n=len(later), due=_due(later[0])) if later else ""
    found = (("pH", ph), ("deviations", deviations), (tr("checks before sale"), due))
    return tuple((what, how) for what, how in found if how)


def _due(seconds: float) -> str:
    """When a check is due, from now."""
    return tr("in {days}", days=_days(seconds)) if seconds else translated("now")


def _days(seconds: float) -> str:
    """A long wait as a person says it."""
    hours = seconds / 3600.0
    if hours < HOURS_PER_DAY:
        return wait(seconds)
    days = round(hours / HOURS_PER_DAY)
    return tr_n("{n} day", "{n} days", n=days)
