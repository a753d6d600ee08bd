"""One line of the formula poured onto a scale until it rests in its band."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.make.acts.base import Context
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.pour_lots import another_lot
from benchapp.make.acts.pour_said import chosen, typed, typed_decision
from benchapp.make.acts.pour_scale import off_and_on, weighed
from benchapp.make.acts.pour_view import act_view_of
from benchapp.make.inputs import Grams, Input, Press, TypeValue
from benchapp.make.view_model import ActView
from benchapp.make.vocabulary import Stage


@dataclass(frozen=True)
class Pour(PourLine):
    """Weigh the line; what the scale says, what a person says and what is shown each have a file of their own."""

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Baseline, pour, rest in band, taken. Too much: a remedy first."""
        of_lot = another_lot(self, context, given)
        if of_lot is not None:
            return of_lot
        if isinstance(given, TypeValue):
            return typed(self, context, given.value)
        if isinstance(given, Press) and context.progress.stage == Stage.TYPED:
            return typed_decision(self, context, given)
        if not self.device:
            return []
        if isinstance(given, Press):
            return chosen(self, context, given)
        if isinstance(given, Grams) and given.device == self.device:
            return weighed(self, context)
        return []

    def noticed(self, context: Context, given: Input) -> list[ev.Event]:
        """Its vessel off and on."""
        asked = context.progress.stage in (Stage.SPILL, Stage.MAKE_GOOD)
        heard = isinstance(given, Grams) and given.device == self.device
        begun = context.progress.baseline_g is not None and not asked
        return (off_and_on(self, context) or []) if heard and begun else []

    def act_view(self, context: Context) -> ActView:
        """The vessel and what to do now."""
        return act_view_of(self, context)
