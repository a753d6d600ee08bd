"""The cycle collector, held back while a frame must not wait. Counted in Python's own collector."""

from __future__ import annotations

import gc

import pytest

from benchapp.foundation.collector import full_rounds_as_usual, hold_back_full_rounds


@pytest.fixture
def full_rounds():
    """How many full rounds have been made since the test began, by themselves or asked for."""
    made: list[int] = []

    def watch(phase, info):
        if phase == "start" and info["generation"] == 2:
            made.append(1)

    gc.callbacks.append(watch)
    yield made
    gc.callbacks.remove(watch)
    full_rounds_as_usual()
    gc.unfreeze()


def lay_out_pages() -> list[dict[str, list[str]]]:
    """As many objects as some dozen pages are made of."""
    return [{"page": [str(n)]} for n in range(60_000)]


def test_no_full_round_is_made_by_itself_until_it_is_as_usual_again(full_rounds):
    hold_back_full_rounds()
    assert len(full_rounds) == 1, "the one before what stays is frozen"
    kept = lay_out_pages()
    assert len(full_rounds) == 1
    gc.collect()
    assert len(full_rounds) == 2, "asked for"

    full_rounds_as_usual()
    kept += lay_out_pages()
    assert len(full_rounds) > 2
    assert len(kept) == 120_000
