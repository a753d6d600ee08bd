"""A rehearsal: the real session over a simulated bench on real ports, in lock-step, at any pace."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from benchapp import events as ev
from benchapp.make.inputs import Abandon
from benchapp.make.state import State
from benchapp.make.view_model import ViewModel
from benchapp.rehearsal.answers import Answers
from benchapp.rehearsal.director import Director
from benchapp.rehearsal.errors import ScenarioInvalid
from benchapp.rehearsal.hands import Hands
from benchapp.rehearsal.scenario import Scenario
from benchapp.rehearsal.scenario_reading import scenario_of
from benchapp.rehearsal.scoring import BROKEN_OFF, can_be_resumed
from benchapp.rehearsal.store import invented_lots
from benchapp.runtime.session import Session
from drivers.devices import open_bench
from drivers.port_device import PortDevice
from drivers.simulated import SimulatedBench
from drivers.simulated.simulated_vessel import Mixture

#: Steps of simulated time: fine while anything moves, coarse while nothing does.
FINE_S, COARSE_S = 0.1, 1.0
#: How long real bytes may take through a real port before they count as lost, in seconds.
DELIVERY_S = 0.5
#: A vessel whose temperature nobody logged stands in the room, in °C.
ROOM_C = 21.0
#: Tries to see a freshly opened port from the bench's side.
OPENING_TRIES = 20


@dataclass
class Rehearsal:
    """Bench, hands and session moved together.

    In lock-step: the world moves, its bytes go out on the ports, and the session is only asked once the
    device threads have handed on every one of them. So the pace changes nothing but the waiting.
    """

    bench: SimulatedBench
    session: Session
    hands: Hands
    answers: Answers
    devices: tuple[PortDevice, ...]
    director: Director | None = None
    _missed: dict[str, int] = field(default_factory=dict)
    _seen: ViewModel | None = None
    _seen_at: int = -1

    def step(self, dt_s: float | None = None) -> ViewModel:
        """Move everything one step, fine or coarse as things need it unless ``dt_s`` says how far."""
        fresh = self._seen is not None and self._seen_at == self.session.recorded
        self.hands.work(self._seen if fresh and self._seen else self.session.view())
        usual_s = FINE_S if self.bench.busy or self.hands.busy else COARSE_S
        self.bench.advance(usual_s if dt_s is None else dt_s)
        self._delivered()
        self._seen = self.session.poll()
        self._seen_at = self.session.recorded
        if self.director is not None:
            self.director.watch(self._seen)
            return self._still(self._seen)
        return self._seen

    def _still(self, view: ViewModel) -> ViewModel:
        """The view as it stands now: the same as before where nothing was recorded since. It costs to draw one up."""
        if self._seen_at != self.session.recorded:
            view = self._seen = self.session.view()
            self._seen_at = self.session.recorded
        return view

    def _delivered(self) -> None:
        for device in self.devices:
            if self.bench.opened(device.name):
                self._await_bytes(device)
            elif self.bench.cable(device.name).wire is not None:
                device.port.wait_open(DELIVERY_S)

    def _await_bytes(self, device: PortDevice) -> None:
        sent = self.bench.sent_bytes(device.name)
        missed = self._missed.get(device.name, 0)
        if missed > sent:
            missed = self._missed[device.name] = 0  # another opening: counted anew
        if not device.wait_received(sent - missed, DELIVERY_S):
            # Bytes written while the port was just being opened are gone, as on any wire: never wait for them twice.
            self._missed[device.name] = sent - device.bytes_received

    def close(self) -> None:
        """Stop the devices and unplug the bench."""
        self.session.close()
        self.bench.close()


def rehearse(
    bench: SimulatedBench, session: Session, seed: int, scenario: Scenario | None = None,
    before: Sequence[ev.Event] = (),
) -> Rehearsal:  # fmt: skip
    """Put hands and devices to a session on a simulated bench; its clock has to follow the bench's. ``before``:
    the events of an interrupted rehearsal, by which a scenario knows whether it has begun."""
    procedure = session.make.plan.procedure
    hands = Hands(bench, procedure, seed)
    restore(bench, hands, session.make.state)
    if session.rehearsing:
        lots = invented_lots(procedure)
        session.stock(lambda: lots)
    devices = open_bench(bench.bench, session.clock, session.post)
    session.attach(devices)
    for device in devices:
        _plug_in(bench, device)
    director = None if scenario is None else Director(scenario, bench, session, hands, before)
    return Rehearsal(bench, session, hands, Answers(bench, hands), tuple(devices), director)


def resume_rehearsal(
    bench: SimulatedBench, session: Session, seed: int, before: Sequence[ev.Event]
) -> Rehearsal:
    """The rehearsal of a reopened session; ``before`` are its events so far. Where its scenario cannot be taken up
    again, the make is ended, and the record says why."""
    try:
        scenario = scenario_of(before)
        broken_off = scenario is not None and not can_be_resumed(scenario, before)
    except ScenarioInvalid:  # kept by another version: nobody can say any more what was to happen
        broken_off = True
    if broken_off:
        scenario = None
        session.put(Abandon(session.clock(), BROKEN_OFF))
    return rehearse(bench, session, seed, scenario=scenario, before=before)


def _plug_in(bench: SimulatedBench, device: PortDevice) -> None:
    """Wait until both ends know of each other, so that no byte is written to a port nobody reads yet."""
    for _ in range(OPENING_TRIES):
        device.port.wait_open(DELIVERY_S)
        bench.advance(0.0)
        if bench.opened(device.name):
            return


def restore(bench: SimulatedBench, hands: Hands, state: State) -> None:
    """Fill the vessels with what the ledger says, as warm as last logged, and put them where they stood."""
    for key, account in state.ledger.vessels.items():
        vessel = bench.world.vessels.get(key)
        if vessel is None:
            continue
        if account.empty_g is not None:
            vessel.empty_g = account.empty_g
        temp, _ = state.temps_c.get(key, (ROOM_C, 0.0))
        for line, grams in account.contents_g.items():
            if grams > 0:
                vessel.receive(Mixture.of(hands.stuff(line), grams), temp)
    for device, key in state.on_scale.items():
        if key in bench.world.vessels and device in bench.world.scales:
            bench.world.put_on(device, key)
    for probe, key in state.probes.items():
        if key in bench.world.vessels:
            bench.world.probe_into(probe, key)
    _bath(bench, state)


def _bath(bench: SimulatedBench, state: State) -> None:
    """A make that was heating goes on in a hot bath."""
    if "heat" not in (state.progress.act, state.waiting.act if state.waiting else ""):
        return
    bench.world.top_up_bath()
    bench.world.bath_on(77.0)
    for key in set(state.probes.values()):
        if key in bench.world.vessels:
            bench.world.into_bath(key)
