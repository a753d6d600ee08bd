"""The bench as a small world: vessels, scales, probes, a bath, and all a pair of hands can do with them."""

from __future__ import annotations

from collections.abc import Iterable

from benchapp.foundation.numbers import exact
from drivers.simulated.bench_top import BenchTop
from drivers.simulated.errors import ImpossibleAct, named
from drivers.simulated.handling import (
    TRANSFER_G_S,
    Handling,
    Pause,
    PourTo,
    Spoon,
    Stream,
    Transfer,
    VesselStream,
)
from drivers.simulated.heat_flow import cool_and_dry
from drivers.simulated.materials import SimulatedMaterial
from drivers.simulated.probes import TempProbe
from drivers.simulated.simulated_scale import SimulatedScale
from drivers.simulated.simulated_vessel import SimulatedVessel, Wall
from drivers.simulated.water import Air

HEAT_STEP_S = 1.0
#: A full bath in grams of water, and how hot what it is filled up with is, in °C.
FULL_BATH_G, TOPPED_UP_C = 2500.0, 60.0


class World(BenchTop):
    """The bench top with hands at work on it, moved on in steps."""

    def __init__(
        self,
        seed: int,
        air: Air,
        scales: Iterable[tuple[str, float, float]] = (),
        probes: Iterable[str] = (),
        ph_probes: Iterable[str] = (),
    ) -> None:
        super().__init__(seed, air, scales, probes, ph_probes)
        self.handlings: list[Handling] = []
        self._hand = self._rng("hand")
        self._heat_due_s = 0.0

    @property
    def busy(self) -> bool:
        """Whether something moves that wants steps of 0.1 s."""
        return bool(self.handlings) or any(self._scale_busy(s) for s in self.scales.values())

    def _scale_busy(self, scale: SimulatedScale) -> bool:
        if scale.handled(self.now_s):
            return True
        on_it = self.vessels.get(scale.standing or "")
        # What is stirred on a scale never rests; that alone is no reason for small steps.
        return not scale.settled and not (on_it is not None and (on_it.stirred or on_it.blending))

    # Vessels and the scale.

    def add_vessel(
        self,
        key: str,
        empty_g: float,
        capacity_ml: float,
        diameter_mm: float | None = None,
        wall: Wall = "glass",
    ) -> SimulatedVessel:
        """Set an empty vessel at room temperature on the bench."""
        if key in self.vessels or key in self.scales or key in ("bench", "bath", "hand"):
            raise ImpossibleAct(f"{key!r} is already the name of something here")
        self.vessels[key] = SimulatedVessel(key, empty_g, capacity_ml, diameter_mm, wall, self.air.temp_c)
        return self.vessels[key]

    def put_on(self, scale: str, vessel_key: str) -> None:
        """Set a vessel on a scale, from wherever it was."""
        pan, vessel = self.scale(scale), self.vessel(vessel_key)
        if pan.standing == vessel_key:
            return
        if pan.standing is not None:
            raise ImpossibleAct(
                f"{pan.standing!r} stands on the {scale}; lift it before {vessel_key!r} goes on"
            )
        self._free(vessel)
        vessel.place = scale
        pan.place(vessel_key, vessel.mass_g, self.now_s)

    def lift(self, scale: str) -> str | None:
        """Take off what stands on the scale; returns its key, None for an empty pan."""
        pan = self.scale(scale)
        key = pan.standing
        if key is not None:
            self._free(self.vessel(key))
        return key

    def _free(self, vessel: SimulatedVessel) -> None:
        """Take a vessel from its scale or out of the bath, onto the bench."""
        pan = self.scales.get(vessel.place)
        if pan is not None:
            pan.take_off(vessel.mass_g, self.now_s)
        vessel.place = "bench"

    def knock(self, scale: str, grams: float) -> None:
        """Bump a scale for a moment."""
        self.scale(scale).knock(grams, self.now_s)

    def press_tare(self, scale: str) -> None:
        """Press the tare key; the scale obeys when it is stable."""
        self._press(scale, "tare")

    def press_zero(self, scale: str) -> None:
        """Press the zero key; the scale obeys when it is stable."""
        self._press(scale, "zero")

    def _press(self, scale: str, what: str) -> None:
        pan = self.scale(scale)
        pan.knock(10.0 * pan.division_g, self.now_s)
        pan.ask(what, self.now_s)

    # Pouring.

    def pour_to(
        self,
        material: SimulatedMaterial,
        into: str,
        grams: float,
        skill: float = 0.8,
        temp_c: float | None = None,
    ) -> PourTo:
        """Let a person pour until the scale beneath has risen by ``grams``; ``busy`` until that is done."""
        self.vessel(into)
        stream = Stream(material, into, self.air.temp_c if temp_c is None else temp_c, self._hand)
        return self._pour(stream, grams, skill)

    def pour_from(self, source: str, into: str, grams: float, skill: float) -> PourTo:
        """As ``pour_to``, out of a vessel, as when bottles are filled; it ends early when that is empty."""
        self._tipped(source, into)
        return self._pour(VesselStream(source, into, self._hand), grams, skill)

    def _pour(self, stream: Stream, grams: float, skill: float) -> PourTo:
        handling = PourTo(stream, grams, min(max(skill, 0.0), 1.0), self._hand)
        self.handlings.append(handling)
        return handling

    def _tipped(self, source: str, into: str) -> SimulatedVessel:
        """The vessel that is poured from, in the hand."""
        from_, to = self.vessel(source), self.vessel(into)
        if from_ is to:
            raise ImpossibleAct(f"{source!r} cannot be poured into itself")
        self._free(from_)
        return from_

    def stop_hands(self) -> None:
        """Let everyone who is pouring towards a number stop at once."""
        for handling in self.handlings:
            if isinstance(handling, PourTo):
                handling.stop(self.now_s)

    def remove(self, vessel: str, grams: float) -> None:
        """Take some of the contents out with a spoon or pipette; it is waste."""
        self.vessel(vessel)
        self.handlings.append(Spoon(vessel, grams))

    def transfer(self, source: str, into: str, residue_g: float = 0.5) -> Transfer:
        """Pour one vessel into another; the source ends up on the bench with ``residue_g`` in it."""
        grams = max(0.0, self._tipped(source, into).net_g - residue_g)
        handling = Transfer(source, into, grams, max(2.0, grams / TRANSFER_G_S))
        self.handlings.append(handling)
        return handling

    # Heat.

    def bath_on(self, set_c: float, power_w: float = 1200.0) -> None:
        """Switch the bath on."""
        self.bath.set_c, self.bath.power_w = set_c, power_w

    def bath_off(self) -> None:
        """Switch the bath off."""
        self.bath.power_w = 0.0

    def top_up_bath(self) -> None:
        """Fill the bath up with hot water."""
        grams = max(FULL_BATH_G - self.bath.level_g, 0.0)
        joules = self.bath.enthalpy_j + grams * 4.186 * TOPPED_UP_C
        self.bath.level_g += grams
        self.bath.temp_c = joules / self.bath.heat_j_k

    def refill_bath(self, temp_c: float, level_g: float = FULL_BATH_G) -> None:
        """Tip the bath out and fill it afresh: hot from a kettle, or cold to cool a batch."""
        self.bath.level_g, self.bath.temp_c = level_g, temp_c

    def into_bath(self, vessel: str) -> None:
        """Stand a vessel in the bath, from wherever it was."""
        it = self.vessel(vessel)
        self._free(it)
        it.place = "bath"
        self.handlings.append(Pause(vessel, 1.0))

    def out_of_bath(self, vessel: str) -> None:
        """Take a vessel out of the bath, wiped dry, onto the bench."""
        it = self.vessel(vessel)
        if it.place != "bath":
            raise ImpossibleAct(f"{vessel!r} is not in the bath but on the {it.place}")
        it.place = "bench"
        self.handlings.append(Pause(vessel, 1.5))

    def stir(self, vessel: str, on: bool = True) -> None:
        """Begin or end stirring."""
        self.vessel(vessel).stirred = on

    def lid(self, vessel: str, on: bool = True) -> None:
        """Cover or uncover."""
        self.vessel(vessel).lidded = on

    def blend(self, vessel: str, on: bool = True) -> None:
        """Run or stop the stick blender."""
        self.vessel(vessel).blending = on

    # Probes.

    def probe_into(self, probe: str, where: str | None) -> None:
        """Hang a temperature probe into a vessel, the "bath", or None for the air."""
        if where is not None and where != "bath":
            self.vessel(where)
        self.probe(probe).put(where)

    def wipe(self, probe: str) -> None:
        """Wipe a temperature probe."""
        self.probe(probe).wipe()

    def ph_probe_into(self, vessel: str | None) -> None:
        """Hang the bench's pH probe into a vessel, or None for the air."""
        it = named("pH probe", next(iter(self.ph_probes), ""), self.ph_probes)
        if vessel is not None:
            self.vessel(vessel)
        it.where = vessel

    # Time.

    def step(self, dt_s: float) -> None:
        """Move everything by ``dt_s`` (at most 1 s; 0.1 s while busy)."""
        self.now_s = exact(self.now_s + dt_s)
        for handling in self.handlings:
            handling.step(self, dt_s)
        working = {handling.into for handling in self.handlings if handling.rough}
        self.handlings = [handling for handling in self.handlings if not handling.done]
        self._heat_due_s = exact(self._heat_due_s + dt_s)
        if self._heat_due_s >= HEAT_STEP_S:
            self._heat(self._heat_due_s)
            self._heat_due_s = 0.0
        for scale in self.scales.values():
            on_it = self.vessels.get(scale.standing or "")
            rough = on_it is not None and (on_it.stirred or on_it.blending or on_it.key in working)
            scale.step(self.now_s, dt_s, on_it.mass_g if on_it else 0.0, rough)
        for probe in self.probes.values():
            self._step_probe(probe, dt_s)
        for ph_probe in self.ph_probes.values():
            it = self.vessels.get(ph_probe.where or "")
            ph_probe.step(dt_s, it.ph() if it is not None and it.net_g > 0.0 else None)

    def _heat(self, dt_s: float) -> None:
        bathing = [v for v in self.vessels.values() if v.place == "bath"]
        if bathing or self.bath.power_w > 0.0 or abs(self.bath.temp_c - self.air.temp_c) > 0.5:
            self.bath.step(bathing, self.air, dt_s)
        depth = self.bath.depth_m(bathing) if bathing and not self.bath.dry else 0.0
        for vessel in self.vessels.values():
            cool_and_dry(vessel, self.air, dt_s, depth if vessel.place == "bath" else 0.0)

    def _step_probe(self, probe: TempProbe, dt_s: float) -> None:
        if probe.where == "bath":
            wet, around, moving = not self.bath.dry, self.bath.temp_c, False
        elif probe.where is not None and self.vessels[probe.where].net_g > 1.0:
            vessel = self.vessels[probe.where]
            wet, around, moving = True, vessel.temp_c, vessel.stirred or vessel.blending
        else:
            wet, around, moving = False, self.air.temp_c, False
        probe.step(dt_s, around, wet, moving, self.air.wet_bulb_c)
