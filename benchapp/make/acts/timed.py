"""Acts whose end is a time: stirring, resting, a sanitiser's contact time."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import grade_of
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.inputs import Input, Press
from benchapp.make.pictures import TimerPicture
from benchapp.make.view_model import ActView, Choice, Forecast, LiveValue, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.formula import Vessel
from procedures.steps import Step


@dataclass(frozen=True)
class Timed(Act):
    """A wait that starts by itself (or by a press, where ``start`` names one) and ends by itself."""

    text: str = ""
    wait_s: float = 0.0
    start: str = ""
    verb: Verb = Verb.WAIT
    vessel: str = ""
    kind: str = tr_noop("wait cut short")  # of the deviation, where it is

    @property
    def waits(self) -> bool:
        """Where a vessel stands and nothing is stirred. A sanitiser's contact time is none: all the tools are wet."""
        return self.verb == Verb.WAIT and bool(self.vessel)

    @property
    def sure_s(self) -> float:
        """The whole of it."""
        return self.wait_s

    @property
    def ties(self) -> frozenset[str]:
        """What it is about."""
        return frozenset({self.vessel} - {""})

    @property
    def brief(self) -> str:
        """The text."""
        return self.text

    def _gone_s(self, context: Context) -> float | None:
        """How long it has gone on, in seconds; None before it was started. Nothing stirs itself."""
        if self.start and context.progress.stage != Stage.RUNNING:
            return None
        by_hand = self.verb == Verb.STIR
        return context.attended_s if by_hand else exact(context.now_s - context.progress.stage_at_s)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Time ends it; cutting it short is a deviation with its reason."""
        elapsed = self._gone_s(context)
        if elapsed is None:
            return [self.stage(context, Stage.RUNNING)] if pressed(given, ChoiceKey.START) else []
        if elapsed >= self.wait_s:
            return [self.confirm(context, f"{self.text} ({elapsed:.0f} s)"), self.finish(context)]
        if isinstance(given, Press) and given.key == ChoiceKey.CUT_SHORT:
            text = tr(
                "{text}: stopped after {elapsed:.0f} s of {wait_s:.0f} s. {reason}",
                text=self.text,
                elapsed=elapsed,
                wait_s=self.wait_s,
                reason=given.reason,
            ).strip()
            return [
                self.deviation(context, grade_of(self.kind), self.kind, text),
                self.finish(context),
            ]
        return []

    def act_view(self, context: Context) -> ActView:
        """The time that has passed and what is left."""
        gone_s = self._gone_s(context)
        if gone_s is None:
            return ActView(
                self.text,
                stage=Stage.READY,
                picture=TimerPicture(0.0, self.wait_s, self.text),
                choices=(Choice(ChoiceKey.START, self.start),),
                want=Want(Verb.START, self.verb, self.vessel),
            )
        elapsed = min(gone_s, self.wait_s)
        left = self.wait_s - elapsed
        return ActView(
            self.text,
            stage=Stage.RUNNING,
            live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),),
            picture=TimerPicture(elapsed, self.wait_s, self.text),
            choices=(Choice(ChoiceKey.CUT_SHORT, tr("Stop early"), serious=True, reason=True),),
            forecast=Forecast("done", left, left, left),
            want=Want(self.verb, self.text, self.vessel),
        )


def stirring(key: str, step: Step, vessel: Vessel, wait_s: float) -> Timed:
    """A vessel stirred for so long, in seconds."""
    text = tr("Stir the {name}", name=vessel.name)
    return Timed(key, step, text=text, wait_s=wait_s, vessel=vessel.key, verb=Verb.STIR)
