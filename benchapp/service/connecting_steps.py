"""The way of a device from its plug to the bench file, one question after the other; the faces ask and hand on."""

from __future__ import annotations

import time
from collections.abc import Callable, Generator
from dataclasses import replace

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest
from benchapp.runtime.bench_monitor import ChannelStatus
from benchapp.service.connecting import AtRest, Connecting, at_rest, shows_weight, unit_key_seen, units_meant
from benchapp.service.connecting_questions import (
    NEXT,
    NO_KEY,
    ConnectingAnswer,
    ConnectingStep,
    Sight,
    StepKey,
)
from benchapp.service.errors import CommandError
from benchapp.service.references import CAPACITY
from drivers.errors import DriverError
from drivers.finding import PortReport
from drivers.format_building import KnownLine, agrees
from drivers.readings import Quantity
from drivers.settings import DeviceKind, DeviceSettings
from drivers.units import SHOWN, SPELLINGS, UNITS, conversion, read_mass_g, read_mass_unit

KINDS: tuple[DeviceKind, ...] = ("scale", "thermometer", "ph meter")
#: How often a new port is looked for, in seconds.
PORTS_S = 0.5
_UNITS_OF_MASS = tuple(unit for unit, quantity in UNITS.items() if quantity is Quantity.MASS)


Answered = Generator[ConnectingStep, str, str]


class ConnectingSteps:
    """The questions in their order. ``name_of`` says what a device of a kind is called; ``tell`` is told what is being
    listened to, and may be another one at any time; ``added`` is called once the device, then called ``name``, is in the
    bench file. ``step`` is the question that stands, None once the device is there."""

    def __init__(
        self,
        work: Connecting,
        name_of: Callable[[DeviceKind], str],
        tell: Callable[[str], None] = lambda told: None,
        port: str = "",
        added: Callable[[], None] = lambda: None,
    ) -> None:
        self._work, self._name_of, self.tell = work, name_of, tell
        self._added = added
        self._found: list[str] = []  # since the last question
        self._talk = self._connect(port)
        self._before: tuple[str, ...] = ()
        self._look_s = 0.0
        self.name = ""
        self.step: ConnectingStep | None = None

    @property
    def found(self) -> tuple[str, ...]:
        """What came out since the last question."""
        return tuple(self._found)

    def begin(self) -> ConnectingStep | None:
        """The first question. Raises CommandError and DriverError, as ``answer`` does."""
        return self._go_on(lambda: next(self._talk))

    def answer(self, word: str) -> ConnectingStep | None:
        """The question after that answer; None where the device is in the bench file. This may take a while. Raises
        CommandError and DriverError with the sentence why it cannot be gone on; nothing is in the bench file then."""
        return self._go_on(lambda: self._talk.send(word.strip()))

    def _go_on(self, move: Callable[[], ConnectingStep]) -> ConnectingStep | None:
        try:
            self.step = replace(move(), found=tuple(self._found))
            self._found.clear()
        except StopIteration:
            self.step = None
        except (CommandError, DriverError):
            self.end()
            raise
        return self.step

    def look(self) -> Sight:
        """What can be seen now. Any thread; quick enough for every frame."""
        step = self.step
        if step is None:
            return Sight()
        if step.key is StepKey.PLUG_IN:
            return Sight(done=self._plugged())
        one = self._work.live() if step.device is not None else None
        if one is None:
            return Sight(line=self._work.line)
        ready = step.key is not StepKey.REST or isinstance(at_rest(one), AtRest)
        return Sight(one, ready, step.done is not None and step.done(one))

    def _plugged(self) -> bool:
        """Whether a new port is there, looked for now and then."""
        now_s = time.monotonic()
        if now_s < self._look_s:
            return False
        self._look_s = now_s + PORTS_S
        return bool(self.new_ports())

    def end(self) -> None:
        """Ask no more, and let go of the device."""
        self._talk.close()
        self._work.close()

    def _say(self, text: str) -> None:
        self._found.append(text)

    def _connect(self, port: str) -> Generator[ConnectingStep, str, None]:
        port = port or (yield from self._new_port())
        self._work.require_free(port)
        heard = yield from self._hear(port)
        if not heard.fits:
            heard = yield from self._build(heard)
        kind = yield from self._kind(heard)
        name = self._name_of(kind)
        if kind == "scale":
            settings = yield from self._scale(heard, name)
        else:
            settings = yield from self._meter(heard, name, kind)
        yield ConnectingStep(
            StepKey.ADD, tr("Add the {name} to the bench?", name=name), (ConnectingAnswer("", tr("Add it")),)
        )
        self._work.close()
        self._work.write(settings)
        self._added()
        self.name = name
        self._say(tr("{name} stands in {bench} now.", name=name, bench=self._work.bench))

    # --- where it is, and what it says ---------------------------------------------------------------

    def new_ports(self) -> tuple[str, ...]:
        """The ports that were not there when the device was unplugged."""
        return tuple(port for port in self._work.ports() if port not in self._before)

    def _new_port(self) -> Answered:
        yield ConnectingStep(StepKey.UNPLUG, tr("Unplug the device if it is plugged in."))
        self._before = self._work.ports()
        while True:
            yield ConnectingStep(StepKey.PLUG_IN, tr("Plug it in, switch it on and set it to send."))
            new = self.new_ports()
            if len(new) == 1:
                self._say(tr("It is at {new}.", new=new[0]))
                return new[0]
            ports = new or tuple(sorted(self._before))
            self._say(tr("Several ports are new.") if new else tr("No port is new."))
            again = ConnectingAnswer("", tr("Plug it in again"))
            numbered = (ConnectingAnswer(str(n), one) for n, one in enumerate(ports, 1))
            chosen = yield ConnectingStep(StepKey.PORT, tr("Which is its port?"), (*numbered, again))
            if chosen.isdigit() and 1 <= int(chosen) <= len(ports):
                return ports[int(chosen) - 1]

    def _hear(self, port: str) -> Generator[ConnectingStep, str, PortReport]:
        while True:
            heard = self._work.hear(port, self.tell)
            if heard.fits or heard.lines:
                return heard
            self._say(heard.trouble or tr("{port} says nothing.", port=port))
            again = ConnectingAnswer("", tr("Listen again"))
            yield ConnectingStep(
                StepKey.SENDING, tr("Look at its menu: print, output or interface."), (again,)
            )

    def _kind(self, heard: PortReport) -> Generator[ConnectingStep, str, DeviceKind]:
        kinds = [kind for kind in KINDS if any(fit.kind == kind for fit in heard.fits)]
        while len(kinds) > 1:
            answers = tuple(ConnectingAnswer(kind, f"A {kind}") for kind in kinds)
            said = yield ConnectingStep(StepKey.KIND, tr("Its lines do not say. What is it?"), answers)
            kinds = [kind for kind in kinds if kind == said.lower()] or kinds
        return kinds[0]

    # --- a thermometer or a pH meter -----------------------------------------------------------------

    def _meter(
        self, heard: PortReport, name: str, kind: DeviceKind
    ) -> Generator[ConnectingStep, str, DeviceSettings]:
        fit = next(fit for fit in heard.fits if fit.kind == kind)
        self._say(tr("It reads {reads}.", reads=fit.reads[0]))
        answers = [ConnectingAnswer("", tr("Yes, the same"))]
        if kind == "thermometer" and not fit.names_unit:
            answers.append(ConnectingAnswer("F", tr("It shows {shown}", shown=SHOWN[SPELLINGS["F"]])))
        unit = yield ConnectingStep(StepKey.DISPLAY, tr("Does its display show the same?"), tuple(answers))
        settings = self._work.section(heard, name, kind, unit or None)
        self._conclude(heard, settings)
        return settings

    # --- a scale -------------------------------------------------------------------------------------

    def _scale(self, heard: PortReport, name: str) -> Generator[ConnectingStep, str, DeviceSettings]:
        settings = self._work.section(heard, name, "scale")
        empty = yield from self._resting(settings, tr("Empty its pan."))
        known_g = yield from self._mass(_weight(tr("a known weight")), "100 g")
        loaded = yield from self._loaded(settings, empty, known_g)
        unit = self._unit(loaded, known_g)
        if unit:
            settings = self._work.section(heard, name, "scale", unit)
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
        capacity_g = yield from self._mass(CAPACITY, key=StepKey.CAPACITY)
        settings = replace(settings, capacity_g=capacity_g)
        self._conclude(heard, settings, loaded)
        return settings

    def _loaded(
        self, settings: DeviceSettings, empty: AtRest, known_g: float
    ) -> Generator[ConnectingStep, str, AtRest]:
        """What it reads with the known weight on it; asked again while it reads as the empty pan did."""
        while True:
            loaded = yield from self._resting(
                settings, _left_on(known_g), lambda rest: shows_weight(rest, known_g)
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

    def _mass(
        self, ask: NumberRequest, usual: str = "", key: StepKey = StepKey.MASS
    ) -> Generator[ConnectingStep, str, float]:
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

    def _conclude(self, heard: PortReport, settings: DeviceSettings, rest: AtRest | None = None) -> None:
        speed = tr(", {baud} baud", baud=heard.baud) if heard.baud else ""
        self._say(
            tr(
                "{port}{speed}, {format}, a line every {period_s:g} s.",
                port=heard.port,
                speed=speed,
                format=settings.format,
                period_s=settings.period_s,
            )
        )
        if rest is not None:
            mark = (
                tr("its lines do not tell rest from motion")
                if rest.stable is None
                else tr("its lines tell when it is at rest")
            )
            step_g, most_g = settings.readability_g or rest.step_g, settings.capacity_g or 0.0
            self._say(
                tr(
                    "Last digit {step_g:g} g, up to {most_g:g} g; {mark}.",
                    step_g=step_g,
                    most_g=most_g,
                    mark=mark,
                )
            )

    # --- a format of its own -------------------------------------------------------------------------

    def _build(self, heard: PortReport) -> Generator[ConnectingStep, str, PortReport]:
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
            mass_g = yield from self._mass(_weight(which), usual)
            known.append((yield from self._known(heard, _left_on(mass_g), mass_g)))
        self._work.open_raw(heard)
        yield ConnectingStep(StepKey.MOTION, tr("Press on its pan with a finger, to and fro."))
        known += [KnownLine(_text(line), None) for line in self._again(heard).lines]
        key = self._work.free_key(self._name_of("scale"))
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


def _weight(which: str) -> NumberRequest:
    return NumberRequest(tr("Put {which} on it. How much is it?", which=which), "g", 1, 100_000, 1, True)


def _left_on(mass_g: float) -> str:
    return tr("Leave {mass_g:g} g on it, and keep your hands off.", mass_g=mass_g)


def _text(line: bytes) -> str:
    return line.decode("latin-1")
