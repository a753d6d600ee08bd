"""What a maker calls things stays as it is called, in whatever language the make speaks."""

from __future__ import annotations

from bench_by_hand import Bench

from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import Name, speaking, translated
from benchapp.foundation.numbers import exact
from benchapp.make.inputs import Grams
from benchapp.make.view_building import view_model_of
from benchapp.make.view_model import ENOUGH, TOO_MUCH
from procedures.reading import read_text
from procedures.shelf import find


def test_a_vessel_and_an_ingredient_keep_their_names(tmp_path):
    text = find("sand-bar-balm").read_text(encoding="utf-8").replace('"fat pot"', '"pot"')
    procedure = read_text(text, "balm.toml").procedure
    vessel = next(v for v in procedure.vessels.values() if v.name == "pot")
    with speaking(language_of("de")):
        assert translated("pot") != "pot"  # else the word would be no test
        assert translated(vessel.name) == "pot"
    assert all(isinstance(m.name, Name) for m in procedure.materials.values())


def test_too_much_is_one_word_in_every_language():
    """The glass leaves that reason out beside a move that says it in large letters, and knows it by what it is."""
    bench = Bench()
    bench.at_the_first_pour()
    target = bench.make.plan.weighings["purified-water"].target
    for n in range(8):
        bench.now = round(bench.now + 0.1, 3)
        bench.give(
            Grams(bench.now, "big", exact(420.0 + target.band.high + 5.0 + n), False, False)
        )  # it runs on
    for language in ("en", "de", "fr"):
        with speaking(language_of(language)):
            view = view_model_of(bench.make, bench.now)
        assert view.act_view.not_yet == (TOO_MUCH,), language
        assert view.act_view.move == ENOUGH


def test_a_shipped_procedure_is_read_in_the_language_of_the_faces_and_written_down_in_that_of_the_record():
    bench = Bench()
    english = view_model_of(bench.make, bench.now)
    for code in ("de", "fr"):  # also when it is changed midway
        language = language_of(code)
        with speaking(language):
            view = view_model_of(bench.make, bench.now)
        assert view.step_title == language.sentence(english.step_title) != english.step_title
        assert view.detail.why == language.sentence(english.detail.why) != english.detail.why
        assert view.sheet != english.sheet
        assert [s.title for s in view.spans] == [language.sentence(s.title) for s in english.spans]
    assert view_model_of(bench.make, bench.now) == english
