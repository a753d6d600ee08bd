"""Connecting a device in the terminal, question by question: plug in, weigh, take off, switch the unit, write it down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from benchapp.service.connecting import Connecting, Rest, at_rest, unit_key_seen, units_meant
from benchapp.service.errors import CommandError
from drivers.errors import DriverError
from drivers.finding import PortReport
from drivers.format_building import KnownLine, agrees
from drivers.settings import DeviceKind, DeviceSettings
from drivers.units import read_mass_g, read_mass_unit

#: What ends it at any question.
STOP = "stop"
KINDS: tuple[DeviceKind, ...] = ("scale", "thermometer", "ph meter")


class ConnectingDialogue:
    """``ask`` puts a question and returns the line that was typed; ``say`` tells. Raises CommandError where it is
    stopped; nothing is in the bench file then."""

    def __init__(self, connecting: Connecting, ask: Callable[[str], str], say: Callable[[str], None]) -> None:
        self._work, self._typed, self._say = connecting, ask, say

    def connect(self, port: str, name: str) -> DeviceSettings:
        """From the plug to the bench file; what was written there."""
        port = port or self._new_port()
        heard = self._hear(port)
        if not heard.fits:
            heard = self._build(heard, name)
        kind = self._kind(heard)
        settings = self._scale(heard, name) if kind == "scale" else self._meter(heard, name, kind)
        self._work.write(settings)
        self._say(f"{name} stands in {self._work.bench} now.")
        return settings

    def _ask(self, question: str) -> str:
        answer = self._typed(question).strip()
        if answer.lower() == STOP:
            raise CommandError("Stopped. Nothing was written into the bench file.")
        return answer

    # --- where it is, and what it says ---------------------------------------------------------------

    def _new_port(self) -> str:
        self._ask("Unplug the device if it is plugged in, then press Enter.")
        before = set(self._work.ports())
        while True:
            self._ask("Plug it in, switch it on and set it to send, then press Enter.")
            new = [port for port in self._work.ports() if port not in before]
            if len(new) == 1:
                self._say(f"It is at {new[0]}.")
                return new[0]
            ports = new or sorted(before)
            self._say("Several ports are new." if new else "No port is new.")
            for n, one in enumerate(ports, 1):
                self._say(f"  {n}: {one}")
            chosen = self._ask("Type the number of its port, or Enter to plug it in again.")
            if chosen.isdigit() and 1 <= int(chosen) <= len(ports):
                return ports[int(chosen) - 1]

    def _hear(self, port: str) -> PortReport:
        while True:
            heard = self._work.hear(port, self._say)
            if heard.fits or heard.lines:
                return heard
            self._say(heard.trouble or f"{port} says nothing.")
            self._ask("Look at its menu: print, output or interface. Enter listens again; stop ends.")

    def _kind(self, heard: PortReport) -> DeviceKind:
        kinds = [kind for kind in KINDS if any(fit.kind == kind for fit in heard.fits)]
        while len(kinds) > 1:
            answer = self._ask(f"Its lines do not say what it is. Type {' or '.join(kinds)}.")
            kinds = [kind for kind in kinds if kind == answer.lower()] or kinds
        return kinds[0]

    # --- a thermometer or a pH meter -----------------------------------------------------------------

    def _meter(self, heard: PortReport, name: str, kind: DeviceKind) -> DeviceSettings:
        fit = next(fit for fit in heard.fits if fit.kind == kind)
        self._say(f"It reads {fit.reads[0]}.")
        answer = self._ask(
            "Does its display show the same? Enter: yes. Else type the unit of its display, such as F."
        )
        return self._work.section(heard, name, kind, answer or None)

    # --- a scale -------------------------------------------------------------------------------------

    def _scale(self, heard: PortReport, name: str) -> DeviceSettings:
        settings = self._work.section(heard, name, "scale")
        empty = self._resting(settings, "Empty its pan, and press Enter once its display stands still.")
        known_g = self._mass("Put a known weight on it. How much is it? Enter: 100 g.", "100 g")
        loaded = self._resting(settings, "Press Enter once its display stands still.")
        unit = self._unit(loaded, known_g)
        if unit:
            settings = self._work.section(heard, name, "scale", unit)
        back = self._resting(settings, "Take it off, and press Enter once its display stands still.")
        if not agrees(back.grams, empty.grams, back.step_g):
            self._say(
                f"It does not come back to where it was: {empty.grams:g} g before, {back.grams:g} g now. Check its feet and its pan."
            )
        self._unit_key(settings, back)
        capacity_g = self._mass("How much does it weigh at most? It stands on its plate, such as 3000 g.", "")
        self._told(heard, settings, loaded)
        return replace(settings, capacity_g=capacity_g)

    def _resting(self, settings: DeviceSettings, question: str) -> Rest:
        while True:
            self._ask(question)
            rest = at_rest(self._work.readings(settings))
            if isinstance(rest, Rest):
                self._say(f"It reads {rest.grams:g} g.")
                return rest
            self._say(rest)

    def _mass(self, question: str, usual: str) -> float:
        while True:
            answer = self._ask(question) or usual
            try:
                mass_g = read_mass_g(answer)
            except DriverError as wrong:
                self._say(str(wrong))
                continue
            if mass_g > 0:
                return mass_g
            self._say("It has to be more than nothing.")

    def _unit(self, loaded: Rest, known_g: float) -> str | None:
        """The unit of lines that name none; None where they do. Raises CommandError where the weight is another."""
        if loaded.unit:
            if agrees(loaded.grams, known_g, loaded.step_g):
                return None
            raise CommandError(
                f"It reads {loaded.grams:g} g where {known_g:g} g lie. Check it against another weight first; nothing was written."
            )
        units = units_meant(loaded, known_g)
        if len(units) == 1:
            self._say(f"Its lines name no unit; by that weight it is {units[0]}.")
            return units[0]
        raise CommandError(
            f"It shows {loaded.grams:g} where {known_g:g} g lie, and that is no unit of mass. Check it first; nothing was written."
        )

    def _unit_key(self, settings: DeviceSettings, before: Rest) -> None:
        question = (
            "Put the weight on again, press its unit key once, and press Enter. It has none: type none."
        )
        if self._ask(question).lower() == "none":
            return
        seen = unit_key_seen(before, self._work.readings(settings))
        if seen:
            self._say("A pressed unit key is noticed.")
        else:
            self._say(
                "A pressed unit key does not show in its lines: it is only noticed by a number that jumps. Keep it set to g."
            )
        self._ask("Set it back to the unit it had, and press Enter.")

    def _told(self, heard: PortReport, settings: DeviceSettings, rest: Rest) -> None:
        mark = (
            "its lines do not tell rest from motion"
            if rest.stable is None
            else "its lines tell when it is at rest"
        )
        speed = f", {heard.baud} baud" if heard.baud else ""
        self._say(
            f"{heard.port}{speed}, {settings.format}; last digit {settings.readability_g or rest.step_g:g} g, a line every "
            f"{settings.period_s:g} s; {mark}."
        )

    # --- a format of its own -------------------------------------------------------------------------

    def _build(self, heard: PortReport, name: str) -> PortReport:
        """A format from three lines of known weight, proved by them; the port heard with it."""
        self._say(
            f"No format here reads its lines, such as {_text(heard.lines[-1])!r}. Three known weights make one."
        )
        shown = self._display_unit()
        known = [self._known(heard, "Empty its pan, and press Enter once its display stands still.", 0.0)]
        for which, usual in (("a known weight", "100 g"), ("another known weight", "200 g")):
            mass_g = self._mass(f"Put {which} on it. How much is it? Enter: {usual}.", usual)
            known.append(self._known(heard, "Press Enter once its display stands still.", mass_g))
        self._ask("Press on its pan with a finger, to and fro, and press Enter meanwhile.")
        moving = self._work.hear(heard.port, lambda told: None, (heard.baud,)).lines
        known += [KnownLine(_text(line), None) for line in moving]
        key = "".join(sign if sign.isalnum() else "-" for sign in name.lower()).strip("-") or "own-scale"
        self._work.build(key, known, shown)
        again = self._work.hear(heard.port, lambda told: None, (heard.baud,))
        if not any(fit.format == key for fit in again.fits):
            raise CommandError(
                f"The format {key} reads its own lines and not the next ones: {again.trouble} Nothing was written into the bench file."
            )
        self._say(f"The format {key} reads its lines now.")
        return replace(again, fits=tuple(fit for fit in again.fits if fit.format == key))

    def _display_unit(self) -> str:
        while True:
            answer = self._ask("Which unit does its display show? Enter: g.") or "g"
            try:
                return read_mass_unit(f"1 {answer}")
            except DriverError as wrong:
                self._say(str(wrong))

    def _known(self, heard: PortReport, question: str, grams: float) -> KnownLine:
        while True:
            self._ask(question)
            lines = self._work.hear(heard.port, lambda told: None, (heard.baud,)).lines
            if lines:
                self._say(f"It says {_text(lines[-1])!r}.")
                return KnownLine(_text(lines[-1]), grams)
            self._say("Nothing came.")


def _text(line: bytes) -> str:
    return line.decode("latin-1")
