"""Whole makes on the independent bench: the record is what truly happened, and nobody is asked what nobody needed."""

from __future__ import annotations

import pytest

from otherbench.acidity import Acidity, solution
from otherbench.terminal_ears import TerminalEars
from otherbench.whole_make import PROCEDURES, Disturbances, make
from procedures.reading import read_procedure
from procedures.shelf import find


def is_true_and_asked_nothing(found):
    assert found.outcome == "finished"
    assert found.questions == ()
    assert found.deviations == ()
    assert found.worst_divisions <= 2.0, found.worst_line
    assert found.worst_k <= 1.0, found.worst_where
    assert found.yield_off_percent <= 1.0
    assert found.lines.keys()
    assert found.untold == ()


def test_a_faultless_lotion_is_recorded_as_it_was_made(tmp_path):
    is_true_and_asked_nothing(make(tmp_path, PROCEDURES[0]))


@pytest.mark.by_hand
@pytest.mark.parametrize("key", PROCEDURES[1:])
def test_every_shipped_procedure_is_recorded_as_it_was_made(tmp_path, key):
    is_true_and_asked_nothing(make(tmp_path, key))


def test_the_independent_chemistry_is_that_of_the_tables():
    """0.1 mol/l of citric acid: 2.07 by its three constants; half neutralised lactic acid: its pK; lye: 14 less its pOH."""
    citric, lye = solution("Citric Acid", 10.0), solution("Sodium Hydroxide", 10.0)
    batch = Acidity(1000.0, 7.0)
    batch.mmol, batch._ions = {citric: 100.0}, 0.0
    assert batch.ph() == pytest.approx(2.09, abs=0.02)
    batch.mmol = {solution("Lactic Acid", 10.0): 100.0, lye: 50.0}
    assert batch.ph() == pytest.approx(3.86, abs=0.01)
    batch.mmol = {lye: 10.0}
    assert batch.ph() == pytest.approx(12.0, abs=0.01)


def is_set(found):
    """In its band by the bench's own sums, by doses that were asked for, never past the other edge. Four at most: where
    there is a weak solution, the first of them."""
    band = read_procedure(find(found.key)).procedure.formula.ph
    assert found.outcome == "finished"
    assert found.deviations == ()
    assert found.ph is not None
    assert band.low - 0.02 <= found.ph <= band.high + 0.02
    assert 1 <= len(found.doses) <= 4, found.doses
    assert len({line.partition("-solution")[0] for line, _ in found.doses}) == 1, found.doses


@pytest.mark.by_hand
@pytest.mark.parametrize("off", [0.6, -0.5])
@pytest.mark.parametrize("key", [k for k in PROCEDURES if read_procedure(find(k)).procedure.formula.ph])
def test_a_ph_that_is_off_is_set_by_what_the_make_suggests(tmp_path, key, off):
    is_set(make(tmp_path, key, 1, Disturbances(ph_off=off)))


def test_what_the_terminal_did_not_say_is_noticed(maker):
    """The check itself: words, vessels and grams that nobody was told."""
    maker.until(maker.pouring("purified-water"))
    view, ears = maker.bench.view, TerminalEars(maker.bench.procedure)
    want = view.act_view.want
    ears.grams(want.thing, want.amount, view)
    ears.vessel(want.vessel, view)
    ears.number(380.0, view)
    assert ears.untold == []
    ears.word("sign", "", view)
    ears.vessel("slurry-beaker", view)
    ears.scale("fine scale", "slurry-beaker", view)
    ears.grams(want.thing, want.amount + 1.0, view)
    ears.grams("glycerin", want.amount, view)
    assert len({x.partition(". Said")[0] for x in ears.untold}) >= 5, ears.untold
