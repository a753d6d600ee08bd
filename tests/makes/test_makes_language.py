"""A make in another language: everything happens as it does in English, and only what people read is another."""

from __future__ import annotations

import dataclasses

import pytest
from catalogue import marked
from walked import walk

from benchapp.foundation.language import ENGLISH, speak

#: What an event says to people.
TEXTS = {"text", "why", "reason", "meaning"}


@pytest.mark.parametrize("name", ["driftwood-conditioner", "breakwater-body-lotion"])
def test_the_same_happens_in_another_language(name, walked, tmp_path):
    here = walked(name).stored  # before another language is spoken: others look at it too
    speak(marked())
    try:
        there = walk(name, tmp_path).stored
    finally:
        speak(ENGLISH)
    assert len(here) == len(there)
    differ = [
        (type(a.event).__name__, field, left, right)
        for a, b in zip(here, there, strict=True)
        for field, left in dataclasses.asdict(a.event).items()
        if (right := dataclasses.asdict(b.event).get(field)) != left and field not in TEXTS
    ]
    assert differ == []
    assert any("⟦" in getattr(x.event, "text", "") for x in there)
