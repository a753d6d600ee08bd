"""Jars, tubes, boxes, bars in moulds: the word follows everywhere, and a bar is unmoulded later."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_by_hand import SCALES, Bench
from procedure_edits import edited

from benchapp import events as ev
from benchapp.make.inputs import Tick
from procedures.phrases import plural
from procedures.reading import read_text
from procedures.walk import bench_at

WARM = 'above = "56 degC" # below, it sets with a hole in the middle\nbelow = "66 degC"\n'


def balm(container, unmould=""):
    """Without its temperatures, filled into something else."""
    more = f'unmould = "{unmould}"\n' if unmould else ""
    return read_text(
        edited("sand-bar-balm", (WARM, more), ('container = "tin"', f'container = "{container}"'))
    ).procedure


def filling(container, unmould=""):
    bench = Bench(SCALES, balm(container, unmould), 420.0)
    bench.weigh_everything("fat-pot")
    bench.jump("07-fill")
    bench.give(Tick(bench.now))
    bench.press("understood")
    return bench


@pytest.mark.parametrize(
    ("one", "more"), [("bottle", "bottles"), ("box", "boxes"), ("dish", "dishes"), ("pouch", "pouches")]
)
def test_more_than_one(one, more):
    assert plural(one) == more


@pytest.mark.parametrize("thing", ["jar", "tube", "box"])
def test_every_word_follows_the_container(thing):
    bench = filling(thing)
    bench.stand(0.0)
    view = bench.view.act_view
    assert view.instruction == f"Put empty {thing} 1 on the big."
    assert plural(thing) in view.note
    assert view.picture.container == thing
    assert bench.make.act().brief == f"Fill the {plural(thing)}"
    bench.stand(60.0)
    bench.stand(110.2)
    assert bench.view.act_view.instruction == f"Take the {thing} off and close it."
    bench.stand(0.0)
    bench.press("last")
    assert bench.view.act_view.instruction == f"Keep 1 {thing} back: how many are kept?"


def test_a_bar_is_set_level_and_unmoulded_later():
    bench = filling("bar", "after 4 h, when they come off by themselves")
    for grams in (0.0, 60.0, 110.2):
        bench.stand(grams)
    assert bench.view.act_view.instruction == "Take the bar off and set it level."
    bench.stand(0.0)
    bench.press("last")
    text = "Leave the bars in their moulds. Unmould: after 4 h, when they come off by themselves."
    assert bench.view.act_view.instruction == text
    (said,) = [e for e in bench.press("yes") if isinstance(e, ev.Confirmed)]
    assert said.text == text
    step = next(s for s in bench.procedure.steps if s.key == "07-fill")
    assert "Unmould: after 4 h" in step.sentence(bench_at(step, bench.procedure))
    assert bench.make.plan.declared["07-fill"].limits.storage.endswith(
        "; unmould: after 4 h, when they come off by themselves"
    )


def test_the_procedure_knows_what_it_is_filled_into():
    assert balm("jar").container == "jar"
    assert replace(balm("jar"), steps=()).container == "container"
