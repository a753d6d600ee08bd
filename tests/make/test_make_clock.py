"""The wall's clock set back, forward, over a change to summer time, and a computer that sleeps in the middle of a hold."""

from __future__ import annotations

import itertools

import pytest
from bench_by_hand import SCALES, Bench

from benchapp import events as ev
from benchapp.make.inputs import ClockSet, Degrees, Resumed, Tick, TypeValue
from benchapp.runtime.clocks import ClockMonitor
from benchapp.runtime.runner import Runner

HOUR = 3600.0


@pytest.mark.parametrize(
    ("wall_by_s", "zone_by_s", "said"),
    [
        (0.0, 0.0, (0.0, 0.0, 0.0)),
        (1.5, 0.0, (0.0, 0.0, 0.0)),  # a time server's small correction
        (-HOUR, 0.0, (0.0, -HOUR, 0.0)),
        (86400.0, 0.0, (0.0, 86400.0, 0.0)),
        (0.0, HOUR, (0.0, 0.0, HOUR)),  # summer time: the seconds since the epoch go on
    ],
)
def test_what_the_walls_clock_does_is_told_apart(wall_by_s, zone_by_s, said):
    watch = ClockMonitor()
    watch.look(10.0, 1e9, 0.0)
    assert watch.look(10.5, 1e9 + 0.5 + wall_by_s, zone_by_s) == pytest.approx(said)
    assert watch.look(11.0, 1e9 + 1.0 + wall_by_s, zone_by_s) == (0.0, 0.0, 0.0), "told once"


def test_sleep_is_no_setting_of_the_clock():
    watch = ClockMonitor()
    watch.look(10.0, 1e9, 0.0)
    assert watch.look(10.0 + HOUR, 1e9 + HOUR, 0.0) == pytest.approx((HOUR, 0.0, 0.0))


def holding() -> Bench:
    """Both phases have been in their band for a minute."""
    bench = Bench()
    bench.to("06-heat")
    while bench.make.state.progress.act != "heat":
        bench.press("understood" if "cautions" in bench.make.state.prompt else "yes")
    warm(bench, 60)
    return bench


def warm(bench: Bench, seconds: int) -> None:
    for _ in range(seconds):
        bench.now += 1.0
        for probe in ("probe 1", "probe 2"):
            bench.give(Degrees(bench.now, "thermo", probe, 72.0))
        bench.give(Tick(bench.now))


def held_s(bench: Bench) -> float:
    return bench.view.act_view.picture.held_s


def test_an_hour_asleep_in_the_middle_of_a_hold_is_no_hour_held():
    bench = holding()
    before = held_s(bench)
    assert before == pytest.approx(59.0, abs=2.0)
    bench.now += HOUR
    bench.give(Resumed(bench.now, HOUR))
    warm(bench, 30)
    # What had not been written down yet counts again from its last entry: a little less, never more.
    assert 30.0 < held_s(bench) <= before + 31.0
    (resumed,) = [e for e in bench.events if isinstance(e, ev.MakeResumed)]
    assert resumed.gap_s == HOUR


def test_a_clock_set_back_leaves_durations_and_order_alone_and_the_record_says_so():
    bench = holding()
    before = held_s(bench)
    bench.give(ClockSet(bench.now, -HOUR, 0.0))
    warm(bench, 30)
    assert held_s(bench) == pytest.approx(before + 30.0, abs=1.5)
    noted = bench.make.state.deviations[-1]
    assert (noted.grade, noted.kind) == (ev.Grade.NOTE, "clock set")
    assert noted.text.startswith("The computer's clock was set back by 60 min.")
    assert all(a.at_s <= b.at_s for a, b in itertools.pairwise(bench.events))


class Sleeper:
    """A session of which only the clock and what it is told matter."""

    def __init__(self):
        self.now, self.told = 0.0, []

    def clock(self):
        return self.now

    def put(self, given):
        self.told.append(given)

    def poll(self):
        self.told.append("poll")


def test_the_runner_tells_the_session_before_it_asks_for_readings():
    session, wall = Sleeper(), [1e9, 3600.0]
    runner = Runner(session, lambda: (wall[0], wall[1]))
    runner.beat()
    session.now, wall[0] = 7200.0, 1e9 + 7200.0
    runner.beat()
    session.now, wall[:] = 7200.1, [1e9, 7200.0]
    runner.beat()
    assert session.told == [
        "poll", Resumed(7200.0, 7200.0), "poll", ClockSet(7200.1, pytest.approx(-7200.1), 3600.0), "poll",
    ]  # fmt: skip


@pytest.mark.parametrize(("away_s", "over"), [(900.0, False), (0.0, True)])
def test_no_hold_by_typed_temperatures_counts_the_time_the_program_was_away(away_s, over):
    bench = Bench(devices=SCALES[:2])
    bench.to_the_heat()
    for _ in range(2):
        bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 72.0))
    bench.now += 900.0
    bench.give(Resumed(bench.now, away_s))
    bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, 72.0))
    assert (bench.make.state.step != "06-heat") is over
    bench.give(TypeValue(bench.now + 610.0, bench.make.state.prompt, 72.0))
    assert bench.make.state.step != "06-heat"
