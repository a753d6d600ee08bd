"""Blend: bursts of the stick blender, rests between; the maker starts each burst, the app counts it."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import NOT_BLENDED, grade_of
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.inputs import Input, Press
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, Choice, Forecast, LiveValue, TimerPicture, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Blend


def acts(step: Blend, plan: Plan) -> tuple[Act, ...]:
    """One act that counts."""
    return (
        Bursts(
            "bursts", step, vessel=step.vessel, bursts=step.bursts, burst_s=step.burst_s, rest_s=step.rest_s
        ),
    )


@dataclass(frozen=True)
class Bursts(Act):
    """``bursts`` times ``burst_s`` seconds with ``rest_s`` seconds between."""

    vessel: str = ""
    bursts: int = 1
    burst_s: float = 30.0
    rest_s: float = 0.0

    @property
    def brief(self) -> str:
        """How many."""
        return f"Blend {self.bursts} × {self.burst_s:g} s"

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Start, count, rest, start again; stopping early is a deviation."""
        progress = context.progress
        if isinstance(given, Press) and given.key == ChoiceKey.ENOUGH and given.reason:
            text = f"{progress.count} of {self.bursts} bursts. {given.reason}"
            kind = "blended less" if progress.count else NOT_BLENDED
            return [self.deviation(context, grade_of(kind), kind, text), self.finish(context)]
        if progress.stage != Stage.BURST:
            if pressed(given, ChoiceKey.START) and self._rest_left(context) <= 0:
                return [self.stage(context, Stage.BURST)]
            return []
        ran = context.now_s - progress.stage_at_s
        if exact(ran) < self.burst_s:
            return []
        done = ev.BurstDone(
            at_s=context.now_s, step=self.step.key, number=progress.count + 1, seconds=round(ran, 1)
        )
        if progress.count + 1 >= self.bursts:
            return [done, self.finish(context)]
        return [done, self.stage(context, Stage.REST)]

    def _rest_left(self, context: Context) -> float:
        progress = context.progress
        if progress.stage != Stage.REST:
            return 0.0
        return max(self.rest_s - (context.now_s - progress.stage_at_s), 0.0)

    def act_view(self, context: Context) -> ActView:
        """Which burst, how long still."""
        progress = context.progress
        name = context.vessel_name(self.vessel)
        number = min(progress.count + 1, self.bursts)
        enough = Choice(ChoiceKey.ENOUGH, "Stop blending here", serious=True, reason=True)
        if progress.stage == Stage.BURST:
            ran = min(context.now_s - progress.stage_at_s, self.burst_s)
            picture = TimerPicture(ran, self.burst_s, "blending", progress.count, self.bursts)
            left = self.burst_s - ran
            text = f"Blend the {name}, burst {number} of {self.bursts}."
            return ActView(text, Stage.BURST, note="Head under the surface.", picture=picture, choices=(enough,),
                        forecast=Forecast("burst over", left, left, left), live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),), want=Want(Verb.BLEND, vessel=self.vessel))  # fmt: skip
        left = self._rest_left(context)
        if left > 0:
            picture = TimerPicture(self.rest_s - left, self.rest_s, "resting", progress.count, self.bursts)
            text = f"Blender off. Stir the {name} by hand."
            return ActView(text, Stage.REST, picture=picture, not_yet=("Rest first.",), choices=(enough,),
                        forecast=Forecast("rest over", left, left, left), live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),), want=Want(Verb.STIR, vessel=self.vessel))  # fmt: skip
        depth = getattr(self.step, "head_depth_mm", None)
        deep = f" Keep it at least {depth:g} mm deep." if depth else ""
        picture = TimerPicture(0.0, self.burst_s, "ready", progress.count, self.bursts)
        text = f"Put the blender head into the {name}."
        note = f"Before you switch it on.{deep}"
        return ActView(text, Stage.READY, note=note, picture=picture, choices=(Choice(ChoiceKey.START, f"Start burst {number}"),),
                    want=Want(Verb.START, "blend", self.vessel))  # fmt: skip
