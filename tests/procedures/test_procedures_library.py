"""The shipped procedures, each as a maker would read it."""

import pytest

from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped


@pytest.fixture(params=shipped())
def path(request):
    return find(request.param)


def test_is_read_without_error_or_warning(path):
    assert read_procedure(path).warnings == ()


def test_stored_text_gives_the_same_procedure(path):
    from_file = read_procedure(path).procedure
    assert read_text(from_file.text, from_file.file).procedure == from_file


def test_planned_shares_total_100_percent(path):
    lines = read_procedure(path).procedure.formula.lines
    assert sum(line.percent for line in lines) == pytest.approx(100.0, abs=1e-6)


def test_goes_from_prepare_to_finish(path):
    kinds = [step.kind for step in read_procedure(path).procedure.steps]
    assert kinds[0] == "prepare"
    assert kinds[-2:] == ["clean up", "finish"]
