"""Random and mutated bytes and files, a short form. The long one: ``python tests/endurance/mutations.py``."""

from __future__ import annotations

from mutations import benches_through, lines_through, near, possible, texts_through


def test_no_line_gives_a_number_that_cannot_be_read_in_it():
    tally = lines_through(40_000, seed=7)
    assert tally.wrong == []
    assert tally.numbers > 4_000, "enough lines stayed readable for the check to mean something"
    assert len(tally.faults) >= 5


def test_the_independent_reading_tells_a_wrong_number_from_a_right_one():
    assert near(1250.0, possible("     1.250 kg "))
    assert near(-0.5, possible("-     0.50    "))
    assert near(70.0, possible("Temp: 158.0 F"))
    assert not near(125.0, possible("1.25 kg"))
    assert not near(125.0, possible("     1.250 kg "))


def test_mutated_procedure_files_are_read_or_refused_in_words():
    found = texts_through(60, seed=8)
    assert found["read"] + found["refused"] == 60
    assert found["refused"] > 0


def test_mutated_bench_files_are_read_or_refused_in_words(tmp_path):
    found = benches_through(200, 9, str(tmp_path))
    assert set(found) == {"read", "refused"}, "nothing is refused without its file and line"
