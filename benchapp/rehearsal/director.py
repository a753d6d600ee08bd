"""The director of a rehearsal: lets a scenario's things happen where they belong, and ends it where it ends."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchapp import events as ev
from benchapp.foundation.language import tr_noop, translated, writing
from benchapp.make.inputs import Abandon, Scanned
from benchapp.make.view_model import ViewModel
from benchapp.rehearsal.hands import Hands
from benchapp.rehearsal.scenario import Incident, Scenario, act_of
from benchapp.rehearsal.scoring import struck
from benchapp.rehearsal.store import expired_lot, invented_lots
from benchapp.runtime.session import Session
from drivers.simulated import SimulatedBench
from drivers.simulated.simulated_vessel import Mixture, enthalpy_j
from procedures.model import Procedure

#: The reason in the record with which a scenario's make is ended once its last step is done.
OVER = tr_noop("The rehearsal is over: its last step is done.")
#: How long a maker looks elsewhere when somebody does something to the batch, in simulated seconds.
DISTRACTED_S = 8.0


class Director:
    """Does things to the simulated bench and the invented store; never to anything else."""

    def __init__(
        self, scenario: Scenario, bench: SimulatedBench, session: Session, hands: Hands,
        before: Sequence[ev.Event] = (),
    ) -> None:  # fmt: skip
        """``before``: what the record says of the make so far. What happened by it does not happen again."""
        self.scenario = scenario
        self._bench, self._session, self._hands = bench, session, hands
        self._procedure: Procedure = session.make.plan.procedure
        self._numbers = {s.key: n for n, s in enumerate(self._procedure.steps, 1)}
        expired = tuple(h.thing for h in scenario.happens if h.what == "wrong lot")
        lots = invented_lots(self._procedure, expired)
        session.stock(lambda: lots)
        self.begun = struck(before)
        self._unwritten: ev.ScenarioStruck | None = None
        self._act = ""
        self.says, self.stops = "", any(h.stops for h in scenario.happens)

    @property
    def leading_in(self) -> bool:
        """Whether the make has not come to where the scenario begins: the simulated hands walk it there."""
        return not self.begun

    @property
    def begins_at(self) -> tuple[int, str]:
        """The number, from 1, and the title of the step in which it begins."""
        number = self._numbers[self.scenario.begins.step]
        return number, self._procedure.steps[number - 1].title

    def watch(self, view: ViewModel) -> None:
        """Let happen what is due at this moment."""
        if view.over:
            return
        if self._unwritten is not None and self._session.write_down(self._unwritten):
            self._unwritten = None
        if not self.begun and self.scenario.begins.reached(view):
            self.begun = True
            self._act = act_of(view.prompt)
            self.says = self._told()
            for one in self.scenario.happens:
                self._incidents()[one.what](one, view)
            self._write_down(view)
        elif self.begun and view.step_number > self._numbers[self.scenario.ends]:
            self._session.put(Abandon(self._session.clock(), OVER))
        elif self.says and act_of(view.prompt) != self._act:
            self.says = ""

    def _write_down(self, view: ViewModel) -> None:
        """After the doing: a restart between the two has lost what was done, and it may well happen again."""
        what = tuple(h.what for h in self.scenario.happens)
        with writing():
            says = self._told()
        event = ev.ScenarioStruck(at_s=self._session.clock(), step=view.step_key, what=what, says=says)
        self._unwritten = None if self._session.write_down(event) else event

    def _told(self) -> str:
        """What the maker is told of what happens, in the language spoken here."""
        return " ".join(translated(h.says) for h in self.scenario.happens if h.says)

    def _incidents(self) -> dict[str, Callable[[Incident, ViewModel], None]]:
        return {
            "pour on": self._pour_on, "tare": self._tare, "probe out": self._probe_out,
            "set temperature": self._set_temperature, "cold bath": self._cold_bath, "bath dry": self._bath_dry,
            "power cut": self._power_cut, "wrong lot": self._wrong_lot, "too much dosed": self._dosed,
            "called away": self._called_away,
        }  # fmt: skip

    def _pour_on(self, one: Incident, view: ViewModel) -> None:
        want = view.act_view.want
        vessel = want.vessel if want is not None and want.vessel else ""
        if vessel in self._bench.world.vessels:
            self._bench.world.stop_hands()
            self._bench.world.pour_to(self._hands.stuff(one.thing), vessel, one.mass_g, 1.0)

    def _tare(self, one: Incident, view: ViewModel) -> None:
        self._bench.world.press_tare(one.thing)

    def _probe_out(self, one: Incident, view: ViewModel) -> None:
        self._bench.world.probe_into(one.thing, None)

    def _set_temperature(self, one: Incident, view: ViewModel) -> None:
        vessel = self._bench.world.vessel(one.thing)
        for probe in self._bench.world.probes.values():
            if probe.where == one.thing:
                probe.temp_c = one.temp_c
        vessel.enthalpy_j = vessel.wall_j_k * one.temp_c + enthalpy_j(vessel.mixture, one.temp_c)

    def _cold_bath(self, one: Incident, view: ViewModel) -> None:
        world = self._bench.world
        world.bath_off()
        world.refill_bath(one.temp_c)
        world.into_bath(one.thing)
        self._hands.distracted_until_s = self._bench.now_s + DISTRACTED_S

    def _bath_dry(self, one: Incident, view: ViewModel) -> None:
        self._bench.world.bath_off()
        self._bench.world.refill_bath(self._bench.world.air.temp_c, 0.0)

    def _power_cut(self, one: Incident, view: ViewModel) -> None:
        self._bench.faults.power_cycle(one.thing, one.lasts_s)

    def _wrong_lot(self, one: Incident, view: ViewModel) -> None:
        self._session.put(
            Scanned(self._session.clock(), view.prompt, expired_lot(self._procedure, one.thing).code)
        )

    def _dosed(self, one: Incident, view: ViewModel) -> None:
        want = view.act_view.want
        if want is not None and want.vessel in self._bench.world.vessels:
            vessel = self._bench.world.vessel(want.vessel)
            vessel.receive(Mixture.of(self._hands.stuff(one.thing), one.mass_g), self._bench.world.air.temp_c)

    def _called_away(self, one: Incident, view: ViewModel) -> None:
        """Nothing but the call itself: what is done about it is the maker's."""
