"""The commands of the desk in another language: names as the list gives them, numbers as they are written there."""

from __future__ import annotations

import pytest
from desk_commands import BATCH, release_it, sign


def test_in_german_a_check_is_written_down_by_the_name_the_list_gives_it(finished, english_again):
    """Names that are the program's own stand translated in the list, and a number has its comma."""
    finished("language", "de")
    listed = finished("due")[1]
    assert "Aussehen nach einem Tag" in listed
    assert "5 bis 5,8" in listed
    code, said = sign(finished, "batch-check", BATCH, "Aussehen nach einem Tag", "--passed")
    assert code == 0, said


def test_in_german_roles_and_shares_are_german(finished, english_again):
    finished("language", "de")
    said = finished("person", "list")[1]
    assert "releaser" not in said
    assert "Freigeber" in said or "Freigebende" in said
    sheet = finished("plan", "oat-hand-lotion", "--batch-size", "500g")[1]
    assert "Zutat" in sheet
    assert "bis 0,594 %" in sheet


@pytest.mark.parametrize(("code", "released"), [("de", "freigegeben"), ("fr", "libéré")])
def test_a_recall_is_in_the_language_that_is_spoken(finished, english_again, code, released):
    release_it(finished)
    finished("language", code)
    said = finished("recall", "oil-1")[1]
    assert f"{BATCH} ({released})" in said
    assert "released" not in said


def test_in_german_a_result_is_typed_with_its_comma_and_answered_in_german(finished, english_again):
    finished("language", "de")
    code, said = sign(finished, "batch-check", BATCH, "pH nach einem Tag", "--value", "5,4")
    assert (code, "bestanden" in said, "passed" in said) == (0, True, False), said
    assert "5,4" in finished("release", BATCH)[1]
    assert "12,50 EUR" in sign(finished, "lot", "price", "oil-1", "12,50 EUR")[1]
    for refused in (
        ("lot", "price", "oil-1", "1.234,50 EUR"),
        ("batch-check", BATCH, "pH", "--value", "1.234,5"),
    ):
        with pytest.raises(SystemExit):
            sign(finished, *refused)


def test_lots_stand_in_the_order_of_the_alphabet_also_with_umlauts(finished):
    for lot, name in (("z-1", "Zitronenöl"), ("o-1", "Öl"), ("p-1", "Panthenol"), ("n-1", "nelkenöl")):
        sign(finished, "lot", "receive", lot, name, "1 kg", "--new-material")
    said = finished("lot", "list")[1]
    assert [line[:3] for line in said.splitlines() if line[1:3] == "-1"] == ["n-1", "o-1", "p-1", "z-1"]


def test_what_somebody_called_rest_is_not_translated(finished, english_again):
    """A lot, a person and a shop that are called like a word the program has a translation of."""
    sign(finished, "lot", "receive", "rest", "sunflower-oil", "1 kg", "--supplier", "note")
    assert (
        finished("person", "enrol", "Base", "--role", "helper", "--by", "Mara", keyed="4711\n8203\n8203\n")[0]
        == 0
    )
    release_it(finished)
    assert sign(finished, "dispatch", BATCH, "1", "open")[0] == 0
    finished("language", "de")
    assert "rest " in finished("lot", "list")[1]
    assert " note" in finished("lot", "list")[1]
    assert "\nopen " in finished("recall", "oil-1")[1]
