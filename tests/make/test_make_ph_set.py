"""A pH that is off is set by what the make suggests, where the batch answers by sums that share nothing with ours."""

from __future__ import annotations

import pytest
from otherbench.acidity import Acidity, solution
from test_make_core import Bench

from benchapp.make.inputs import Tick, TypeValue

STEP = "14-measure-ph"


@pytest.fixture
def at_the_ph():
    """The hand lotion, everything in one pot, at the step that measures its pH."""
    bench = Bench(devices=())  # by hand: what is suggested is typed as it went in
    bench.jump(STEP)
    bench.weigh_everything()
    bench.give(Tick(bench.now))
    return bench


@pytest.mark.parametrize("off", [0.9, 0.4, -0.3, -0.8])
def test_it_comes_into_its_band_in_a_few_additions(at_the_ph, off):
    bench, step = at_the_ph, next(s for s in at_the_ph.procedure.steps if s.key == STEP)
    batch = Acidity(500.0, (step.band.high if off > 0 else step.band.low) + off)
    doses = []
    for _ in range(400):
        if bench.make.state.step != STEP:
            break
        view, stage = bench.view.act_view, bench.make.state.progress.stage.plain
        bench.now += 5.0
        if bench.press("meter"):
            continue
        if stage == "read":
            bench.give(TypeValue(bench.now, bench.make.state.prompt, round(batch.ph(step.water_parts), 2)))
        elif stage == "adjust":
            bench.press("add")
        elif stage == "dose":
            line, grams = view.want.thing, round(view.want.amount, 2)
            doses.append((line, grams))
            inci = "Citric Acid" if line.startswith("citric") else "Sodium Hydroxide"
            batch.add(solution(inci, 10.0), grams)
            bench.give(TypeValue(bench.now, bench.make.state.prompt, grams))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))
    assert step.band.holds(round(batch.ph(step.water_parts), 2)), doses
    assert 1 <= len(doses) <= 3
    assert len({line for line, _ in doses}) == 1, "never past the other edge"
