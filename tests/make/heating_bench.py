"""A bench whose pots are in the bath while something that comes later can be weighed."""

from __future__ import annotations

from bench_by_hand import SCALES, Bench

from benchapp import events as ev
from benchapp.make.inputs import (
    Degrees,
    Grams,
    Resumed,
    Tick,
)  # fmt: skip
from benchapp.make.vocabulary import ChoiceKey

WAIT, LATER = "06-heat", "11-weigh"


AHEAD = f"{ChoiceKey.AHEAD}:"


BOAT_G = 8.1


class Heating(Bench):
    """A make whose two pots are in the bath, on a bench with a fine scale that stands empty."""

    def __init__(self, devices=SCALES, procedure="oat-hand-lotion", wait=WAIT):
        super().__init__(devices, procedure)
        self.to_the_heat(wait)
        self.temps = {"probe 1": 40.0, "probe 2": 38.0}
        self.fine_g = 0.0
        self.run(3.0)

    def run(self, seconds, warming_k_s=0.0):
        """The bench goes on: both probes each second, the fine scale ten times, and time."""
        out, before = [], self.shown.get("fine", self.fine_g)
        poured = [round(before + (self.fine_g - before) * n / 20, 2) for n in range(1, 20)]
        poured = poured if self.fine_g > before + 1.0 else []
        self.shown["fine"] = self.fine_g
        for n, grams in enumerate([*poured, *[self.fine_g] * int(seconds * 10)]):
            self.now = round(self.now + 0.1, 3)
            out += self.give(Grams(self.now, "fine", grams, grams == self.fine_g, False))
            if n % 10 == 0:
                for probe in self.temps:
                    self.temps[probe] += warming_k_s
                    out += self.give(Degrees(self.now, "thermo", probe, self.temps[probe]))
                out += self.give(Tick(self.now))
        return out

    def become(self, temp_c, *probes, after_s=400.0):
        """It takes its time, and nobody hears of it meanwhile: no vessel changes at once."""
        self.now += after_s
        self.temps.update(dict.fromkeys(probes, temp_c))

    @property
    def choices(self):
        return [c.word for c in self.view.act_view.choices]

    def aside(self, later=LATER):
        return self.press(f"{AHEAD}{later}")

    def weigh(self, line_g):
        """The lot is in hand, the boat fills, it is taken."""
        self.press("yes")
        self.run(2.0)
        self.fine_g = round(self.fine_g + line_g, 2)
        return self.run(4.0)

    def targets(self, step=LATER):
        lines = next(s for s in self.procedure.steps if s.key == step).lines
        return [self.make.plan.weighings[x].target_g for x in lines]

    def weigh_all(self):
        """Cautions, boat, every line."""
        while self.make.act().key == "cautions":
            self.press("understood")
        self.fine_g = BOAT_G
        out = [*self.run(3.0), *self.press("it is")]
        for grams in self.targets():
            out += self.weigh(grams)
        return out


def boat_on(heating):
    """Aside, with the empty boat on the fine scale."""
    heating.aside()
    while heating.make.act().key == "cautions":
        heating.press("understood")
    heating.fine_g = BOAT_G
    heating.run(3.0)
    heating.press("it is")


def started_again(heating):
    """The same make half a minute later, from its events."""
    again = Heating.__new__(Heating)
    again.__dict__.update(heating.__dict__)
    again.make = type(heating.make)(heating.make.plan, heating.events)
    again.give(Resumed(heating.now + 30.0, 30.0))
    return again


def pouring(heating):
    """In the middle of the first pour."""
    boat_on(heating)
    heating.press("yes")
    heating.run(2.0)
    heating.fine_g += round(heating.targets()[0] / 2, 2)
    heating.run(0.5)
    return heating


def poured_too_much(heating):
    """All pots hold what they should, as if weighed; the first line ahead is far too much."""
    for w in heating.make.plan.weighings.values():
        if w.vessel in ("water-pot", "oil-pot"):
            heating.commit([
                ev.WeightTaken(
                    at_s=heating.now, step="02-weigh", act="", line=w.line.key, vessel=w.vessel, target_g=w.target_g,
                    low_g=w.target.band.low, high_g=w.target.band.high, net_g=w.target_g, gross_g=None, source=ev.Source.STATED, lot="",
                    device="", checked=False,
                )
            ])  # fmt: skip
    boat_on(heating)
    heating.press("yes")
    heating.run(2.0)
    heating.fine_g = round(BOAT_G + 1.3 * heating.targets()[0], 2)
    heating.run(4.0)
    assert heating.view.act_view.stage == "remedy"
    return heating
