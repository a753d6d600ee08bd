"""A busy bench says nothing, and a deliberate push is heard: the short form of tests/benchmarks/bench_bustle.py."""

from __future__ import annotations

from random import Random

from bench_by_hand import Bench
from bustle import Pan, bustled, pushed


def asking():
    """A make that asks a plain question and uses no scale."""
    bench = Bench()
    bench.press("understood")
    return bench.make


def pouring():
    """A make in the middle of a pour: three fifths of the water are in."""
    bench = Bench()
    bench.at_the_first_pour()
    return bench.make


def test_two_hours_of_bustle_beside_a_question_answer_nothing():
    pan = Pan(Random(11))
    assert bustled(asking(), pan, 120) == []
    assert set(pan.counts) == {"knock", "bounce", "spoon", "draught", "lean", "vessel", "shuffle", "doubled"}


def test_an_hour_of_bustle_on_the_scale_in_use_takes_no_weight():
    assert bustled(pouring(), Pan(Random(12), resting_g=645.0, vessels=False), 60) == []


def test_deliberate_pushes_are_heard_once_each():
    assert pushed(asking(), Random(13), 100) >= 99
