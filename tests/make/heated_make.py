"""A make whose pots are warmed and cooled by another bench's physics: its core is given what that bench displays."""

from __future__ import annotations

from dataclasses import replace

from bench_by_hand import SCALES, Bench
from otherbench.thermal import Kitchen, Pot, Probe, Thermometer

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Degrees, Press, Resumed, Tick, TypeValue

#: The pots of the oat hand lotion at 500 g: key, line that stands for what is in it, grams, inside width in m.
POTS = (("water-pot", "purified-water", 380.0, 0.10), ("oil-pot", "oat-oil", 90.0, 0.07))


class HeatedMake(Bench):
    """The oat hand lotion with two pots, a probe in each; ``truth`` is what the pots have, whatever is displayed."""

    def __init__(
        self,
        seed: int = 1,
        temp_c: float | None = None,
        noise_k: float = 0.03,
        digit_k: float = 0.1,
        period_s: float = 1.0,
    ) -> None:
        super().__init__(
            tuple(replace(d, period_s=period_s) if d.kind == "thermometer" else d for d in SCALES)
        )
        self.kitchen = Kitchen(seed)
        self.pots: dict[str, Pot] = {}
        self.probes: dict[str, Probe] = {}
        for number, (key, line, grams, width) in enumerate(POTS, start=1):
            self.pots[key] = self.kitchen.pot(grams, width, temp_c)
            self.probes[f"probe {number}"] = self.kitchen.probe(
                self.pots[key], noise_k=noise_k, digit_k=digit_k, lag_s=self.kitchen.rng.uniform(2.0, 12.0)
            )
            self.commit([
                ev.WeightTaken(
                    at_s=self.now, step="02-weigh", act="pour", line=line, vessel=key, target_g=grams, low_g=grams - 1,
                    high_g=grams + 1, net_g=grams, gross_g=None, source=ev.Source.MEASURED, device="big", checked=True,
                )
            ])  # fmt: skip
        self.meter = Thermometer("thermo", list(self.probes.values()), self.kitchen.rng, period_s)
        self.asked: list[ev.AlarmRaised] = []
        self.start_s = self.now

    def place(self, probe: str, vessel: str) -> None:  # type: ignore[override]
        """That probe is said to stand in that vessel."""
        self.commit([ev.ProbeMoved(at_s=self.now, probe=probe, vessel=vessel)])

    def begin(self, step: str) -> None:
        """That step is begun, everything before it done without a trace, the probes in their pots."""
        self.jump(step)
        for probe, (vessel, *_) in zip(self.probes, POTS, strict=True):
            self.place(probe, vessel)
        self.give(Tick(self.now))

    def press(self, choice: str, reason: str = "") -> list[ev.Event]:
        return self.give(Press(self.now, self.make.state.prompt, choice, reason))

    def yes_until(self, act: str) -> None:
        """Cautions understood and tasks done, as far as an act."""
        while self.make.state.progress.act != act:
            self.press("understood" if "cautions" in self.make.state.prompt else "yes")

    def run(self, seconds: float, until=None) -> bool:
        """Let that much time pass; True where ``until`` came true before."""
        end = self.now + seconds
        while self.now < end:
            self.kitchen.step(0.5)
            self.now = round(self.now + 0.5, 3)
            numbers = self.meter.numbers(self.kitchen.now_s)
            for probe, value in zip(self.probes, numbers or (), strict=bool(numbers)):
                given = self.give(Degrees(self.now, "thermo", probe, value))
                self.asked += [e for e in given if isinstance(e, ev.AlarmRaised)]
            self.give(Tick(self.now))
            if until is not None and until():
                return True
        return False

    def type_value(self, value: float) -> list[ev.Event]:
        """A temperature is typed."""
        return self.give(TypeValue(self.now, self.make.state.prompt, value))

    def kitchen_only(self, seconds: float) -> None:
        """Time passes at the bench, and nobody watches."""
        for _ in range(int(seconds * 2)):
            self.kitchen.step(0.5)

    def restart(self, gap_s: float) -> None:
        """The program was away for so long and folds its journal anew."""
        self.now = round(self.now + gap_s, 3)
        self.make = Make(self.make.plan, self.events)
        self.give(Resumed(self.now, gap_s))

    def truth(self, vessel: str) -> float:
        """What that pot really has, in °C."""
        return self.pots[vessel].true_c

    def of_kind(self, kind):
        """The events of that kind so far."""
        return [e for e in self.events if isinstance(e, kind)]
