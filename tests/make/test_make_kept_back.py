"""Samples kept back and the lot of the packaging: asked after filling where the procedure declares it, else not at all."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_by_hand import Bench
from test_make_accept import of

from benchapp import events as ev
from benchapp.make.inputs import LotOnHand, Scanned, Store, Tick, TypeValue
from procedures.reading import read_procedure
from procedures.shelf import find

TUBES = LotOnHand("T-7", "tube-100", "Tube, 100 ml", 400.0, code="47110001")


def filled(**declared):
    """The gel, two tubes filled, what the fill step declares changed so."""
    gel = read_procedure(find("tide-pool-gel")).procedure
    steps = tuple(replace(s, **declared) if s.kind == "fill" else s for s in gel.steps)
    fill = next(s for s in steps if s.kind == "fill")
    bench = Bench(procedure=replace(gel, steps=steps))
    bench.jump(fill.key)
    for n in (1, 2):
        bottle = ev.BottleFilled(
            at_s=bench.now, step=fill.key, vessel=fill.vessel, number=n, net_g=101.0, low_g=100.0, target_g=101.0,
            source=ev.Source.STATED,
        )  # fmt: skip
        bench.commit([bottle])
    bench.give(Tick(bench.now))
    while bench.make.act().key != "bottles":
        bench.press("understood")
    bench.press("last")
    return bench


def test_a_sample_is_asked_for_and_written_down():
    bench = filled()
    assert bench.view.act_view.instruction == "Keep 1 tube back: how many are kept?"
    (kept,) = of(bench.press("yes"), ev.SampleRetained)
    assert (kept.pieces, kept.by) == (1, "Mara Lind")
    assert "shelf of retained samples" in kept.where


@pytest.mark.parametrize("answer", [("different", "all were needed"), ("unknown", "")])
def test_none_is_an_answer_and_a_deviation(answer):
    bench = filled()
    out = bench.press(*answer)
    assert not of(out, ev.SampleRetained)
    (noted,) = of(out, ev.DeviationNoted)
    assert (noted.kind, noted.grade) == ("no sample kept back", ev.Grade.MINOR)


def test_none_without_a_reason_is_no_answer():
    assert filled().press("different") == []


@pytest.mark.parametrize(("typed", "short"), [(1.0, True), (2.0, False), (3.0, False)])
def test_another_number_is_typed(typed, short):
    bench = filled(retain=2)
    out = bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, typed))
    assert [k.pieces for k in of(out, ev.SampleRetained)] == [typed]
    assert bool(of(out, ev.DeviationNoted)) is short


@pytest.mark.parametrize("typed", [0.5, 0.0, -1.0, 4.0])
def test_no_part_of_a_tube_is_kept_and_no_more_than_were_filled(typed):
    bench = filled()
    assert bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, typed)) == []


def test_what_is_not_declared_is_not_asked():
    bench = filled(retain=0)
    assert bench.make.state.step != next(s.key for s in bench.procedure.steps if s.kind == "fill")


def test_no_answer_is_given_by_enter_alone():
    assert all(c.serious for c in filled().view.act_view.choices)


def test_the_lot_of_the_packaging_is_picked_or_scanned():
    for answer in ("lot:T-7", Scanned):
        bench = filled(packaging="tube-100", retain=0)
        bench.make.take(Store(bench.now, (TUBES,)))
        assert "Which lot are the tubes from?" in bench.view.act_view.instruction
        given = Scanned(bench.now + 1.0, bench.make.state.prompt, "47110001")
        out = bench.press(answer) if isinstance(answer, str) else bench.give(given)
        (used,) = of(out, ev.PiecesUsed)
        assert (used.lot, used.material, used.pieces) == ("T-7", "tube-100", 2)


def test_a_last_tube_that_did_not_get_full_is_one_of_its_lot_too():
    bench = filled(packaging="tube-100", retain=0)
    bench.make.take(Store(bench.now, (TUBES,)))
    step = bench.make.state.step
    for key, what in ((step, ev.SHORT), (step, "pH"), ("another", ev.SHORT)):
        bench.commit([
            ev.SampleTaken(
                at_s=bench.now, step=key, vessel="gel-pot", mass_g=40.0, what=what, source=ev.Source.MEASURED
            )
        ])  # fmt: skip
    (used,) = of(bench.press("lot:T-7"), ev.PiecesUsed)
    assert used.pieces == 3


def test_a_lot_of_packaging_that_nobody_knows_is_said_so():
    bench = filled(packaging="tube-100", retain=0)
    assert any("No usable lot" in x for x in bench.view.act_view.not_yet)
    (said,) = of(bench.press("unknown"), ev.Confirmed)
    assert said.text == "Lot of the tubes: not known"
