"""The shell around a make: readings in, journal before prompt, view model out. One loop owns it; devices only post."""

from __future__ import annotations

import dataclasses
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop, writing
from benchapp.make import inputs
from benchapp.make.core import Make
from benchapp.make.view_building import view_model_of
from benchapp.make.view_model import Trouble, ViewModel, Want
from benchapp.make.vocabulary import Stage, TroubleKind, Verb
from benchapp.record.errors import JournalUnavailable
from drivers.readings import LINK_FAULTS, DeviceMessage, Fault, FaultKind, Quantity, Reading

if TYPE_CHECKING:
    from benchapp.calculations.curves import Past
    from benchapp.calculations.hot_bath import HotBath
    from benchapp.calculations.until_done import PastMake
    from benchapp.record.journal import Journal
    from drivers.port_device import PortDevice
    from drivers.settings import DeviceSettings

#: How long to leave a disk alone that could not be written, in seconds.
TRY_AGAIN_S = 2.0
#: Said of a device the make was begun on that this bench does not have.
ANOTHER_BENCH = tr_noop(
    "The {name} this batch was begun on is not on this bench, or is another one now. Go on with the bench file it was "
    "begun with, or type what it would show."
)
#: How old what is known of the store may grow, in seconds: others judge lots meanwhile, and midnight makes some too old.
RESTOCK_S = 30.0


@dataclass(frozen=True, slots=True)
class Answer:
    """A choice with its reason, or a typed value."""

    choice: str = ""
    reason: str = ""
    value: float | None = None

    def given(self, at_s: float, prompt: str) -> inputs.Press | inputs.TypeValue:
        """Pressed or typed, whichever it is, for the moment that showed ``prompt``."""
        if self.value is not None:
            return inputs.TypeValue(at_s, prompt, self.value)
        return inputs.Press(at_s, prompt, self.choice, self.reason)


class Session:
    """One make on one bench. ``clock`` gives the make's own time in seconds, and must never run backwards."""

    def __init__(self, make: Make, journal: Journal, batch: str, clock: Callable[[], float]) -> None:
        self.make = make
        self.batch = batch
        self._journal = journal
        self.clock = clock
        self._devices: tuple[PortDevice, ...] = ()
        self._posted: deque[DeviceMessage] = deque()
        #: The latest a channel said, and the latest that was put to the make: what lies between the two is not
        #: written down yet. Both by (device, channel); any thread may read them.
        self.latest: dict[tuple[str, str], Reading] = {}
        self.given: dict[tuple[str, str], Reading] = {}
        self.recent: deque[ev.Event] = deque(maxlen=400)
        self.heard: Callable[[], object] = (
            _nothing  # called in a device's thread whenever something was posted
        )
        self.recorded = 0  # events written by this session
        self._settled_at = -1  # after how many events nothing more followed by itself
        self.unwritten = ""  # why nothing can be written down just now, in one sentence
        self._try_again_s = 0.0
        self._taken_up = 0  # where in the batch this session took it up
        self._prover: Callable[[str, str], tuple[str, str]] | None = None
        self._restock: Callable[[], tuple[inputs.LotOnHand, ...]] | None = None
        self._stocked_s = 0.0

    @property
    def rehearsing(self) -> bool:
        """Whether this make is a rehearsal."""
        started = self.make.state.started
        return started is not None and started.rehearsal

    # --- devices -------------------------------------------------------------------------------------

    def post(self, spoken: DeviceMessage) -> None:
        """The sink for devices; any thread."""
        if isinstance(spoken, Reading):
            self.latest[spoken.device, spoken.channel] = spoken
        self._posted.append(spoken)
        self.heard()

    def draw(self) -> None:
        """A face draws curves: work out what only a drawing shows, too."""
        self.make.watch.draws = True

    def learn(self, past: Mapping[tuple[str, str], Sequence[Past]], makes: Sequence[PastMake]) -> None:
        """How the same waits went in earlier makes, by step and vessel: what a forecast may go by; and how their time went."""
        self.make.watch.past, self.make.watch.past_makes = past, makes

    def bathe(self, bath: HotBath | None) -> None:
        """What is told of the bench's bath, for forecasts."""
        self.make.watch.bath = bath

    def attach(self, devices: Sequence[PortDevice]) -> None:
        """Devices to start, tend and stop: those the make was begun on. Of one that is not here, or is another one now,
        as where it goes on with another bench file, that is said; its readings would be held against another scale's steps."""
        facts = {d.name: d for d in self.make.plan.devices}
        self._devices = tuple(d for d in devices if d.name in facts and _is_it(d.settings, facts[d.name]))
        for name in facts.keys() - {d.name for d in self._devices}:
            text = tr(ANOTHER_BENCH, name=name)
            self.post(Fault(name, None, FaultKind.NO_PORT, text, self.clock()))
        for device in self._devices:
            device.start()

    def close(self) -> None:
        """Stop the devices. The journal is the caller's."""
        for device in self._devices:
            device.stop()
        self._devices = ()

    # --- the loop ------------------------------------------------------------------------------------

    def poll(self) -> ViewModel:
        """Take what has come, let time pass, and say how things stand. Call at least ten times a second."""
        now = self.clock()
        for device in self._devices:
            device.tend(now)
        with writing():
            for spoken in self._drained():
                self._bring_about(as_input(spoken))
                if isinstance(spoken, Reading):
                    self.given[spoken.device, spoken.channel] = spoken
            if self.unwritten and self.clock() >= self._try_again_s:
                # Whether it can be written again, by the smallest thing that is true: the program was watching.
                self.write_down(ev.Watched(at_s=self.clock(), step=self.make.state.step))
            self._bring_about(inputs.Tick(self.clock()))
        return self.view()

    def _drained(self) -> list[DeviceMessage]:
        got: list[DeviceMessage] = []
        while self._posted:
            got.append(self._posted.popleft())
        # Devices post from threads of their own: put what came at one time into one order.
        return sorted(got, key=lambda s: (s.at_s, s.device, s.channel or ""))

    def put(self, given: inputs.Input) -> None:
        """Put one input to the make; what it brings about is on disk before this returns.

        While nothing can be written, nothing happens: the make stands where it stood, ``unwritten`` says why,
        and the same input brings about the same once the disk is back.
        """
        with writing():
            self._bring_about(given)

    def _bring_about(self, given: inputs.Input) -> None:
        try:
            if isinstance(given, inputs.Scanned) or given.at_s - self._stocked_s >= RESTOCK_S:
                self._look_in_the_store(given.at_s)
            events = self.make.take(given)
            if events:
                self._commit(events)
            # What follows hangs on what has happened, on nothing else.
            while self.make.state.count != self._settled_at:
                following = self.make.follow(given.at_s)
                if not following:
                    self._settled_at = self.make.state.count
                    return
                self._commit(following)
        except JournalUnavailable as error:
            self._leave_alone(error)

    def write_down(self, event: ev.Event) -> bool:
        """Write down what the make itself cannot know, and nothing follows from; False while nothing can be."""
        try:
            self._commit([event])
        except JournalUnavailable as error:
            self._leave_alone(error)
        return not self.unwritten

    def _leave_alone(self, error: JournalUnavailable) -> None:
        self.unwritten = str(error)
        self._try_again_s = self.clock() + TRY_AGAIN_S

    def taken_up_at(self, n: int) -> None:
        """Where in the batch it was taken up last, by what was read: if it was taken up since, nothing is written."""
        self._taken_up = n

    def _commit(self, events: Sequence[ev.Event]) -> None:
        if any(isinstance(e, ev.StepBegan) for e in events):
            self._look_in_the_store(events[0].at_s)
        self._taken_up = self._journal.append(self.batch, events, self._taken_up)
        self.unwritten = ""
        self.make.apply(events)
        self.recent.extend(events)
        self.recorded += len(events)

    def _look_in_the_store(self, at_s: float) -> None:
        """Lots come and go during a make: ask again with each step, when a code was read, and now and then."""
        self._stocked_s = at_s
        if self._restock is not None:
            self.make.take(inputs.Store(at_s, self._restock()))

    def view(self) -> ViewModel:
        """The instant as it stands."""
        view = view_model_of(self.make, self.clock())
        return view if not self.unwritten or view.over else _unwritten(view, self.unwritten)

    # --- what the workshop around it knows -------------------------------------------------------------

    def prove_by(self, prover: Callable[[str, str], tuple[str, str]]) -> None:
        """How a name and a PIN are proved: the role, and "" or the sentence why not."""
        self._prover = prover

    def sign_with(self, prompt: str, who: str, pin: str) -> str:
        """Prove and sign; returns "" or the sentence why it was not signed."""
        if self._prover is None:
            return tr("Nobody is enrolled here who could sign.")
        role, why_not = self._prover(who, pin)
        if not why_not:
            self.put(inputs.Sign(self.clock(), prompt, who, role, "pin"))
        return why_not

    def stock(self, ask: Callable[[], tuple[inputs.LotOnHand, ...]]) -> None:
        """Where to ask what the workshop has on hand: now, with each step, whenever a code was read, and now and then."""
        self._restock = ask
        self._look_in_the_store(self.clock())


def _unwritten(view: ViewModel, why: str) -> ViewModel:
    """The view while nothing can be written: the live values go on, nothing can be pressed or typed."""
    act_view = dataclasses.replace(
        view.act_view, instruction=tr("Stop. Nothing can be written down."), note=why, choices=(), ask=None, not_yet=(),
        want=Want(Verb.WAIT), stage=Stage.UNWRITTEN,
    )  # fmt: skip
    return dataclasses.replace(
        view,
        act_view=act_view,
        trouble=Trouble(TroubleKind.UNWRITTEN, tr("The record stands still"), why),
        take_back="",
    )


def _is_it(device: DeviceSettings, facts: ev.DeviceFacts) -> bool:
    """Whether it measures what that device did when the make was begun, in the same steps; in others where it shows another unit
    of mass now, or did then: somebody brought the bench file to it."""
    before_g = facts.readability_g
    other_unit = device.readability_unit != "g" or (before_g and float(f"{before_g:.1g}") != before_g)
    steps = before_g in (None, device.readability_g) or bool(other_unit)
    return device.kind == facts.kind and steps and set(facts.channels) <= set(device.channels)


def _nothing() -> None:
    """What happens when nobody waits for readings."""


def as_input(spoken: DeviceMessage) -> inputs.Input:
    """A reading or fault in the words of a make."""
    if not isinstance(spoken, Reading):
        lost = spoken.kind in LINK_FAULTS
        return inputs.NoNumber(
            spoken.at_s, spoken.device, spoken.channel, spoken.kind.value, spoken.text, lost
        )
    at_s, device, value = spoken.at_s, spoken.device, spoken.value
    if spoken.quantity is Quantity.MASS:
        return inputs.Grams(at_s, device, value, spoken.stable, spoken.net, spoken.simulated)
    if spoken.quantity is Quantity.TEMPERATURE:
        return inputs.Degrees(at_s, device, spoken.channel, value, spoken.simulated)
    return inputs.PhRead(at_s, device, value, spoken.simulated)
