"""Simulated hands at the bath: pots in and out, probes where they belong, the dial turned as a person would."""

from __future__ import annotations

from benchapp.make.view_model import ViewModel, Want
from benchapp.rehearsal.task_progress import TaskProgress
from drivers.simulated import SimulatedBench

#: How often a person looks after the bath, in seconds.
DIAL_EVERY_S = 120.0
#: So far above a lowest temperature a person warms what has no highest one, in kelvin (common practice, no source).
OPEN_K = 5.0
#: How long a probe may be said to hang in the air before somebody looks, in seconds.
NOTICE_S = 20.0


class Heating:
    """What hands do with heat on ``bench``."""

    def __init__(self, bench: SimulatedBench, task: TaskProgress) -> None:
        self._bench = bench
        self._world = bench.world
        self._task = task
        self._probe_homes: dict[str, str] = {}  # probe → the vessel it was put into
        self._lifted_s: float | None = None  # since when a probe is said to hang in the air
        self._dial_s = 0.0
        self.low_c = 0.0  # what a gate was waited for at this prompt

    def into_bath(self, want: Want, view: ViewModel) -> None:
        if not self._task.once():
            return
        self._world.top_up_bath()
        self._world.bath_on(want.limit + 1.0)
        for vessel, probe in want.more:
            self._world.into_bath(vessel)
            self._world.stir(vessel, True)
            if probe:
                self._world.wipe(probe)
                self._world.probe_into(probe, vessel)
                self._probe_homes[probe] = vessel

    def heat(self, want: Want, view: ViewModel) -> None:
        self._look_after_probes(view)
        bathing = {k: v for k, v in self._world.vessels.items() if v.place == "bath"}
        for key, vessel in bathing.items():
            if not vessel.stirred:
                self._world.stir(key, True)
        read = {
            k: v for k, v in bathing.items() if k in self._probed()
        }  # one left there before is not looked after
        bathing = read or bathing
        if not bathing or self._bench.now_s - self._dial_s < DIAL_EVERY_S:
            return
        # A person watching the thermometers turns the dial: hotter while the coldest lags, cooler near the top.
        self._dial_s = self._bench.now_s
        coldest = min(v.temp_c for v in bathing.values())
        hottest = max(v.temp_c for v in bathing.values())
        bath = self._world.bath
        if hottest > want.limit - 1.0:
            self._world.bath_on(bath.set_c - 1.0)
        elif coldest < want.amount + 1.0 and bath.temp_c > bath.set_c - 2.0:
            self._world.bath_on(min(bath.set_c + 1.0, 95.0))

    def _look_after_probes(self, view: ViewModel) -> None:
        """A probe that is said to hang in the air for a while goes back to where it belongs."""
        said = any(x.unit == "°C" and x.value is None for x in view.act_view.live)
        if not said or all(self._world.probe(x).where is not None for x in self._probe_homes):
            self._lifted_s = None
        elif self._lifted_s is None:
            self._lifted_s = self._bench.now_s
        elif self._bench.now_s - self._lifted_s > NOTICE_S:
            self._put_probes_back()

    def _put_probes_back(self) -> None:
        for probe, home in self._probe_homes.items():
            if self._world.probe(probe).where is None:
                self._world.probe_into(probe, home)

    def wait_gate(self, want: Want, view: ViewModel) -> None:
        """Too cold to go on: back into the bath; too hot: stir in the air."""
        self.low_c = want.amount
        cold = any(
            x.unit == "°C" and x.value is not None and x.value < want.amount for x in view.act_view.live
        )
        if cold and self._world.bath.temp_c < want.amount:
            self._world.refill_bath(want.amount)
        if cold:
            self._world.bath_on((want.limit or want.amount + OPEN_K) + 1.0)
        for key, vessel in self._world.vessels.items():
            if vessel.net_g > 1.0 and cold and vessel.place != "bath" and key in self._probed():
                self._world.into_bath(key)
                self._world.stir(key, True)
            elif vessel.net_g > 1.0 and not cold and vessel.place == "bath":
                self._world.out_of_bath(key)
                self._world.stir(key, True)

    def _probed(self) -> set[str | None]:
        return {probe.where for probe in self._world.probes.values()}

    def calm(self, want: Want, view: ViewModel) -> None:
        if want.thing == "too hot":
            self._world.bath_off()
        elif want.thing == "not warming":
            self._world.top_up_bath()
            self._world.bath_on(max(self._world.bath.set_c, 77.0))
        elif want.thing.startswith("probe"):
            self._put_probes_back()
        self._task.is_done()

    def probe_in(self, want: Want, view: ViewModel) -> None:
        if self._task.once():
            self._world.wipe(want.thing)
            self._world.probe_into(want.thing, want.vessel)
            self._probe_homes[want.thing] = want.vessel

    def cool(self, want: Want, view: ViewModel) -> None:
        self._world.bath_off()
        vessel = self._world.vessel(want.vessel)
        if vessel.place == "bath":
            self._world.out_of_bath(want.vessel)
        if not vessel.stirred:
            self._world.stir(want.vessel, True)
