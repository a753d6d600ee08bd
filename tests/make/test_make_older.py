"""A make that an older program began: what it did not ask then is not asked in the middle of what goes on."""

from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Degrees, Resumed


def test_a_hold_that_an_older_program_began_goes_on_though_it_never_asked_what_is_asked_before_it_now():
    bench = Bench()
    bench.to_the_heat()
    for _ in range(300):
        for probe in ("probe 1", "probe 2"):
            bench.give(Degrees(bench.now + 1, "thermo", probe, 72.0))
    held = bench.make.state.progress.held_s
    assert held > 120.0
    older = [
        e for e in bench.events
        if not (isinstance(e, ev.ActBegan | ev.ActFinished | ev.Confirmed) and e.act == "away")
    ]  # fmt: skip
    bench.make, bench.events = Make(bench.make.plan, older), older
    bench.give(Resumed(bench.now, 5.0))
    assert bench.make.act().key == "heat"
    assert bench.make.state.progress.held_s == held
