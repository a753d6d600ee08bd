"""Blend: bursts of the stick blender, rests between; the maker starts each burst, the app counts it."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import NOT_BLENDED, grade_of
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.inputs import Input, Press, TypeValue
from benchapp.make.pictures import TimerPicture
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, Choice, Forecast, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Blend

#: Longer than this no blender is held on, in seconds.
MOST_S = 600.0


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
    def sure_s(self) -> float:
        """The bursts and the rests between them."""
        return self.bursts * self.burst_s + (self.bursts - 1) * self.rest_s

    @property
    def brief(self) -> str:
        """How many."""
        return tr("Blend {bursts} × {burst_s:g} s", bursts=self.bursts, burst_s=self.burst_s)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Start, count, rest, start again; stopping early is a deviation."""
        progress = context.progress
        if isinstance(given, Press) and given.key == ChoiceKey.ENOUGH and given.reason:
            text = tr(
                "{count} of {bursts} bursts. {reason}",
                count=progress.count,
                bursts=self.bursts,
                reason=given.reason,
            )
            kind = tr_noop("blended less") if progress.count else NOT_BLENDED
            return [self.deviation(context, grade_of(kind), kind, text), self.finish(context)]
        if progress.stage != Stage.BURST:
            if pressed(given, ChoiceKey.START) and self._rest_left(context) <= 0:
                return [self.stage(context, Stage.BURST)]
            return []
        if self._unwatched(context):
            return self._answered(context, given)
        ran = context.now_s - progress.stage_at_s
        if exact(ran) < self.burst_s:
            return []
        return self._done(context, ran, ev.Source.MEASURED)

    def _done(self, context: Context, seconds: float, source: ev.Source) -> list[ev.Event]:
        number = context.progress.count + 1
        done = ev.BurstDone(
            at_s=context.now_s, step=self.step.key, number=number, seconds=round(seconds, 1), source=source
        )
        return [done, self.finish(context) if number >= self.bursts else self.stage(context, Stage.REST)]

    def _unwatched(self, context: Context) -> bool:
        """Whether nobody was there while this burst ran: a clock that went on says nothing of a blender."""
        held = context.attended_s < exact(context.now_s - context.progress.stage_at_s)
        return context.progress.stage == Stage.BURST and (held or context.restarted)

    def _answered(self, context: Context, given: Input) -> list[ev.Event]:
        """What was blended meanwhile, as the maker states it; what nobody knows stays unknown and is done again."""
        number = context.progress.count + 1
        if pressed(given, ChoiceKey.RAN):
            return self._done(context, self.burst_s, ev.Source.STATED)
        if isinstance(given, TypeValue):
            out = self._done(context, given.value, ev.Source.STATED)
            if given.value == self.burst_s:
                return out
            kind = tr_noop("blended less") if given.value < self.burst_s else tr_noop("blended longer")
            text = tr(
                "Burst {number}: {value:g} s of {burst_s:g} s, stated.",
                number=number,
                value=given.value,
                burst_s=self.burst_s,
            )
            return [self.deviation(context, ev.Grade.MINOR, kind, text), *out]
        if not pressed(given, ChoiceKey.UNKNOWN):
            return []
        why = tr("Nobody watched while it ran, and nobody knows how long the blender was on.")
        return [
            ev.BurstUnknown(at_s=context.now_s, step=self.step.key, number=number, why=why),
            self.deviation(
                context,
                ev.Grade.MINOR,
                tr_noop("burst not known"),
                tr("Burst {number}: {why}", number=number, why=why),
            ),
            self.stage(context, Stage.READY),
        ]

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
        enough = Choice(ChoiceKey.ENOUGH, tr("End the bursts"), serious=True, reason=True)
        if self._unwatched(context):
            return self._question(number, enough)
        if progress.stage == Stage.BURST:
            ran = min(context.now_s - progress.stage_at_s, self.burst_s)
            picture = TimerPicture(ran, self.burst_s, "blending", progress.count, self.bursts)
            left = self.burst_s - ran
            text = tr(
                "Blend the {name}, burst {number} of {bursts}.", name=name, number=number, bursts=self.bursts
            )
            return ActView(text, Stage.BURST, note=tr("Head under the surface."), picture=picture, choices=(enough,),
                        forecast=Forecast(tr("burst over"), left, left, left), live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),), want=Want(Verb.BLEND, vessel=self.vessel))  # fmt: skip
        left = self._rest_left(context)
        if left > 0:
            picture = TimerPicture(self.rest_s - left, self.rest_s, "resting", progress.count, self.bursts)
            text = tr("Blender off. Stir the {name} by hand.", name=name)
            return ActView(text, Stage.REST, picture=picture, not_yet=(tr("Then burst {number} of {bursts}.", number=number, bursts=self.bursts),), choices=(enough,),
                        forecast=Forecast(tr("next burst"), left, left, left), live=(LiveValue("left", left, "s", 0, ev.Source.COMPUTED, ""),), want=Want(Verb.STIR, vessel=self.vessel), move=tr("Blender off, stir"))  # fmt: skip
        depth = getattr(self.step, "head_depth_mm", None)
        deep = tr(" Keep it at least {depth:g} mm deep.", depth=depth) if depth else ""
        picture = TimerPicture(0.0, self.burst_s, "ready", progress.count, self.bursts)
        text = tr("Put the blender head into the {name}.", name=name)
        note = tr("Before you switch it on.{deep}", deep=deep)
        away = context.state.resumed_at_s is not None and context.state.resumed_at_s >= progress.began_s
        choices = (
            Choice(ChoiceKey.START, tr("Start burst {number}", number=number)),
            *((enough,) if away else ()),
        )
        return ActView(text, Stage.READY, note=note, picture=picture, choices=choices,
                    want=Want(Verb.START, "blend", self.vessel))  # fmt: skip

    def _question(self, number: int, enough: Choice) -> ActView:
        """A question of fact: nothing but an answer answers it."""
        choices = (
            Choice(ChoiceKey.RAN, tr("It ran its {burst_s:g} s", burst_s=self.burst_s), serious=True),
            Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True),
            enough,
        )
        ask = NumberRequest(
            tr("seconds blended in burst {number}", number=number), "s", 0.0, MOST_S, 0, usual=False
        )
        return ActView(
            tr("How long did burst {number} run?", number=number), Stage.BURST, choices=choices, ask=ask,
            note=tr("Nobody watched meanwhile. What nobody knows is blended again."),
            want=Want(Verb.CONFIRM, "blend", self.vessel),
        )  # fmt: skip
