"""Probes of another bench, left alone and meddled with, over many makes: ``python tests/endurance/thermal_trials.py 40``.

Left alone: how many questions a make asks that nobody needed. Meddled with: how often a wrong temperature was accepted
without a question, and how wrong it was. The physics is ``tests/otherbench/thermal.py``, which shares nothing with ours.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from random import Random

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent), str(HERE.parent / "make")]

from heated_make import HeatedMake  # noqa: E402

from benchapp import events as ev  # noqa: E402

DIGITS = (0.1, 0.1, 0.5, 1.0)
ICE = 0.15  # so many of the coolings are helped by ice water
WORD = {"probe": "jump", "probe unit": "unit", "probe stands": "stands"}


@dataclass(frozen=True)
class Outcome:
    """What came of one make: questions asked, and by how much what was accepted was wrong, in kelvin (0: nothing was)."""

    seed: int
    what: str
    digit_k: float
    asked: tuple[str, ...]
    wrong_k: float
    words: str = ""
    noted: tuple[str, ...] = ()  # what the record says of digits that stood through the hold


class Maker:
    """Stirs now and then, lifts a probe to do so for 5 to 30 s, and leaves the draught to the kitchen."""

    def __init__(self, bench: HeatedMake, rng: Random) -> None:
        self.bench, self.rng = bench, rng
        self.lifts_s = rng.choice((0.0, 240.0, 600.0))  # 0: the probes stay in
        self.stirs_s = rng.choice((0.0, 60.0, 180.0))  # 0: stirred all the time
        self._down_s: dict[str, float] = {}
        self.left = set(bench.probes)

    def second(self) -> None:
        """What the hands do in this second."""
        now, rng = self.bench.now, self.rng
        for pot in self.bench.pots.values():
            pot.stirred = not self.stirs_s or now % self.stirs_s < 20.0
        for name in list(self._down_s):
            if now >= self._down_s[name]:
                del self._down_s[name]
                self.bench.probes[name].lies_at_c = None
        if self.lifts_s and rng.random() < 1.0 / self.lifts_s:
            name = rng.choice(sorted(self.bench.probes))
            if name in self.left and name not in self._down_s:
                self.bench.probes[name].lies_at_c = self.bench.kitchen.room_c
                self._down_s[name] = now + rng.uniform(5.0, 30.0)

    def run(self, seconds: float, until) -> bool:
        """Second by second."""
        end = self.bench.now + seconds
        while self.bench.now < end:
            self.second()
            if self.bench.run(1.0, until):
                return True
        return False


def begun(seed: int) -> tuple[HeatedMake, Maker, Random]:
    """A bench with chance probes."""
    rng = Random(seed)
    bench = HeatedMake(seed, noise_k=rng.choice((0.01, 0.03, 0.06, 0.1)), digit_k=rng.choice(DIGITS))
    return bench, Maker(bench, rng), rng


def heat(bench: HeatedMake, rng: Random) -> None:
    """Into the bath, a little above the band."""
    bench.begin("06-heat")
    bench.kitchen.bath.set_c = rng.uniform(76.0, 78.5)
    bench.kitchen.bath.temp_c = rng.uniform(bench.kitchen.room_c, 60.0)
    for pot in bench.pots.values():
        pot.place = "bath"
    bench.yes_until("heat")


def cool(bench: HeatedMake) -> None:
    """Out of the bath, into the air."""
    for pot in bench.pots.values():
        pot.place = "air"
    bench.begin("10-cool")
    bench.yes_until("cool")


def gone(bench: HeatedMake, step: str):
    return lambda: bench.make.state.step != step


def answer(bench: HeatedMake) -> None:
    """What a maker says whose bench is all right; what is too hot is lifted out of the bath."""
    alarm = bench.make.state.alarm
    if alarm is not None:
        known = {"probe stands": "stands still", "probe": "in the pot", "probe unit": "in the pot"}
        bench.press(known.get(alarm.kind, "seen to"))
    if alarm is not None and alarm.kind == "too hot":
        bench.kitchen.bath.set_c = 74.0
        bench.kitchen.bath.temp_c = min(bench.kitchen.bath.temp_c, 72.0)


def noted(bench: HeatedMake) -> tuple[str, ...]:
    found = bench.make.state.deviations
    return tuple(d.kind for d in found if d.kind in ("not seen to move", "hold not seen"))


def told(bench: HeatedMake) -> tuple[str, ...]:
    return tuple(WORD[a.kind] for a in bench.asked if a.kind in WORD)


def undisturbed(seed: int) -> Outcome:
    """A heating with its hold, then a cooling; a question is answered so that it goes on."""
    bench, maker, rng = begun(seed)
    heat(bench, rng)

    def over(step: str):
        def until() -> bool:
            answer(bench)
            return bench.make.state.step != step

        return until

    done = maker.run(2.5 * 3600.0, over("06-heat"))
    while bench.make.state.alarm is not None:
        answer(bench)
        maker.run(10.0, lambda: False)
    words = "" if done else "the hold did not end; "
    cool(bench)
    if rng.random() < ICE:
        maker.run(rng.uniform(60.0, 600.0), over("10-cool"))
        bench.pots["water-pot"].place = "ice"
    if not maker.run(3 * 3600.0, over("10-cool")):
        words += "the cooling did not end"
    words += " ".join(f"{a.text} [{a.at_s:.0f} s]" for a in bench.asked if a.kind in WORD)
    return Outcome(
        seed, "undisturbed", bench.probes["probe 1"].digit_k, told(bench), 0.0, words, noted(bench)
    )


def disturbed(seed: int) -> Outcome:
    """One thing that misleads: taken out in a cooling, frozen in a hold or a cooling, another unit in a heating."""
    bench, maker, rng = begun(seed)
    what = ("out", "out", "frozen", "unit")[seed % 4]
    digit = bench.probes["probe 1"].digit_k
    if what == "out":
        return _taken_out(bench, maker, rng, seed)
    heat(bench, rng)
    step = "06-heat"
    if what == "unit":
        at_c = rng.uniform(30.0, 68.0)
        maker.run(9000.0, lambda: bench.truth("water-pot") > at_c)
        bench.probes["probe 1"].fahrenheit = True
        maker.left.discard("probe 1")
        maker.run(120.0, lambda: bool(told(bench)))
        facts = [t for e in bench.of_kind(ev.TemperaturesLogged) for v, t in e.temps_c if v == "water-pot"]
        wrong = max((t - 80.0 for t in facts), default=0.0)
        return Outcome(seed, what, digit, told(bench), max(wrong, 0.0))
    maker.run(9000.0, lambda: bench.make.state.progress.held_s > 30.0)
    for probe in bench.probes.values():
        probe.frozen = True
    maker.left.clear()
    for pot in bench.pots.values():
        pot.place = "air"
    passed = maker.run(1800.0, lambda: bool(told(bench)) or bench.make.state.step != step)
    asked, wrong = told(bench), 0.0
    if passed and not asked:
        wrong = 70.0 - min(bench.truth(v) for v in bench.pots)
        for probe in bench.probes.values():
            probe.frozen = False  # it is switched off and on, and stands in its pot as before

        def calmed() -> bool:
            answer(bench)
            return "hold not seen" in noted(bench)

        bench.begin("10-cool")
        maker.run(300.0, calmed)
    return Outcome(seed, what, digit, asked, max(wrong, 0.0), noted=noted(bench))


def _taken_out(bench: HeatedMake, maker: Maker, rng: Random, seed: int) -> Outcome:
    from_c = rng.uniform(66.0, 72.0)
    for thing in bench.pots.values():
        thing.upper_c = thing.lower_c = from_c
    for probe in bench.probes.values():
        probe.temp_c = from_c
    cool(bench)
    at_c, lies_c = rng.uniform(42.0, 65.0), rng.uniform(18.0, 39.0)
    maker.run(7200.0, lambda: bench.truth("water-pot") < at_c)
    bench.probes["probe 1"].lies_at_c = lies_c
    bench.probes["probe 1"].air_lag_s = rng.uniform(3.0, 25.0)
    maker.left.discard("probe 1")
    maker._down_s.pop("probe 1", None)
    passed = maker.run(1800.0, lambda: bool(told(bench)) or bench.make.state.step != "10-cool")
    wrong = bench.truth("water-pot") - 40.0 if passed and not told(bench) else 0.0
    words = f"out at {at_c:.1f} onto {lies_c:.1f} °C"
    return Outcome(seed, "out", bench.probes["probe 1"].digit_k, told(bench), max(wrong, 0.0), words)


def main(many: int, first: int = 1) -> None:
    """Print the figures of so many makes of each sort."""
    alone = [undisturbed(first + n) for n in range(many)]
    for one in alone:
        if one.asked or one.words:
            print(f"  undisturbed {one.seed} ({one.digit_k:g} K): {one.words}")
    asked = sum(len(x.asked) for x in alone)
    for digit in sorted({x.digit_k for x in alone}):
        some = [x for x in alone if x.digit_k == digit]
        stood = sum(bool(x.noted) for x in some)
        print(f"  digits of {digit:g} K left alone: {stood} of {len(some)} holds noted as not seen to move")
    print(f"{many} makes left alone: {asked} questions, {asked / many:.3f} a make")
    meddled = [disturbed(first + n) for n in range(many)]
    for what in ("out", "frozen", "unit"):
        some = [x for x in meddled if x.what == what]
        missed = [x for x in some if x.wrong_k > 0.0]
        for one in missed:
            print(
                f"  {what} {one.seed} ({one.digit_k:g} K): {one.wrong_k:.1f} K wrong; {one.words}{', '.join(one.noted)}"
            )
        silent = sum(not x.asked for x in some)
        worst = max((x.wrong_k for x in missed), default=0.0)
        print(
            f"{what}: {len(some)} makes, {len(missed)} wrong ones accepted, worst {worst:.1f} K; {silent} never asked"
        )


if __name__ == "__main__":
    main(*(int(x) for x in sys.argv[1:]))
