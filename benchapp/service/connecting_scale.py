"""The questions about a scale on its way into the bench file: empty, loaded, empty again, and its unit key."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import replace

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest
from benchapp.runtime.bench_monitor import ChannelStatus
from benchapp.service.connecting import (
    AtRest,
    Connecting,
    at_rest,
    line_sentence,
    shows_weight,
    unit_key_seen,
    units_meant,
)
from benchapp.service.connecting_questions import NEXT, NO_KEY, ConnectingAnswer, ConnectingStep, StepKey
from benchapp.service.errors import CommandError
from benchapp.service.references import CAPACITY
from drivers.errors import DriverError
from drivers.format_building import agrees
from drivers.hearing import PortReport
from drivers.proposal import proposed_section
from drivers.settings import DeviceSettings
from drivers.units import conversion, read_mass_g


class ScaleQuestions:
    """``say`` is told what came out between two questions."""

    def __init__(self, work: Connecting, say: Callable[[str], None]) -> None:
        self._work, self._say = work, say

    def asked(self, heard: PortReport, name: str) -> Generator[ConnectingStep, str, DeviceSettings]:
        """Its section of the bench file, and what is said of it."""
        settings = proposed_section(heard, name, "scale")
        empty = yield from self._resting(settings, tr("Empty its pan."))
        known_g = yield from self.mass(weight_on_it(tr("a known weight")), "100 g")
        loaded = yield from self._loaded(settings, empty, known_g)
        unit = self._unit(loaded, known_g)
        if unit:
            settings = proposed_section(heard, name, "scale", unit)
            empty, loaded = empty.times(conversion(unit).factor), loaded.times(conversion(unit).factor)
        back = yield from self._resting(
            settings, tr("Take it off."), lambda rest: agrees(rest.grams, empty.grams, rest.step_g)
        )
        if not agrees(back.grams, empty.grams, back.step_g):
            self._say(
                tr(
                    "It does not come back to where it was: {grams:g} g before, {grams_2:g} g now. Check "
                    "its feet and its pan.",
                    grams=empty.grams,
                    grams_2=back.grams,
                )
            )
        yield from self._unit_key(settings, back)
        capacity_g = yield from self.mass(CAPACITY, key=StepKey.CAPACITY)
        settings = replace(settings, capacity_g=capacity_g)
        self._say(line_sentence(heard, settings))
        self._say(_digits_sentence(settings, loaded))
        return settings

    def _loaded(
        self, settings: DeviceSettings, empty: AtRest, known_g: float
    ) -> Generator[ConnectingStep, str, AtRest]:
        """What it reads with the known weight on it; asked again while it reads as the empty pan did."""
        while True:
            loaded = yield from self._resting(
                settings, left_on(known_g), lambda rest: shows_weight(rest, known_g)
            )
            if shows_weight(loaded, known_g) or not agrees(loaded.grams, empty.grams, loaded.step_g):
                return loaded
            self._say(tr("That is what it read with nothing on it. Put the weight on."))

    def _resting(
        self, settings: DeviceSettings, question: str, done: Callable[[AtRest], bool] | None = None
    ) -> Generator[ConnectingStep, str, AtRest]:
        def shows(one: ChannelStatus) -> bool:
            found = at_rest(one)
            return done is not None and isinstance(found, AtRest) and done(found)

        while True:
            self._work.open(settings)
            yield ConnectingStep(StepKey.REST, question, device=settings, done=shows)
            rest = at_rest(self._work.settled(settings))
            if isinstance(rest, AtRest):
                self._say(tr("It reads {grams:g} g.", grams=rest.grams))
                return rest
            self._say(rest)

    def mass(
        self, ask: NumberRequest, usual: str = "", key: StepKey = StepKey.MASS
    ) -> Generator[ConnectingStep, str, float]:
        """A mass in grams, typed with its unit; asked again until it is one."""
        while True:
            answer = (yield ConnectingStep(key, ask.what, (), ask, usual)) or usual
            try:
                mass_g = read_mass_g(answer)
            except DriverError as wrong:
                self._say(str(wrong))
                continue
            if mass_g > 0:
                return mass_g
            self._say(tr("It has to be more than nothing."))

    def _unit(self, loaded: AtRest, known_g: float) -> str | None:
        """The unit of lines that name none; None where they do. Raises CommandError where the weight is another."""
        if loaded.unit:
            if agrees(loaded.grams, known_g, loaded.step_g):
                return None
            raise CommandError(
                tr(
                    "It reads {grams:g} g where {known_g:g} g lie. Check it against another weight "
                    "first; nothing was written.",
                    grams=loaded.grams,
                    known_g=known_g,
                )
            )
        units = units_meant(loaded, known_g)
        if len(units) == 1:
            self._say(tr("Its lines name no unit; by that weight it is {units}.", units=units[0]))
            return units[0]
        raise CommandError(
            tr(
                "It shows {grams:g} where {known_g:g} g lie, and that is no unit of mass. Check it "
                "first; nothing was written.",
                grams=loaded.grams,
                known_g=known_g,
            )
        )

    def _unit_key(self, settings: DeviceSettings, before: AtRest) -> Generator[ConnectingStep, str, None]:
        question = tr("Put the weight on again, and press its unit key once.")
        answers = (NEXT, ConnectingAnswer(NO_KEY, tr("It has none")))
        step = ConnectingStep(
            StepKey.UNIT_KEY, question, answers, device=settings, done=lambda one: unit_key_seen(before, one)
        )
        if (yield step).lower() == NO_KEY:
            return
        if unit_key_seen(before, self._work.settled(settings)):
            self._say(tr("A pressed unit key is noticed."))
        else:
            self._say(
                tr(
                    "A pressed unit key does not show in its lines: it is only noticed by a number that "
                    "jumps. Keep it set to g."
                )
            )

        def back(one: ChannelStatus) -> bool:
            return isinstance(at_rest(one), AtRest) and not unit_key_seen(before, one)

        yield ConnectingStep(
            StepKey.UNIT_BACK, tr("Set it back to the unit it had."), device=settings, done=back
        )


def weight_on_it(which: str) -> NumberRequest:
    """How much a weight is that is put on."""
    return NumberRequest(tr("Put {which} on it. How much is it?", which=which), "g", 1, 100_000, 1, True)


def left_on(mass_g: float) -> str:
    """What to do while a weight is read."""
    return tr("Leave {mass_g:g} g on it, and keep your hands off.", mass_g=mass_g)


def _digits_sentence(settings: DeviceSettings, rest: AtRest) -> str:
    mark = (
        tr("its lines do not tell rest from motion")
        if rest.stable is None
        else tr("its lines tell when it is at rest")
    )
    step_g, most_g = settings.readability_g or rest.step_g, settings.capacity_g or 0.0
    return tr("Last digit {step_g:g} g, up to {most_g:g} g; {mark}.", step_g=step_g, most_g=most_g, mark=mark)
