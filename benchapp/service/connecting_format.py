"""The questions that make a line format of a scale's own: three known weights, and a finger on its pan."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import replace

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest
from benchapp.service.connecting import Connecting
from benchapp.service.connecting_questions import Answered, ConnectingAnswer, ConnectingStep, StepKey
from benchapp.service.connecting_scale import left_on, weight_on_it
from benchapp.service.errors import CommandError
from drivers.errors import DriverError
from drivers.format_building import KnownLine
from drivers.hearing import PortReport
from drivers.readings import Quantity
from drivers.units import UNITS, read_mass_unit

_UNITS_OF_MASS = tuple(unit for unit, quantity in UNITS.items() if quantity is Quantity.MASS)
#: Asks for a mass in grams, with what is usual.
AskMass = Callable[[NumberRequest, str], Generator[ConnectingStep, str, float]]


class FormatQuestions:
    """``name`` is what the scale is called, ``say`` is told what came out between two questions."""

    def __init__(self, work: Connecting, name: str, mass: AskMass, say: Callable[[str], None]) -> None:
        self._work, self._name, self._mass, self._say = work, name, mass, say

    def asked(self, heard: PortReport) -> Generator[ConnectingStep, str, PortReport]:
        """A format from three lines of known weight, proved by them; the port heard with it."""
        self._say(
            tr(
                "No format here reads its lines, such as {text!r}. Three known weights make one.",
                text=_text(heard.lines[-1]),
            )
        )
        shown = yield from self._display_unit()
        known = [(yield from self._known(heard, tr("Empty its pan."), 0.0))]
        for which, usual in ((tr("a known weight"), "100 g"), (tr("another known weight"), "200 g")):
            mass_g = yield from self._mass(weight_on_it(which), usual)
            known.append((yield from self._known(heard, left_on(mass_g), mass_g)))
        self._work.open_raw(heard)
        yield ConnectingStep(StepKey.MOTION, tr("Press on its pan with a finger, to and fro."))
        known += [KnownLine(_text(line), None) for line in self._again(heard).lines]
        key = self._work.free_key(self._name)
        self._work.build(key, known, shown)
        again = self._again(heard)
        if not any(fit.format == key for fit in again.fits):
            raise CommandError(
                tr(
                    "The format {key} reads its own lines and not the next ones: {trouble} Nothing was "
                    "written into the bench file.",
                    key=key,
                    trouble=again.trouble,
                )
            )
        self._say(tr("The format {key} reads its lines now.", key=key))
        return replace(again, fits=tuple(fit for fit in again.fits if fit.format == key))

    def _again(self, heard: PortReport) -> PortReport:
        return self._work.hear(heard.port, lambda told: None, (heard.baud,))

    def _display_unit(self) -> Answered:
        answers = tuple(ConnectingAnswer(unit, unit) for unit in _UNITS_OF_MASS)
        while True:
            said = yield ConnectingStep(
                StepKey.DISPLAY_UNIT, tr("Which unit does its display show?"), answers, usual="g"
            )
            try:
                return read_mass_unit(f"1 {said or 'g'}")
            except DriverError as wrong:
                self._say(str(wrong))

    def _known(
        self, heard: PortReport, question: str, grams: float
    ) -> Generator[ConnectingStep, str, KnownLine]:
        while True:
            self._work.open_raw(heard)
            yield ConnectingStep(StepKey.LINE, question)
            lines = self._again(heard).lines
            if lines:
                self._say(tr("It says {text!r}.", text=_text(lines[-1])))
                return KnownLine(_text(lines[-1]), grams)
            self._say(tr("Nothing came."))


def _text(line: bytes) -> str:
    return line.decode("latin-1")
