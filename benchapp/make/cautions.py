"""The procedure's cautions in the form a view shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchapp.foundation.language import spoken, tr, tr_noop, translated, writing, written
from benchapp.make.state import State
from benchapp.make.view_model import CautionNotice
from procedures.cautions import FIRE, cautions_for
from procedures.model import Procedure
from procedures.steps import MeasurePh, Step

#: Stands under every first aid, wherever it is shown.
ADVICE = tr_noop(
    "Follow the supplier's safety data sheet and local rules. If anybody is hurt, get medical advice."
)


#: The act in which somebody says that what burns is away.
AWAY = "away"


def put_away(names: Sequence[str]) -> str:
    """The order to put away what burns before anything is heated, "" where nothing does."""
    return tr("Put {names} away.", names=", ".join(names)) if names else ""


def shown_for(step: Step, procedure: Procedure) -> tuple[CautionNotice, ...]:
    """The cautions of a step, the serious ones first."""
    found = _spoken_for(step, procedure)
    if spoken().code != written().code:
        with writing():
            beside = _spoken_for(step, procedure)
        found = [_both(one, other) for one, other in zip(found, beside, strict=True)]
    return tuple(sorted(found, key=lambda c: not c.serious))


def cautions_now(shown: tuple[CautionNotice, ...], step: Step, state: State) -> tuple[CautionNotice, ...]:
    """Those of a step's cautions that hold as it stands: not of what burns once somebody has said that it is away, nor of
    what would correct a pH before one was read. Before the step all of them are shown."""
    if (step.key, AWAY) in state.acts_done:
        return tuple(c for c in shown if c.key != FIRE)
    if isinstance(step, MeasurePh) and not any(e.step == step.key for e in state.phs):
        return tuple(c for c in shown if not c.of)
    return shown


def _spoken_for(step: Step, procedure: Procedure) -> list[CautionNotice]:
    return [
        CautionNotice(
            c.key,
            c.word,
            c.scheme,
            c.sign,
            translated(c.text),
            translated(c.first_aid),
            c.statements,
            c.serious,
            c.of,
            c.also,
        )
        for c in cautions_for(step, procedure)
    ]


def _both(one: CautionNotice, other: CautionNotice) -> CautionNotice:
    """Nobody checked a translation against the law of a country: where people read another language than the record is
    kept in, a notice says it in both."""
    aid = f"{one.first_aid} {other.first_aid}" if one.first_aid else ""
    return replace(one, text=f"{one.text} {other.text}", first_aid=aid)
