"""One line of the formula poured onto a scale until it rests in its band."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.make.acts.base import Sight
from benchapp.make.acts.pour_face import face_of
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.pour_said import chosen, typed, typed_decision
from benchapp.make.acts.pour_scale import weighed
from benchapp.make.inputs import Grams, Input, Press, TypeValue
from benchapp.make.moment import Face


@dataclass(frozen=True)
class Pour(PourLine):
    """Weigh the line; what the scale says, what a person says and what is shown each have a file of their own."""

    def take(self, sight: Sight, given: Input) -> list[ev.Event]:
        """Baseline, pour, rest in band, taken. Too much: a remedy first."""
        if isinstance(given, TypeValue):
            return typed(self, sight, given.value)
        if isinstance(given, Press) and sight.progress.stage == "typed":
            return typed_decision(self, sight, given)
        if not self.device:
            return []
        if isinstance(given, Press):
            return chosen(self, sight, given)
        if isinstance(given, Grams) and given.device == self.device:
            return weighed(self, sight)
        return []

    def face(self, sight: Sight) -> Face:
        """The vessel and what to do now."""
        return face_of(self, sight)
