"""The words that journals, scenarios and typed answers hold, read back as what they stand for."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.inputs import LotOnHand, Press, Store, Tick
from benchapp.make.view_model import Choice
from benchapp.make.vocabulary import NAMING, ChoiceKey, Stage, choice_named, stage_named

STALE = LotOnHand(
    "K1", "citric-acid-solution-10", "Citric acid solution 10 %", 90.0, why_not="Lot K1 has expired."
)
STEP = "14-measure-ph"


@pytest.mark.parametrize("key", ChoiceKey)
def test_a_choice_is_known_again_by_its_word(key):
    of = "W:7" if key in NAMING else ""
    press = Press(0.0, "", Choice(key, "", of=of).word)
    assert (press.key, press.of) == (key, of)


@pytest.mark.parametrize("word", ["", "yess", "done:W7", "lot", "ahead"])
def test_what_is_no_choice_stands_for_none(word):
    assert choice_named(word) == (None, "")


@pytest.mark.parametrize("stage", Stage)
def test_a_stage_is_known_again_by_its_text(stage):
    assert stage_named(str(stage)) == (stage, "")
    assert stage_named(f"{stage.plain.akin(stage)}:W:7") == (stage, "W:7")


def test_a_stage_of_another_version_begins_the_act_again():
    assert stage_named("not known here") == (Stage.FIRST, "")


def before_a_trial() -> Bench:
    """The pH is too high, a trial sample is taken, and its acid is to be fetched."""
    bench = Bench()
    bench.give(Store(0.0, (STALE,)))
    bench.jump(STEP)
    bench.give(Tick(bench.now))
    bench.press("understood")
    water = ev.WeightTaken(
        at_s=bench.now, step=STEP, act="ph", line="purified-water", vessel="water-pot", target_g=400.0, low_g=390.0,
        high_g=410.0, net_g=400.0, gross_g=None, source=ev.Source.STATED, device="", checked=False,
    )  # fmt: skip
    high = ev.PhTaken(
        at_s=bench.now, step=STEP, ph=7.5, temp_c=None, diluted=True, source=ev.Source.STATED, device="", in_band=False
    )  # fmt: skip
    adjust = ev.StageReached(at_s=bench.now, step=STEP, act="ph", stage="adjust")
    bench.commit([water, high, adjust])
    bench.press("try")
    bench.press("yes")
    bench.give(Tick(bench.now))
    return bench


def test_a_lot_refused_for_a_trial_sample_has_a_way_out():
    bench = before_a_trial()
    assert bench.view.act_view.stage == Stage.TRIAL_LOT
    bench.press("yes")
    (refused,) = [e for e in bench.events if isinstance(e, ev.StageReached) and "refused" in e.stage]
    assert refused.stage == "trial refused:K1"
    assert [c.word for c in bench.view.act_view.choices] == ["others", "use anyway"]
    bench.press("use anyway", "retested yesterday")
    assert [e.lot for e in bench.events if isinstance(e, ev.LotTaken)] == ["K1"]
    assert bench.view.act_view.stage == Stage.TRIAL_CLEAR
