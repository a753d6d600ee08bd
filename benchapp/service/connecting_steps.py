"""The way of a device from its plug to the bench file, one question after the other; the faces ask and hand on."""

from __future__ import annotations

import time
from collections.abc import Callable, Generator
from dataclasses import replace

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.service.connecting import AtRest, Connecting, at_rest, line_sentence
from benchapp.service.connecting_format import FormatQuestions
from benchapp.service.connecting_questions import Answered, ConnectingAnswer, ConnectingStep, Sight, StepKey
from benchapp.service.connecting_scale import ScaleQuestions
from benchapp.service.errors import CommandError
from drivers.errors import DriverError
from drivers.hearing import PortReport
from drivers.proposal import proposed_section
from drivers.settings import DeviceKind, DeviceSettings
from drivers.units import SHOWN, SPELLINGS

#: The kinds of device in the order in which they are offered, and what a press for each says.
KINDS: dict[DeviceKind, str] = {
    "scale": tr_noop("A scale"),
    "thermometer": tr_noop("A thermometer"),
    "ph meter": tr_noop("A pH meter"),
}
#: How often a new port is looked for, in seconds.
PORTS_S = 0.5


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
        self._scale = ScaleQuestions(work, self._say)
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
            name = self._name_of("scale")
            heard = yield from FormatQuestions(self._work, name, self._scale.mass, self._say).asked(heard)
        kind = yield from self._kind(heard)
        name = self._name_of(kind)
        if kind == "scale":
            settings = yield from self._scale.asked(heard, name)
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
            answers = tuple(ConnectingAnswer(kind, translated(KINDS[kind])) for kind in kinds)
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
        settings = proposed_section(heard, name, kind, unit or None)
        self._say(line_sentence(heard, settings))
        return settings
