"""Whether all is in order, and a stick made the place for copies, by touch. What psutil says of a stick is said for it here."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from benchapp import events as ev
from benchapp.runtime.settings import backup_plan_in


@pytest.fixture
def stick(tmp_path, monkeypatch):
    """A folder that looks like a stick plugged in."""
    folder = tmp_path / "STICK"
    folder.mkdir()
    listed = [SimpleNamespace(mountpoint=str(folder), opts="rw,removable")]
    monkeypatch.setattr("psutil.disk_partitions", lambda all=False: listed)
    return folder


def words(pilot) -> list[str]:
    pilot.arrive()
    return [w.text for w in pilot.page.texts]


def test_copies_go_onto_a_stick_that_was_touched_until_no_more_are_wanted(stick, journal, pilot):
    journal.append(ev.WORKSHOP, [ev.LotOpened(at_s=0.0, lot="W7", on="2026-03-01")])
    pilot.press("Settings")
    pilot.press("Upkeep")
    pilot.arrive()
    assert any(row.detail.startswith("No copy is made by itself") for row in pilot.page.rows_shown)
    pilot.press("Set up copies")
    assert "No more copies" not in pilot.presses()
    pilot.press("STICK")
    assert words(pilot)[0].startswith("Copied: ")
    (copy,) = (stick / "copies of the bench").glob("journal-*.sqlite")
    assert backup_plan_in(journal.path.parent).folder == str(copy.parent)
    pilot.press("Back")
    assert f"Copies go to {copy.parent}." in words(pilot)
    assert any("is on the same disk" in text for text in words(pilot)), "here it is"
    pilot.press("No more copies")
    pilot.press("Back")
    assert backup_plan_in(journal.path.parent) is None
    assert copy.exists()


def test_a_stick_that_is_pulled_out_is_no_place_any_more(stick, pilot):
    pilot.press("Settings")
    pilot.press("Upkeep")
    pilot.press("Copies")
    stick.rmdir()
    pilot.press("Look again")
    assert any(text.startswith("No stick is plugged in.") for text in words(pilot))


def test_all_that_is_due_is_one_press_away_from_the_bench_and_back(journal, pilot):
    """Where a workshop that has been at work for two months has more to say than there is room for."""
    from lived_in import live_in

    live_in(journal, journal.wall())
    facts = pilot.shop.facts()
    facts = replace(facts, matters=facts.matters * 3)
    pilot.app.bench.facts = facts
    pilot.app.bench.show()
    pilot.press(next(text for text in pilot.presses() if text.endswith(" more")))
    assert words(pilot)[0] == "To do"
    assert any(
        "Oat hand lotion of " in row.detail and "\u00a0late" in row.label for row in pilot.page.rows_shown
    )
    pilot.press("Back")
    assert "Make a batch" in pilot.presses(), "the bench again"
