"""Sentences in another language: looked up where they are made, numbers as they are written there."""

from __future__ import annotations

import pytest

from benchapp.foundation.catalogues import LanguageRefused, codes, language_of
from benchapp.foundation.language import (
    ENGLISH,
    Language,
    Name,
    number,
    speak,
    speaking,
    tr,
    tr_n,
    translated,
    writing,
)

PO = """msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\\n"
"Plural-Forms: nplurals=3; plural=(n==1 ? 0 : n%10>=2 && n%10<=4 && (n%100<12 || n%100>14) ? 1 : 2);\\n"

msgid "Pour {grams:.2f} g into the {vessel}: {word}."
msgstr "{vessel}: {grams:.2f} g, {word}."

msgid "in band"
msgstr "w normie"

msgid "{n} bottle"
msgid_plural "{n} bottles"
msgstr[0] "{n} butelka"
msgstr[1] "{n} butelki"
msgstr[2] "{n} butelek"

msgid "Pour {grams:g} g."
msgstr "Wlej {gram:g} g."

#, fuzzy
msgid "Stop"
msgstr "Moze stop"
"""


@pytest.fixture
def polish(tmp_path):
    """A workshop's own language, with three forms of its plurals."""
    (tmp_path / "languages").mkdir()
    (tmp_path / "languages" / "pl.po").write_text(PO, encoding="utf-8")
    return language_of("pl", tmp_path)


def said() -> str:
    return tr("Pour {grams:.2f} g into the {vessel}: {word}.", grams=12.5, vessel="pot", word="in band")


def test_in_english_a_sentence_is_as_it_stands_in_the_code():
    assert said() == "Pour 12.50 g into the pot: in band."
    assert tr("{value} g") == "{value} g"  # nothing given: no place in it


def test_another_language_moves_the_places_and_writes_the_numbers_as_it_does(polish):
    with speaking(polish):
        assert said() == "pot: 12,50 g, w normie."
        assert number(0.5, ".1f") == "0,5"
    assert said().startswith("Pour 12.50")


def test_no_number_in_a_sentence_is_a_power_of_ten(polish):
    assert tr("{low:g} to {high:g} g", low=0.00005, high=1e6) == "0.00005 to 1000000 g"
    assert (tr("{g:.3g} g", g=1234.4), number(-2.5e7), number(12.5)) == ("1234 g", "-25000000", "12.5")
    with speaking(polish):
        assert number(0.00005) == "0,00005"


@pytest.mark.parametrize(
    ("n", "wanted"), [(1, "1 butelka"), (3, "3 butelki"), (12, "12 butelek"), (22, "22 butelki")]
)
def test_each_number_has_the_form_of_its_language(polish, n, wanted):
    with speaking(polish):
        assert tr_n("{n} bottle", "{n} bottles", n=n) == wanted


def test_what_is_not_translated_in_doubt_or_has_other_places_is_said_in_english(polish):
    with speaking(polish):
        assert (tr("Stop"), tr("Pour {grams:g} g.", grams=0.5)) == ("Stop", "Pour 0,5 g.")


def test_what_somebody_called_something_is_never_looked_up(polish):
    with speaking(polish):
        said = tr(
            "Pour {grams:.2f} g into the {vessel}: {word}.", grams=1.0, vessel=Name("in band"), word="in band"
        )
        assert (said, translated(Name("in band"))) == ("in band: 1,00 g, w normie.", "in band")


def test_what_is_written_down_has_a_language_of_its_own(polish):
    speak(ENGLISH, polish)
    try:
        with writing():
            inside = tr("in band")
        assert (inside, tr("in band")) == ("w normie", "in band")
    finally:
        speak(ENGLISH)


def test_the_mark_of_decimal_numbers_can_be_chosen():
    comma = language_of("en", comma=True)
    with speaking(comma):
        assert tr("{grams:.1f} g", grams=12.5) == "12,5 g"
    assert isinstance(comma, Language)


def test_a_language_that_is_not_there_or_cannot_be_read_is_said_with_its_file(tmp_path):
    assert codes()[0] == "en"
    with pytest.raises(LanguageRefused, match=r"There is no language xx\. There are: en"):
        language_of("xx", tmp_path)
    (tmp_path / "languages").mkdir()
    (tmp_path / "languages" / "it.po").write_bytes(b'msgid "a"\nmsgstr "\xff"\n')
    with pytest.raises(LanguageRefused, match=r"it.po cannot be read"):
        language_of("it", tmp_path)


def test_a_workshops_own_words_are_laid_over_a_shipped_language(tmp_path):
    """So that a procedure of its own can be read in it, and a word be another one, without a copy of all the others."""
    (tmp_path / "languages").mkdir()
    own = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
    own += 'msgid "Weigh what is wet"\nmsgstr "Nasses einwiegen"\n\nmsgid "Stop"\nmsgstr "Halt"\n'
    (tmp_path / "languages" / "de.po").write_text(own, encoding="utf-8")
    german, shipped = language_of("de", tmp_path), language_of("de")
    assert german.sentence("Weigh what is wet") == "Nasses einwiegen"
    assert german.sentence("Stop") == "Halt" != shipped.sentence("Stop")
    assert german.sentence("in band") == shipped.sentence("in band") != "in band"
    assert german.form("{n} bottle", "{n} bottles", 3) == shipped.form("{n} bottle", "{n} bottles", 3)
    assert german.decimal == ","
