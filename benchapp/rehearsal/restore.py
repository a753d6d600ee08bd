"""Set a simulated bench up as an interrupted rehearsal left it, from the fold of its events."""

from __future__ import annotations

from benchapp.make.state import State
from benchapp.rehearsal.hands import Hands
from drivers.simulated import SimulatedBench
from drivers.simulated.simulated_vessel import Mixture

#: A vessel whose temperature nobody logged stands in the room, in °C.
ROOM_C = 21.0


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
