"""What is melted before it is weighed: set to melt early enough, and asked about when its turn comes."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import MELTED_TOO_HOT, WEIGHED_SOLID, grade_of
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.typed_twice import doubted_choices, insisted
from benchapp.make.inputs import Input, Press, TypeValue
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Cool, Heat, Prepare, Rest, Step, Weigh


def set_to_melt(step: Step, plan: Plan) -> tuple[Act, ...]:
    """What is set to melt in this step, for weighings to come: in the last long wait before each, or when the bench is
    ready."""
    steps = plan.procedure.steps
    out: list[Act] = []
    for n, later in enumerate(steps):
        waits = [s for s in steps[:n] if isinstance(s, Heat | Cool | Rest)]
        if isinstance(later, Weigh) and n and step.key == (waits[-1] if waits else steps[0]).key:
            out += [_task(step, later, line, plan) for line in later.melt]
    return tuple(out)


def _task(step: Step, later: Weigh, line: str, plan: Plan) -> Task:
    weighing = plan.weighings[line]
    most = (
        ""
        if later.melt_at_most_c is None
        else tr(", at {melt_at_most_c:g} °C at most", melt_at_most_c=later.melt_at_most_c)
    )
    dry = (
        tr("Once the sanitiser has dried off. ")
        if isinstance(step, Prepare) and step.flammable_sanitiser
        else ""
    )
    note = tr(
        "{dry}A little more than {target_g:.{decimals}f} g; it is weighed in: {title}.",
        dry=dry,
        target_g=weighing.target_g,
        decimals=weighing.decimals,
        title=later.title,
    )
    return Task(
        f"set {line} to melt",
        step,
        tr("Set {name} to melt{most}.", name=weighing.line.name, most=most),
        yes=tr("It is set"),
        note=note,
    )


def melted_before(step: Step, line: str) -> tuple[Act, ...]:
    """The question before a line is read back, where its step melts it."""
    if not isinstance(step, Weigh) or line not in step.melt:
        return ()
    return (Melted(f"melt {line}", step, line=line, at_most_c=step.melt_at_most_c),)


@dataclass(frozen=True)
class Melted(Act):
    """Whether ``line`` is clear, and no warmer than ``at_most_c``."""

    line: str = ""
    at_most_c: float | None = None

    @property
    def brief(self) -> str:
        """What is waited for."""
        return tr("See that it is melted")

    def _melts_c(self, context: Context) -> float | None:
        return context.plan.weighings[self.line].line.material.melts_c

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Clear, or weighed solid with a reason; a temperature that was read is taken down."""
        if isinstance(given, TypeValue):
            return self._typed(context, given.value)
        name = context.plan.line_name(self.line)
        if context.progress.stage == Stage.TYPED:
            if pressed(given, ChoiceKey.TYPE_AGAIN):
                return [self.stage(context, Stage.FIRST)]
            if not (reason := insisted(given)):
                return []
            text = tr(
                "{name}: {value:g} °C, at most {at_most_c:g} °C. {reason}",
                name=name,
                value=context.progress.value or 0.0,
                at_most_c=self.at_most_c,
                reason=reason,
            )
            hot = self.deviation(context, grade_of(MELTED_TOO_HOT), MELTED_TOO_HOT, text)
            return [hot, self.stage(context, Stage.READ)]
        if pressed(given, ChoiceKey.YES) and not self._not_yet(context):
            return [self.confirm(context, tr("Melted and clear: {name}", name=name)), self.finish(context)]
        if isinstance(given, Press) and given.key == ChoiceKey.ANYWAY and given.reason:
            text = tr("{name} is weighed solid: {reason}", name=name, reason=given.reason)
            return [
                self.deviation(context, grade_of(WEIGHED_SOLID), WEIGHED_SOLID, text),
                self.finish(context),
            ]
        return []

    def _typed(self, context: Context, temp_c: float) -> list[ev.Event]:
        read = self.number_taken(
            context,
            tr("temperature of {line_name}", line_name=context.plan.line_name(self.line)),
            temp_c,
            "°C",
        )
        hot = self.at_most_c is not None and temp_c > self.at_most_c
        return [read, self.stage(context, Stage.TYPED if hot else Stage.READ)]

    def _not_yet(self, context: Context) -> str:
        """Why it cannot be clear at what was read."""
        read, melts = context.progress.value, self._melts_c(context)
        if context.progress.stage != Stage.READ or read is None or melts is None or read > melts:
            return ""
        return tr("{read:g} °C: it melts at {melts:g} °C.", read=read, melts=melts)

    def act_view(self, context: Context) -> ActView:
        """Clear or not, and the temperature where one was read."""
        name, stage = context.plan.line_name(self.line), context.progress.stage
        ask = NumberRequest(tr("temperature of {name}", name=name), "°C", 0.0, 110.0, 1, usual=False)
        want = Want(Verb.CONFIRM, self.line)
        if stage == Stage.TYPED:
            choices = doubted_choices(tr("Type it again"))
            why = tr("It should be {at_most_c:g} °C at most.", at_most_c=self.at_most_c)
            text = tr("{value:g} °C for {name}?", value=context.progress.value or 0.0, name=name)
            return ActView(text, stage, not_yet=(why,), choices=choices, ask=ask, want=want)
        not_yet = self._not_yet(context)
        clear = () if not_yet else (Choice(ChoiceKey.YES, tr("It is clear")),)
        solid = Choice(ChoiceKey.ANYWAY, tr("Weigh it solid"), serious=True, reason=True)
        most = "" if self.at_most_c is None else tr("At most {at_most_c:g} °C. ", at_most_c=self.at_most_c)
        return ActView(
            tr("Is {name} melted and clear?", name=name), stage, not_yet=(not_yet,) if not_yet else (), choices=(*clear, solid), ask=ask,
            want=want, note=tr("{most}Stir it: pieces at the bottom melt last.", most=most),
        )  # fmt: skip
