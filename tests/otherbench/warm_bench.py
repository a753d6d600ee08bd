"""The other bench with heat: every vessel on it is a pot of the kitchen, and a thermometer stands beside the scales.

What a pot weighs is what truly lies in its vessel; what steams off is taken from the water in it. Figures are invented
for the tests.
"""

from __future__ import annotations

from collections import deque
from random import Random

from benchapp import events as ev
from benchapp.make.inputs import LotOnHand
from otherbench.bench import OtherBench, Plug, scale_plug
from otherbench.scale import Scale, Vessel
from otherbench.thermal import Kitchen, Pot, Probe, Thermometer

WATER_CP, OTHER_CP = 4.1, 2.1
#: How warm the water is that is topped up, in °C.
KETTLE_C = 80.0
#: So much of the steam gets away from under a lid that does not close.
UNDER_A_LID = 0.3
#: An emptied pot's temperature is nobody's; grams.
HOLDS_G = 5.0
#: A record may lag behind its pot by so many seconds.
LAG_S = 15.0
KITCHEN_STEP_S = 0.5


class WarmBench:
    """An ``OtherBench`` and the kitchen that moves with it. ``worst`` holds the largest differences seen so far."""

    def __init__(self, journal, procedure, batch_g: float, seed: int = 1, digit_k: float = 0.1) -> None:
        random = Random(f"{seed}/warm bench")
        self.kitchen = Kitchen(seed)
        self.procedure = procedure
        self._waters = {x.key for x in procedure.formula.lines if str(x.material.role) == "water"}
        shelf = self.kitchen.pot(2.0, 0.05)  # where the probes lie while they are in nothing
        self.probes: dict[str, Probe] = {
            f"probe {n}": self.kitchen.probe(
                shelf,
                noise_k=random.choice((0.01, 0.03, 0.06)),
                digit_k=digit_k,
                lag_s=random.uniform(2.0, 8.0),
            )
            for n in (1, 2)
        }
        for probe in self.probes.values():
            probe.lies_at_c = self.kitchen.room_c
        self.meter = Thermometer("thermometer", list(self.probes.values()), self.kitchen.rng)
        noise = random.uniform(0.05, 0.4)
        scales = [Scale("large scale", 0.1, seed, noise), Scale("fine scale", 0.01, seed, noise)]
        plug = Plug(self.meter, "thermometer", "multi-channel", tuple(self.probes))
        self.bench = OtherBench(journal, procedure, [*map(scale_plug, scales), plug], batch_g)
        self.bench.moves_with(self._warm)
        self.bench.session.stock(self._lots)
        self.pots: dict[str, Pot] = {}
        self._held: dict[str, float] = {}
        self._steamed: dict[str, float] = {}
        self._were_c: dict[str, deque[tuple[float, float]]] = {}
        self._read = 0
        self._taken_g: dict[str, float] = {}
        self._dried_g: dict[str, float] = {}
        self._dried_before_g: dict[str, float] = {}
        self.worst_k, self.worst_where = 0.0, ""
        self.worst_divisions, self.worst_line = 0.0, ""

    def _lots(self) -> tuple[LotOnHand, ...]:
        """One open lot of everything."""
        materials = {x.material.key: x.material.name for x in self.procedure.formula.lines}
        return tuple(LotOnHand(f"{key}-1", key, name, 10000.0) for key, name in materials.items())

    def pot(self, key: str) -> Pot:
        """The kitchen's pot of that vessel."""
        if key not in self.pots:
            planned = self.procedure.vessels.get(key)
            capacity = planned.capacity_ml if planned is not None else 100.0
            width = (
                planned.diameter_mm
                if planned is not None and planned.diameter_mm
                else 11.0 * capacity ** (1 / 3)
            )
            self.pots[key] = self.kitchen.pot(2.0, width / 1000.0)
            self._held[key] = self._steamed[key] = 0.0
        return self.pots[key]

    def tip(self, origin: str, into: str) -> None:
        """What was in one pot is in the other now: its warmth too."""
        pot, vessel = self.pot(into), self.bench.vessel(into)
        came_g = vessel.net_g - self._held[into]
        pot.mix_in(max(came_g, 0.0), self.pot(origin).true_c, self.pot(origin).cp_j_gk)
        self._held[into] = vessel.net_g
        self.pot(origin).place = "air"

    def _warm(self, now_s: float) -> None:
        for key, vessel in self.bench.vessels.items():
            self._fill(key, vessel)
        while self.kitchen.now_s < now_s - 1e-6:
            self.kitchen.step(min(KITCHEN_STEP_S, now_s - self.kitchen.now_s))
        for key, vessel in self.bench.vessels.items():
            self._dry(key, vessel)
            if vessel.net_g >= HOLDS_G:
                self._were_c.setdefault(key, deque()).append((now_s, self.pots[key].true_c))
        for were in self._were_c.values():
            while len(were) > 1 and were[0][0] < now_s - LAG_S:
                were.popleft()

    def _fill(self, key: str, vessel: Vessel) -> None:
        """What was poured in since is as warm as the room, or as the kettle."""
        pot = self.pot(key)
        came_g = vessel.net_g - self._held[key]
        water_g = sum(g for line, g in vessel.contents_g.items() if line in self._waters)
        if came_g > 0.0:
            hot = self.bench.view.step_kind == "top up"
            pot.mix_in(came_g, KETTLE_C if hot else self.kitchen.room_c, WATER_CP if hot else pot.cp_j_gk)
        share = water_g / vessel.net_g if vessel.net_g else 0.0
        pot.cp_j_gk = OTHER_CP + (WATER_CP - OTHER_CP) * share
        lid = UNDER_A_LID if pot.place == "bath" else 1.0
        pot.dries = lid if share > 0.0 else 0.0
        pot.mass_g = max(vessel.net_g, 2.0)
        self._held[key] = vessel.net_g

    def _dry(self, key: str, vessel: Vessel) -> None:
        steamed_g, self._steamed[key] = (
            self.pots[key].steamed_g - self._steamed[key],
            self.pots[key].steamed_g,
        )
        water_g = sum(g for line, g in vessel.contents_g.items() if line in self._waters)
        if water_g < HOLDS_G:
            return
        for line in self._waters & vessel.contents_g.keys():
            vessel.contents_g[line] -= steamed_g * vessel.contents_g[line] / water_g
        self._dried_g[key] = self._dried_g.get(key, 0.0) + steamed_g
        self._held[key] = vessel.net_g

    def compare(self) -> None:
        """Hold what was logged since the last look against the pots."""
        log = self.bench.session.make.state.log
        new, self._read = log[self._read :], len(log)
        for event in new:
            if isinstance(event, ev.TemperaturesLogged):
                self._hold_against_pots(event)
            elif isinstance(event, ev.PourBegan):
                self._dried_before_g = dict(self._dried_g)
            elif isinstance(event, ev.WeightTaken):
                self._hold_against_truth(event)

    def _hold_against_pots(self, event: ev.TemperaturesLogged) -> None:
        assert event.source is ev.Source.MEASURED
        for key, temp_c in event.temps_c:
            off = min(abs(temp_c - c) for _, c in self._were_c[key])
            if off > self.worst_k:
                self.worst_k, self.worst_where = off, f"{event.step} {key} {temp_c:.1f} °C"

    def _hold_against_truth(self, event: ev.WeightTaken) -> None:
        assert event.source is ev.Source.MEASURED
        so_far_g = self.bench.went_in_g[event.line]
        true_g, self._taken_g[event.line] = so_far_g - self._taken_g.get(event.line, 0.0), so_far_g
        # What steams off a hot pot while it is being weighed is missing on the scale, and no mistake of anybody.
        steamed_g = self._dried_g.get(event.vessel, 0.0) - self._dried_before_g.get(event.vessel, 0.0)
        off_g = max(true_g - steamed_g - event.net_g, event.net_g - true_g, 0.0)
        off = off_g / self.bench.scale(event.device).division_g
        if off > self.worst_divisions:
            self.worst_divisions, self.worst_line = off, event.line

    def close(self) -> None:
        self.bench.close()
