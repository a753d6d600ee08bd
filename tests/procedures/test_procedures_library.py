"""The shipped procedures, each as a maker would read it."""

import pytest

from procedures.phrases import duration
from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped
from procedures.steps import Add, Blend
from procedures.walk import walk


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


def test_guidance_is_written_for_every_step_of_the_making(path):
    for step in read_procedure(path).procedure.steps:
        assert step.why, step.title
        if step.kind not in ("clean up", "finish"):
            assert step.look, step.title
            assert step.wrong, step.title


def test_is_marked_as_invented(path):
    assert 'Invented for the demo workshop "Low Tide Bench"' in path.read_text(encoding="utf-8")


def test_blends_in_bursts_of_common_practice(path):
    # common practice, no source: 30 to 45 s
    for step in read_procedure(path).procedure.steps:
        if isinstance(step, Blend):
            assert 30 <= step.burst_s <= 45


def has_water(procedure):
    return any(line.material.role == "water" for line in procedure.formula.lines)


def test_nothing_heat_sensitive_is_added_above_45_degrees(path):
    # common practice, no source: below 40 °C, preservatives up to 45 °C; a balm without water sets above that
    procedure = read_procedure(path).procedure
    for step in procedure.steps if has_water(procedure) else ():
        if isinstance(step, Add) and step.below_c is not None:
            assert step.below_c <= 45


# Regulation (EC) 1223/2009, in percent of the finished product; check your own market's current law.
# Annex V: 1, 4, 13, 29, 34. Annex III (Reg. 866/2014): cetrimonium chloride, rinse-off hair products.
CEILINGS = {
    "leave-on": {"Sodium Benzoate": 0.590, "Potassium Sorbate": 0.804, "Dehydroacetic Acid": 0.6,
                 "Phenoxyethanol": 1.0, "Benzyl Alcohol": 1.0, "Cetrimonium Chloride": 0.5},
    "rinse-off": {"Sodium Benzoate": 2.950, "Potassium Sorbate": 0.804, "Dehydroacetic Acid": 0.6,
                  "Phenoxyethanol": 1.0, "Benzyl Alcohol": 1.0, "Cetrimonium Chloride": 2.5},
}  # fmt: skip


def test_keeps_the_legal_ceilings_at_the_upper_end_of_every_range(path):
    procedure = read_procedure(path).procedure
    formula = procedure.formula
    most = dict.fromkeys(CEILINGS[formula.use], 0.0)
    for line in formula.lines:
        share = line.percent if line.cap_percent is None else line.cap_percent
        for substance in line.material.composition:
            if substance.inci in most:
                most[substance.inci] += share * substance.high_percent / 100
    assert any(most.values()) or not has_water(procedure), (
        "no preservative of the list is in the formula: the check would be empty"
    )
    # A batch that loses 3 % of water ends up 1/0.97 times as strong.
    assert {k: v for k, v in most.items() if v / 0.97 > CEILINGS[formula.use][k]} == {}


def test_says_itself_in_plain_sentences(path):
    procedure = read_procedure(path).procedure
    told = [step.sentence(bench) for step, bench in walk(procedure)]
    assert all(told)
    assert not [words for words in told if "None" in words]


@pytest.mark.parametrize(("seconds", "said"), [(45, "45 s"), (90, "1 min 30 s"), (7200, "2 h"), (86400, "24 h"),
                                               (604800, "7 days"), (0, "0 s")])  # fmt: skip
def test_times_as_a_person_says_them(seconds, said):
    assert duration(seconds) == said
