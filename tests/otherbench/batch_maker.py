"""A maker at the warm bench who makes a whole batch, from the first vessel to the signature."""

from __future__ import annotations

from random import Random

from otherbench.acidity import Acidity, Solute, solution
from otherbench.bench import STEP_S
from otherbench.maker import Maker
from otherbench.scale import Pouring
from otherbench.terminal_ears import TerminalEars
from otherbench.warm_bench import WarmBench

#: While these are wanted nothing moves on a scale, and the world may take longer steps, in seconds.
WAITS, WAIT_STEP_S = {"heat", "cool", "wait gate", "wait", "stir", "blend", "ph probe in"}, 1.0
#: So little cannot be got out of the last pot, in grams.
POT_KEEPS_G = 3.0
#: How often somebody looks after the bath, in seconds.
DIAL_EVERY_S = 60.0
#: Choices that are only offered where something does not fit.
ODD = {"spilled", "poured on", "tool", "had begun", "from here", "unknown"}
#: What is said then by somebody whose bench is all right.
CALMS = ("in the pot", "stands still", "from here", "seen to", "unknown")
#: What a procedure asks of every batch, though one of its answers is that nobody knows.
ASKED_ANYWAY = {"keep back"}
#: What moves a vessel, which has to be named.
MOVES = {"transfer", "into bath", "probe in"}
#: So little of a solution is what clung to the boat from the dose before, in grams.
WEIGHED_G = 0.01
#: A meter shows the pH so far off.
METER_PH = 0.01


class BatchMaker(Maker):
    """``lifts_s``: how often a probe is lifted to stir while something heats or cools, 0 for never."""

    def __init__(self, warm: WarmBench, seed: int = 1, lifts_s: float = 0.0, ph: float | None = None) -> None:
        super().__init__(warm.bench)
        self.warm = warm
        self.random = Random(f"{seed}/batch maker")
        self.lifts_s = lifts_s
        band = warm.procedure.formula.ph
        self._begins_ph = ((band.low + band.high) / 2 if band else 7.0) if ph is None else ph
        self.acidity: Acidity | None = None
        self.doses: list[tuple[str, float]] = []  # line, grams that were truly stirred in
        self.questions: list[str] = []
        self.ears = TerminalEars(warm.procedure)
        self._down_s: dict[str, float] = {}
        self._dial_s = 0.0

    def make(self, within_s: float = 5 * 3600.0) -> None:
        """To the end."""
        self.until(self._watched, within_s)

    def _watched(self) -> bool:
        self.warm.compare()
        view = self.bench.view
        self.ears.hear(view)
        want = view.act_view.want
        usual = "it is" in self.offered() or (want is not None and want.thing in ASKED_ANYWAY)
        odd = (self.offered() & ODD and not usual) or view.trouble is not None
        if odd and (not self.questions or self.questions[-1] != view.act_view.instruction):
            self.questions.append(view.act_view.instruction)
        if odd:
            for said in CALMS:
                if said in self.offered():
                    self.press(said)
                    break
        self._lift_to_stir()
        return view.over != ""

    def pace_s(self) -> float:
        want = self.bench.view.act_view.want
        waits = want is not None and str(want.verb) in WAITS
        return WAIT_STEP_S if waits and not self.bench.pourings else STEP_S

    # --- what a maker goes by is what the terminal says ------------------------------------------------

    def press(self, choice: str, reason: str = "") -> None:
        self.ears.word(choice, reason, self.bench.view)
        super().press(choice, reason)

    def type(self, value: float) -> None:
        self.ears.number(value, self.bench.view)
        super().type(value)

    def put(self, scale: str, vessel: str) -> None:
        there = self.bench.scale(scale).on
        if there is None or there.key != vessel:
            self.ears.scale(scale, vessel, self.bench.view)
            self.ears.vessel(vessel, self.bench.view)
        super().put(scale, vessel)

    def pour(self, line: str, vessel: str, grams: float, g_per_s: float = 0.0) -> None:
        want = self.bench.view.act_view.want
        if want is not None:
            self.ears.grams(line, want.amount, self.bench.view)
        super().pour(line, vessel, grams, g_per_s)

    # --- hands ---------------------------------------------------------------------------------------

    def _hand(self, want, view) -> None:
        if str(want.verb) in MOVES:
            for key in (want.vessel, want.thing, *(vessel for vessel, _ in want.more)):
                self.ears.vessel(key, view)
        done = getattr(self, f"_{str(want.verb).replace(' ', '_')}", None)
        if done is not None:
            done(want, view)
            return
        before = self._acted
        super()._hand(want, view)
        if str(want.verb) == "put on":
            self.warm.pot(want.vessel).place = "air"
        elif str(want.verb) == "transfer" and self._acted and not before:
            self.warm.tip(want.thing, want.vessel)

    def _once(self) -> bool:
        first, self._acted = not self._acted, True
        return first

    def _probe_into(self, probe: str, vessel: str) -> None:
        found = self.warm.probes[probe]
        found.pot, found.lies_at_c = self.warm.pot(vessel), None

    def _probe_in(self, want, view) -> None:
        if self._once():
            self._probe_into(want.thing, want.vessel)

    def _into_bath(self, want, view) -> None:
        if not self._once():
            return
        self._light(want.limit, 60.0)
        for vessel, probe in want.more:
            self.warm.pot(vessel).place = "bath"
            self.warm.pot(vessel).stirred = True
            for scale in self.bench.scales():
                if scale.on is not None and scale.on.key == vessel:
                    scale.on = None
            if probe:
                self._probe_into(probe, vessel)

    def _light(self, limit_c: float, kettle_c: float) -> None:
        bath = self.warm.kitchen.bath
        bath.on, bath.set_c, bath.temp_c = True, limit_c - 0.8, max(bath.temp_c, kettle_c)

    def _heat(self, want, view) -> None:
        """Somebody who watches the thermometers turns the dial; what was lifted out goes back in."""
        if self.bench.now_s - self._dial_s < DIAL_EVERY_S:
            return
        self._dial_s = self.bench.now_s
        bath, shown = self.warm.kitchen.bath, [x.value for x in view.act_view.live if x.value is not None]
        if shown and max(shown) > want.limit - 0.5:
            bath.set_c = max(bath.set_c - 0.5, want.amount + 2.5)
        elif shown and min(shown) < want.amount + 1.0 and bath.temp_c > bath.set_c - 1.5:
            bath.set_c = min(bath.set_c + 0.5, want.limit + 1.0)

    def _wait_gate(self, want, view) -> None:
        cold = any("at least" in why for why in view.act_view.not_yet)
        if cold:
            self._light(want.limit, want.limit - 3.0)
        for probe in self.warm.probes.values():
            probe.pot.place, probe.pot.stirred = ("bath" if cold else "air"), True

    def _cool(self, want, view) -> None:
        self.warm.kitchen.bath.on = False
        self.warm.pot(want.vessel).place = "air"
        self.warm.pot(want.vessel).stirred = True

    def _stir(self, want, view) -> None:
        boat = self.bench.vessels.get("boat")
        if view.step_kind == "measure ph" and boat is not None and boat.net_g > 0.01 and self._once():
            for line, grams in boat.contents_g.items():
                if grams > WEIGHED_G:
                    self.doses.append((line, grams))
                self._acid(want.vessel).add(self._solution(line), grams)
            self.tip(boat, self.bench.vessel(want.vessel))
        self.warm.pot(want.vessel).stirred = True

    def _blend(self, want, view) -> None:
        self.warm.pot(want.vessel).stirred = True

    def _sample(self, want, view) -> None:
        if self._once():
            self.bench.vessel(want.vessel).take_out(want.amount)

    def _acid(self, vessel: str) -> Acidity:
        """What is in the pot now, less the samples, which take a little of everything."""
        held_g = self.bench.vessel(vessel).net_g
        if self.acidity is None:
            self.acidity = Acidity(held_g, self._begins_ph)
        return self.acidity

    def _solution(self, line: str) -> Solute:
        material = next(x.material for x in self.warm.procedure.formula.lines if x.key == line)
        (found,) = [s for s in material.composition if s.inci != "Aqua"]
        return solution(found.inci, found.high_percent)

    def _read_ph(self, want, view) -> None:
        step = next(s for s in self.warm.procedure.steps if s.key == view.step_key)
        true = self._acid(step.vessel).ph(step.water_parts)
        self.type(round(true + self.random.uniform(-METER_PH, METER_PH), 2))

    def _adjust_ph(self, want, view) -> None:
        """As the make suggests; where it has nothing to suggest, as it is."""
        if "add" in self.offered():
            self.press("add")
        elif self._once():
            self.press("accept", "nothing more is suggested")

    def _type(self, want, view) -> None:
        if want.thing == "density":
            expect = next(s for s in self.warm.procedure.steps if str(s.kind) == "density").expect_g_ml
            self.type(round(want.amount * (expect.low + expect.high) / 2, 2))

    def _bottle_on(self, want, view) -> None:
        if self._is_out(want.vessel):
            return
        if self.bench.scale(want.device).on is None:
            self.put(want.device, want.thing)

    _put_back = _bottle_on

    def _fill(self, want, view) -> None:
        net = view.act_view.live[0].value
        if net is None or self.bench.pourings or self._is_out(want.vessel):
            return
        missing = min(want.amount - net, self.bench.vessel(want.vessel).net_g - POT_KEEPS_G / 2)
        if missing > 0:
            rate = min(max(missing / 4.0, 0.05), 60.0)
            pot, bottle = self.bench.vessel(want.vessel), self.bench.vessel(want.thing)
            self.bench.pourings.append(Pouring("", bottle, missing, rate, pot))

    def _is_out(self, vessel: str) -> bool:
        out = self.bench.vessel(vessel).net_g < POT_KEEPS_G
        if out and "last" in self.offered():
            self.press("last")
        return out

    def _lift_to_stir(self) -> None:
        now, view = self.bench.now_s, self.bench.view
        for name in [n for n, until in self._down_s.items() if now >= until]:
            del self._down_s[name]
            self.warm.probes[name].lies_at_c = None
        if not self.lifts_s or self._down_s or view.step_kind not in ("heat", "cool"):
            return
        if self.pace_s() == WAIT_STEP_S and self.random.random() < WAIT_STEP_S / self.lifts_s:
            name = self.random.choice(sorted(self.warm.probes))
            self.warm.probes[name].lies_at_c = self.warm.kitchen.room_c
            self._down_s[name] = now + self.random.uniform(5.0, 30.0)
