"""What every part of filling knows: the container, its label, what was filled, and what stands on the scale."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.filling import fill_target, nominal_mass_g, tolerable_negative_error
from benchapp.events.judging import DENSITY
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.begun import Begun
from benchapp.make.acts.gate import Gate
from benchapp.make.acts.taking import Taking
from benchapp.make.steps.fill_words import too_coarse
from benchapp.make.vocabulary import Stage
from procedures.phrases import plural
from procedures.steps import Fill

#: Density taken where the method measured none (water; the record calls it computed).
PLAIN_G_ML = 1.0
#: A container holds at most this much of its label; beyond, it is not one.
ABSURD_SHARE = 1.25


@dataclass(frozen=True)
class ContainerFill(Act):
    """Containers of one kind filled out of ``vessel`` on the scale ``device`` ("" by hand)."""

    vessel: str = ""
    nominal_ml: float | None = None
    nominal_g: float | None = None
    container: str = "bottle"
    count: int | None = None
    device: str = ""
    checked: bool = False
    moulds: bool = False  # it is poured into moulds and sets there
    warm: Gate | None = None  # between which temperatures it is filled, where the step names some

    @property
    def temperatures(self) -> tuple[str, ...]:
        """Of what is filled while it is warm."""
        return () if self.warm is None else (self.vessel,)

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.device,) if self.device else ()

    @property
    def brief(self) -> str:
        """What is filled."""
        return tr("Fill the {plural}", plural=plural(self.container))

    def nominal(self, context: Context) -> float:
        """The declared content in grams."""
        if self.nominal_g is not None:
            return self.nominal_g
        assert self.nominal_ml is not None
        return nominal_mass_g(self.nominal_ml, self._density(context))

    def target(self, context: Context) -> Target:
        """What one container is filled to."""
        return fill_target(self.nominal(context), context.division_g(self.device) if self.device else 0.1)

    def tolerable_g(self, context: Context) -> float:
        """How far one container may fall short, in grams; 0 under 5 g or ml, where the packers' table ends."""
        if self.nominal_ml is not None and self.nominal_ml >= 5:
            return nominal_mass_g(tolerable_negative_error(self.nominal_ml), self._density(context))
        if self.nominal_g is not None and self.nominal_g >= 5:
            return tolerable_negative_error(self.nominal_g)
        return 0.0

    def _density(self, context: Context) -> float:
        return context.state.numbers.get(DENSITY, PLAIN_G_ML)

    def filled(self, context: Context) -> list[ev.BottleFilled]:
        """The bottles so far."""
        return context.state.bottles.get(self.step.key, [])

    def before(self, context: Context) -> int:
        """How many such containers earlier steps filled: their numbers go on from there."""
        alike = (
            s.key
            for s in context.plan.procedure.steps
            if isinstance(s, Fill) and s.container == self.container
        )
        return sum(len(context.state.bottles.get(key, ())) for key in alike if key != self.step.key)

    def next_number(self, context: Context) -> int:
        """Of the container that is filled now."""
        return self.before(context) + len(self.filled(context)) + 1

    def coarse(self, context: Context) -> str:
        """Why the scale is too coarse for this label, "" where it will do."""
        return (
            too_coarse(context, self.device, self.tolerable_g(context), self.container) if self.device else ""
        )

    def may_be_taken(self, context: Context) -> bool:
        """Whether the container as it rests would be taken by itself."""
        progress, still = context.progress, context.still_g(self.device)
        if progress.baseline_g is None or progress.stage in (Stage.CLEAR, Stage.LIFT) or still is None:
            return False
        return self.fits(context, still) and not self.stood(context).left

    def stood(self, context: Context) -> Begun:
        """What became of it beside the scale."""
        key = f"{self.container} {self.next_number(context)}"
        return Begun(context, self.device, key, self.most_g(context))

    def fits(self, context: Context, gross: float) -> bool:
        """Whether a container of that gross mass is full and is one."""
        net = context.net_g(self.device, gross)
        return not self.target(context).band.below(net) and not self.absurd(context, net)

    def taking(self, context: Context) -> Taking:
        """How the content as it rests is taken."""
        return Taking(context, self.device, lambda gross: self.fits(context, gross))

    def absurd(self, context: Context, net: float) -> bool:
        """More than any such container holds: something else stands on the scale."""
        return net > self.most_g(context)

    def most_g(self, context: Context) -> float:
        """The most that any such container holds, in grams."""
        return exact(ABSURD_SHARE * self.nominal(context))

    def may_end(self, context: Context) -> bool:
        """Whether it may be said now that the last one is filled: what stands there has come to rest first, and is a container."""
        if not self.filled(context) or self.still_filling(context) or self.stood(context).by_g:
            return False
        still = (
            context.still_g(self.device, 0.5)
            if self.device and context.progress.baseline_g is not None
            else None
        )
        gone = context.progress.stage in (Stage.CLEAR, Stage.LIFT)
        return gone or still is None or not self.absurd(context, context.net_g(self.device, still))

    def still_filling(self, context: Context) -> bool:
        """Something is on the scale with a container that was begun, and it moves."""
        progress = context.progress
        begun = progress.baseline_g is not None and progress.stage not in (Stage.CLEAR, Stage.LIFT)
        speaks = bool(self.device) and context.gross_g(self.device) is not None
        return begun and speaks and context.still_g(self.device, 0.5) is None
