"""Finding procedures by name and by path."""

from pathlib import Path

import pytest

from procedures.errors import ProcedureNotFound
from procedures.shelf import LIBRARY, find, shipped


def test_five_are_shipped_and_found_by_name():
    assert len(shipped()) >= 5
    assert all(find(name) == LIBRARY / f"{name}.toml" for name in shipped())


def test_own_folder_comes_first(tmp_path):
    mine = tmp_path / "oat-hand-lotion.toml"
    mine.write_text("")
    assert find("oat-hand-lotion", own=tmp_path) == mine
    assert find("tide-pool-gel", own=tmp_path) == LIBRARY / "tide-pool-gel.toml"


def test_path_is_taken_as_it_is(tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text("")
    assert find(str(mine)) == mine
    assert find(mine) == mine


@pytest.mark.parametrize("name", ["oat-hand-lotoin", "", ".", "..", "%2e%2e", "OAT-HAND-LOTION ", "a\x00b"])
def test_unknown_name_lists_what_there_is(name):
    with pytest.raises(ProcedureNotFound) as error:
        find(name)
    assert "There is no procedure" in str(error.value)
    assert any(known in str(error.value) for known in shipped())


@pytest.mark.parametrize(
    "name", ["../errors.py", "../library/nothing.toml", "..\\x", "/none/at/all.toml", Path("x")]
)
def test_missing_path_is_not_searched_for_in_the_library(name):
    with pytest.raises(ProcedureNotFound, match="There is no file"):
        find(name)
