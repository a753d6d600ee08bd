"""Temperatures provoked on the independent bench, over real ports: what may not be believed opens no gate and passes no hold."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.make.inputs import Skip
from otherbench.bench import OtherBench, Plug, scale_plug
from otherbench.maker import Maker
from otherbench.scale import Scale
from otherbench.thermal import Kitchen, Thermometer


class Stove:
    """A maker with two pots, a bath and a thermometer with a probe for each pot."""

    def __init__(self, journal, procedure, temp_c: float) -> None:
        self.journal, self.kitchen = journal, Kitchen(4)
        self.water = self.kitchen.pot(380.0, 0.10, temp_c)
        self.oil = self.kitchen.pot(90.0, 0.07, temp_c)
        self.probes = [self.kitchen.probe(self.water), self.kitchen.probe(self.oil)]
        self.meter = Thermometer("thermometer", self.probes, self.kitchen.rng)
        scales = [scale_plug(Scale("large scale", 0.1)), scale_plug(Scale("fine scale", 0.01))]
        plug = Plug(self.meter, "thermometer", "multi-channel", ("probe 1", "probe 2"))
        self.bench = OtherBench(journal, procedure, [*scales, plug], 500.0)
        self.bench.moves_with(self._warm)
        self.maker = Maker(self.bench, keeps=("in the pot",))

    def _warm(self, now_s: float) -> None:
        while self.kitchen.now_s < now_s:
            self.kitchen.step(0.1)

    def to(self, step: str, act: str) -> None:
        """Everything before a step left out, then as far as an act."""
        while self.bench.view.step_key != step:
            self.bench.session.put(Skip(self.bench.now_s, self.bench.view.prompt, "not part of this test"))
            self.bench.step()
        self.maker.until(lambda: self.act == act)

    @property
    def act(self) -> str:
        found = self.bench.session.make.act()
        return "" if found is None else found.key

    def events(self, kind):
        return [e for e in self.journal.events("other") if isinstance(e, kind)]

    def asked(self):
        return self.events(ev.AlarmRaised)


@pytest.fixture
def stove(journal, lotion, request):
    made = Stove(journal, lotion, request.param)
    yield made
    made.bench.close()


@pytest.mark.parametrize("stove", [63.0], indirect=True)
def test_a_probe_laid_beside_the_pot_lets_no_preservative_in(stove):
    stove.water.stirred = True
    stove.to("10-cool", "cool")
    stove.maker.until(lambda: stove.water.true_c < 62.0, idle=True)
    stove.probes[0].lies_at_c = 34.0
    stove.maker.until(lambda: bool(stove.asked()), within_s=120.0, idle=True)
    assert (
        "Is it still in the water pot?"
        in stove.bench.view.act_view.instruction + stove.bench.view.act_view.note
    )
    stove.maker.press("unknown")
    stove.maker.wait(120.0)
    assert stove.bench.view.step_key == "10-cool"
    assert stove.water.true_c > 50.0
    stove.probes[0].lies_at_c = None
    stove.maker.wait(30.0)
    stove.maker.press("in the pot")
    stove.maker.wait(30.0)
    believed = stove.bench.session.make.context().temp_c("water-pot")
    assert believed == pytest.approx(stove.water.true_c, abs=0.5)
    assert len(stove.asked()) == 1


@pytest.mark.parametrize("stove", [66.0], indirect=True)
def test_frozen_digits_pass_no_hold(stove):
    stove.to("06-heat", "heat")
    stove.kitchen.bath.temp_c = stove.kitchen.bath.set_c = 77.0
    for pot in (stove.water, stove.oil):
        pot.place, pot.stirred = "bath", True
    progress = stove.bench.session.make.state
    stove.maker.until(lambda: progress.progress.held_s > 20.0, idle=True)
    assert stove.asked() == []
    for probe in stove.probes:
        probe.frozen = True
    for pot in (stove.water, stove.oil):
        pot.place = "air"
    stove.maker.until(lambda: bool(stove.asked()), within_s=360.0, idle=True)
    assert "has shown exactly" in stove.bench.view.act_view.instruction
    stove.maker.press("unknown")
    stove.maker.wait(240.0)
    if stove.bench.view.trouble is not None:
        stove.maker.press("unknown")
    stove.maker.wait(400.0)
    assert stove.bench.view.step_key == "06-heat"
    assert len(stove.asked()) <= 2
    assert stove.bench.session.make.state.progress.held_s < 100.0
