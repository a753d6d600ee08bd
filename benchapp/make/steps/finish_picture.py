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
from procedures.steps import Fill, TopUp

#: From so many hours on, a check's time is said in days.
HOURS_PER_DAY = 24.0
#: Less than this is no part of its own, in grams.
LEAST_G = 0.05


def batch_picture(context: Context, percent: float, band: Band) -> BatchPicture:
    """What is known of the batch when it is signed. Water that steamed off and was put back went in once."""
    went_in = sum(context.state.weighed_g.values()) - put_back_g(context)
    container = next((x.container for x in context.plan.procedure.steps if isinstance(x, Fill)), "bottle")
    parts = _parts(context, went_in, translated(container))
    return BatchPicture(
        parts,
        exact(went_in),
        percent,
        band.low,
        band.high,
        _filled_g(context),
        context.state.short_g,
        container,
    )


def put_back_g(context: Context) -> float:
    """Grams that replaced what had steamed off, as far as that is known."""
    steps = {x.key for x in context.plan.procedure.steps if isinstance(x, TopUp)}
    replaced = sum(e.net_g for taken in context.state.weights.values() for e in taken if e.step in steps)
    return min(replaced, _steamed_g(context))


def _steamed_g(context: Context) -> float:
    return sum(e.lost_g for e in context.state.log if isinstance(e, ev.WaterLost))


def _filled_g(context: Context) -> tuple[float, ...]:
    """What is in each container, in grams."""
    return tuple(b.net_g for filled in context.state.bottles.values() for b in filled)


def _parts(context: Context, went_in_g: float, container: str) -> tuple[tuple[str, float], ...]:
    """Everything that went in: filled, sampled, steamed off, and what stayed behind."""
    state = context.state
    bottles = _filled_g(context)
    steam = _steamed_g(context) - put_back_g(context)
    waste = sum(e.removed_g for e in state.log if isinstance(e, ev.MaterialRemoved))
    known = (
        (tr("in {count} filled", count=len(bottles)), sum(bottles)), (tr("in a last, not full {container}", container=container), state.short_g), ("samples", state.samples_g),
        (tr("steamed off"), steam), (tr("taken out"), waste),
    )  # fmt: skip
    rest = went_in_g - sum(grams for _, grams in known)
    name = tr("in pots and tools") if bottles else tr("in the pot")
    return tuple((what, exact(grams)) for what, grams in (*known, (name, rest)) if grams >= LEAST_G)


def batch_facts(context: Context) -> str:
    """What it is, its pH and its deviations by grade, in sentences; what there is none of is not said."""
    state, name = context.state, context.plan.procedure.name
    grades = Counter(str(d.grade) for d in state.deviations)
    counted = ", ".join(f"{count} {translated(grade)}" for grade, count in sorted(grades.items()))
    said = [f"{name}."]
    if state.phs:
        ph = tr("pH {ph}", ph=number(state.phs[-1].ph, ".2f")).replace(" ", "\u00a0")
        said = [f"{name}, {ph}."]
    if counted:
        said.append(tr("Deviations: {counted}.", counted=counted))
    return " ".join(said)


def checks_later(context: Context) -> str:
    """How many checks there are before it may be sold, and when the first is due; "" where there is none."""
    later = sorted(check.due_s for check in context.plan.procedure.release)
    if not later:
        return ""
    return tr_n(
        "Not to be sold before its check, {due}.",
        "Not to be sold before its {n} checks, the first {due}.",
        n=len(later),
        due=_due(later[0]),
    )


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
