"""On disk before the prompt moves: what cannot be written has not happened."""

from __future__ import annotations

from benchapp.events import DeviceFacts
from benchapp.record.errors import JournalUnavailable
from benchapp.session import begin


def test_a_press_that_cannot_be_written_changes_nothing(journal, lotion, mocker):
    """A full disk, played by the journal itself: nobody can fill one here in a test."""
    scale = DeviceFacts("big", "scale", ("mass",), 0.1, 3000.0)
    session = begin(journal, lotion, 500.0, [scale], "Mara Lind", "b1", lambda: 10.0)
    before = session.moment()
    full = mocker.patch.object(
        journal, "append", side_effect=JournalUnavailable("The disk is full; make room.")
    )
    session.press(before.prompt, "understood")
    stopped = session.moment()
    assert (stopped.prompt, stopped.trouble.text) == (before.prompt, "The disk is full; make room.")
    mocker.stop(full)
    session.press(before.prompt, "understood")
    assert session.moment().prompt != before.prompt
