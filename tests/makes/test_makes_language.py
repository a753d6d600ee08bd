"""A make in another language: everything happens as it does in English, and only what people read is another."""

from __future__ import annotations

import dataclasses

import pytest
from catalogue import marked
from walked import walk

from benchapp.foundation.language import ENGLISH, speak

#: What an event says to people.
TEXTS = {"text", "why", "reason", "meaning", "expect", "where"}


def differences(here, there):
    """Field by field, of two makes event by event."""
    assert len(here) == len(there)
    return [
        (type(a.event).__name__, field, left, right)
        for a, b in zip(here, there, strict=True)
        for field, left in dataclasses.asdict(a.event).items()
        if (right := dataclasses.asdict(b.event).get(field)) != left
    ]


@pytest.mark.parametrize(
    "name", ["driftwood-conditioner", pytest.param("breakwater-body-lotion", marks=pytest.mark.by_hand)]
)
def test_the_same_happens_in_another_language(name, walked, tmp_path):
    here = walked(name).stored  # before another language is spoken: others look at it too
    speak(marked())
    try:
        there = walk(name, tmp_path).stored
    finally:
        speak(ENGLISH)
    assert [found for found in differences(here, there) if found[1] not in TEXTS] == []
    assert any("⟦" in getattr(x.event, "text", "") for x in there)


def test_what_is_written_down_is_in_the_language_of_the_record_whatever_the_faces_speak(walked, tmp_path):
    here = walked("driftwood-conditioner").stored
    speak(marked(), ENGLISH)
    try:
        there = walk("driftwood-conditioner", tmp_path).stored
    finally:
        speak(ENGLISH)
    assert differences(here, there) == []
