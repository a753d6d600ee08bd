"""A simulated pair of hands: does on the simulated bench what the view wants, with ordinary human slips."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import assert_never

from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.view_model import ViewModel, Want
from benchapp.make.vocabulary import Verb
from benchapp.rehearsal.hands_filling import Filling
from benchapp.rehearsal.hands_heating import Heating
from benchapp.rehearsal.scenario import first_value
from benchapp.rehearsal.task_progress import BOTTLE_G, TaskProgress
from drivers.simulated import SimulatedBench, SimulatedMaterial, material_for
from procedures.model import Procedure
from procedures.steps import Weigh

#: Seconds a person takes before a hand moves.
REACT_S = 1.5
#: What stays in a vessel that is poured out and scraped: a share of its contents, at least so many grams,
#: but of a very small load never more than another share.
CLINGS_SHARE, CLINGS_G, CLINGS_MOST_SHARE = 0.004, 0.3, 0.015
#: Mass of an empty boat, in grams (invented for the demo).
BOAT_G = 3.2
#: What a dilution boat takes (invented).
DILUTION_BOAT_ML = 400.0
#: So much warmer than just warm enough a pot is before it is poured after a wait, in kelvin.
MARGIN_K = 1.5
#: What goes in slowly is poured in tilts of so many seconds' worth.
TILT_S = 8.0
#: So much warmer than it melts a butter is when it is poured; where that is not known, it is taken to melt here (invented).
WARMER_K, MELTS_C = 8.0, 40.0


class Hands:
    """Moves things in ``bench`` for one procedure. ``skill`` 0 to 1: how near the hand stops at a target."""

    def __init__(
        self, bench: SimulatedBench, procedure: Procedure, seed: int = 1, skill: float = 0.9
    ) -> None:
        self._bench = bench
        self._world = bench.world
        self._random = Random(f"{seed}/hands")
        self._task = TaskProgress(skill)
        self._heating = Heating(bench, self._task)
        self.filling = Filling(bench, self._task, self._random)
        self.distracted_until_s = 0.0
        self.away = False  # nobody stands at the bench
        self._lines = procedure.formula.by_key
        self._stuff: dict[str, SimulatedMaterial] = {}
        melted = (line for step in procedure.steps if isinstance(step, Weigh) for line in step.melt)
        self._melted_c = {x: (self._lines[x].material.melts_c or MELTS_C) + WARMER_K for x in melted}
        self._prompt = ""
        self._since_s = 0.0
        carried = max((scale.capacity_g for scale in self._world.scales.values()), default=math.inf)
        for key, vessel in procedure.vessels.items():
            # Where nobody says what a pot weighs, no plan counts it either: here it is one the scale carries.
            usual = 0.2 * min(vessel.capacity_ml, carried)
            empty = (vessel.empty_g or usual) * self._random.uniform(0.97, 1.03)
            self._world.add_vessel(
                key,
                round(empty, 2),
                vessel.capacity_ml,
                vessel.diameter_mm,
                "glass" if vessel.glass else "steel",
            )

    @property
    def busy(self) -> bool:
        """Whether a hand is in the middle of something."""
        return bool(self._world.handlings)

    def settled(self, view: ViewModel) -> bool:
        """Whether everything the moment wanted done by hand is done, so that a yes would be the truth."""
        return view.prompt == self._prompt and self._task.done and not self.busy

    def work(self, view: ViewModel) -> None:
        """Do the next thing the view wants, once a person would have had time to begin."""
        now = self._bench.now_s
        if self.away or now < self.distracted_until_s:
            return
        want = view.act_view.want
        if view.trouble is not None:
            self._world.stop_hands()
        if view.prompt != self._prompt:
            self._prompt, self._since_s = view.prompt, now
            self._heating.low_c = 0.0
            self._task.anew()
            self._stop_moving()
        if want is None or self.busy or now - self._since_s < REACT_S:
            return
        self._hand(want.verb)(want, view)

    def _hand(self, verb: Verb) -> Callable[[Want, ViewModel], None]:  # noqa: C901  two lines a verb
        """How a verb is done. One that is missing here fails in the type checker."""
        match verb:
            case Verb.PUT_ON:
                return self._put_on
            case Verb.LIFT | Verb.EMPTY_PAN:
                return self._lift
            case Verb.POUR:
                return self._pour
            case Verb.REMOVE:
                return self._remove
            case Verb.TRANSFER:
                return self._transfer
            case Verb.INTO_BATH:
                return self._heating.into_bath
            case Verb.PROBE_IN:
                return self._heating.probe_in
            case Verb.HEAT:
                return self._heating.heat
            case Verb.COOL:
                return self._heating.cool
            case Verb.CALM:
                return self._heating.calm
            case Verb.WAIT_GATE:
                return self._heating.wait_gate
            case Verb.STIR:
                return self._stir
            case Verb.BLEND:
                return self._blend
            case Verb.SAMPLE:
                return self._sample
            case Verb.PH_PROBE_IN | Verb.READ_PH:
                return self._ph_probe
            case Verb.BOTTLE_ON:
                return self.filling.on
            case Verb.FILL:
                return self.filling.fill
            case Verb.PUT_BACK:
                return self._put_back
            case Verb.TYPE:
                return self._by_hand
            case Verb.CLEAR_TARE:
                return self._clear_tare
            case (
                Verb.ACKNOWLEDGE | Verb.ADJUST_PH | Verb.CONFIRM | Verb.FETCH | Verb.FIND | Verb.JUDGE
                | Verb.REMEDY | Verb.REST | Verb.RESUME | Verb.SIGN | Verb.START | Verb.WAIT
            ):  # fmt: skip
                return self._nothing_to_move
            case _:
                assert_never(verb)

    # --- small acts ----------------------------------------------------------------------------------

    def stuff(self, line: str) -> SimulatedMaterial:
        """The physics of a formula line."""
        if line not in self._stuff:
            material = self._lines[line].material
            made = material_for(material.role, material.name, material.melts_c)
            if made.melts_c is not None and material.melting_heat_j_g is not None:
                made = replace(made, latent_j_g=material.melting_heat_j_g)
            self._stuff[line] = made
        return self._stuff[line]

    def _stop_moving(self) -> None:
        for key, vessel in self._world.vessels.items():
            if vessel.stirred:
                self._world.stir(key, False)
            if vessel.blending:
                self._world.blend(key, False)

    def _nothing_to_move(self, want: Want, view: ViewModel) -> None:
        self._task.is_done()

    def _put_on(self, want: Want, view: ViewModel) -> None:
        if want.vessel == "boat" and "boat" not in self._world.vessels:
            self._world.add_vessel("boat", BOAT_G, 50.0)
        if want.vessel == DILUTION_VESSEL:
            self._clean_dilution_boat()
        standing = self._world.scale(want.device).standing
        if standing == want.vessel:
            if self._world.scale(want.device).settled:
                self._task.is_done()  # it stands there; if that is not enough, somebody has to say so
            return
        if standing is not None:
            self._world.lift(want.device)
            return
        if want.vessel in self._world.vessels:
            self._world.put_on(want.device, want.vessel)

    def _clean_dilution_boat(self) -> None:
        if DILUTION_VESSEL not in self._world.vessels:
            self._world.add_vessel(DILUTION_VESSEL, BOAT_G, DILUTION_BOAT_ML)
        elif self._world.vessel(DILUTION_VESSEL).net_g > 0:
            self._world.remove(DILUTION_VESSEL, self._world.vessel(DILUTION_VESSEL).net_g)

    def _put_back(self, want: Want, view: ViewModel) -> None:
        """What was on the scale comes back; where it is not to be found, it is begun again."""
        if want.thing in self._world.vessels and self._world.vessel(want.thing).net_g > 0:
            self._world.put_on(want.device, want.thing)
        else:
            self._task.is_done()

    def _lift(self, want: Want, view: ViewModel) -> None:
        scale = self._world.scale(want.device)
        if scale.standing is not None:
            self._world.lift(want.device)
        elif scale.settled:
            self._task.is_done()  # only now does the display show the empty pan

    def _clear_tare(self, want: Want, view: ViewModel) -> None:
        scale = self._world.scale(want.device)
        if scale.standing is not None:
            self._world.lift(want.device)
        elif scale.settled and not scale.asked:
            self._world.press_zero(want.device)

    def _pour(self, want: Want, view: ViewModel) -> None:
        net = first_value(view)
        scale = self._world.scale(want.device)
        if net is None or not scale.settled or scale.standing != want.vessel:
            return
        missing = self._due_g(want, net) if want.pace_g_s else want.amount - net
        if missing <= 0:
            return
        if want.thing in self._world.vessels:
            self._world.pour_from(want.thing, want.vessel, missing, self._task.skill)
            return
        hot = 85.0 if view.step_kind == "top up" else self._melted_c.get(want.thing)
        self._world.pour_to(self.stuff(want.thing), want.vessel, missing, self._task.skill, temp_c=hot)

    def _due_g(self, want: Want, poured_g: float) -> float:
        """How much more should be in by now, of what goes in slowly; 0 until it is worth a tilt of the hand."""
        allowed = min(want.pace_g_s * (self._bench.now_s - self._since_s), want.amount)
        due = allowed - poured_g
        return due if allowed == want.amount or due >= want.pace_g_s * TILT_S else 0.0

    def _by_hand(self, want: Want, view: ViewModel) -> None:
        """Weighed where no device sees it: as much as was asked for really goes in."""
        if want.vessel not in self._world.vessels or not self._task.once():
            return
        if want.thing in self._lines:
            self._world.pour_to(self.stuff(want.thing), want.vessel, want.amount, self._task.skill)
        elif view.step_kind == "fill" and not self.filling.is_out(view):
            self._world.add_vessel(want.thing, BOTTLE_G, 1000.0)
            self._world.pour_from(want.vessel, want.thing, want.amount, self._task.skill)

    def _remove(self, want: Want, view: ViewModel) -> None:
        net = first_value(view)
        if net is None or not self._world.scale(want.device).settled:
            return
        if net > want.limit:
            self._world.remove(want.vessel, net - want.amount)

    def _transfer(self, want: Want, view: ViewModel) -> None:
        warmest_needed = self._heating.low_c + MARGIN_K if self._heating.low_c else None
        if warmest_needed and any((x.value or warmest_needed) < warmest_needed for x in view.act_view.live):
            return  # only just warm enough: a probe in an emptied pot soon says otherwise
        content = self._world.vessel(want.thing).net_g
        if want.pace_g_s:
            due = self._due_g(want, want.amount - content)
            if 0.0 < due < content - _clings_g(want.amount):
                self._world.pour_from(want.thing, want.vessel, due, self._task.skill)
                return
            if self._bench.now_s - self._since_s < want.amount / want.pace_g_s:
                return
        if not self._task.once():
            return
        if want.amount and not want.pace_g_s:
            self._world.pour_from(want.thing, want.vessel, want.amount, self._task.skill)
            return
        self._world.transfer(want.thing, want.vessel, residue_g=_clings_g(content))

    # --- stirring, blending, samples -----------------------------------------------------------------

    def _stir(self, want: Want, view: ViewModel) -> None:
        boat = self._world.vessels.get("boat")
        if boat is not None and boat.net_g > 0.01 and view.step_kind == "measure ph":
            self._world.transfer("boat", want.vessel, residue_g=0.0)
            return
        if want.vessel in self._world.vessels:
            self._world.stir(want.vessel, True)
        self._task.is_done()

    def _blend(self, want: Want, view: ViewModel) -> None:
        self._world.blend(want.vessel, True)

    def _sample(self, want: Want, view: ViewModel) -> None:
        if not self._task.once():
            return
        if not want.thing:
            self._world.remove(want.vessel, want.amount)
            return
        self._world.add_vessel(want.thing, BOTTLE_G, 100.0)  # a sample that is worked on stays on the bench
        self._world.pour_from(want.vessel, want.thing, want.amount, self._task.skill)

    def _ph_probe(self, want: Want, view: ViewModel) -> None:
        if self._world.ph_probes:
            self._world.ph_probe_into(want.vessel)
        self._task.is_done()


def _clings_g(content_g: float) -> float:
    return min(max(CLINGS_G, CLINGS_SHARE * content_g), CLINGS_MOST_SHARE * content_g)
