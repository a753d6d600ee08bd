"""A foot switch on a terminal: the bytes of its key on a real pty, and what the panel makes of them."""

from __future__ import annotations

import os
import sys

import pytest

from benchapp import events as ev
from benchapp.calculations.pedal import QUIET_S, RepeatedPedal
from benchapp.make.inputs import Press
from benchapp.terminal.guide import _foot
from benchapp.terminal.keys import Keys

pytestmark = pytest.mark.skipif(os.name != "posix", reason="ptys are POSIX")
PAGE_DOWN, F13, UP = b"\x1b[6~", b"\x1b[25~", b"\x1b[A"


@pytest.fixture
def keyboard(monkeypatch):
    """A keyboard's end of a real pty, and the keys read from the other."""
    import pty

    from benchapp.terminal.keys import raw_keys

    master, slave = pty.openpty()
    with os.fdopen(slave) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        with raw_keys() as keys:
            yield master, keys
    os.close(master)


@pytest.mark.parametrize("key", [PAGE_DOWN, F13])
def test_the_key_of_a_foot_switch_is_heard_and_is_no_text(keyboard, key):
    master, keys = keyboard
    os.write(master, b"hol" + key + b"d\n")
    assert keys.next(2.0) == "hold"
    assert keys.pedal


def test_another_key_that_is_no_character_is_dropped(keyboard):
    master, keys = keyboard
    os.write(master, UP + b"yes\n")
    assert keys.next(2.0) == "yes"
    assert not keys.pedal


def test_a_press_says_yes_a_second_after_it_was_last_heard(make_rehearsal, lotion):
    session = make_rehearsal(lotion).session
    session.put(Press(session.clock(), session.view().prompt, "understood"))
    prompt, pedal, keys = session.view().prompt, RepeatedPedal(), Keys()
    keys.pedal = True
    _foot(session, pedal, keys, prompt, 10.0)
    _foot(session, pedal, keys, prompt, 10.0 + QUIET_S - 0.01)
    assert session.view().prompt == prompt
    _foot(session, pedal, keys, prompt, 10.0 + QUIET_S)
    (said,) = [e for e in session.make.state.log if isinstance(e, ev.Confirmed)]
    assert said.how == "pedal"


def test_held_it_reads_the_caution(make_rehearsal, lotion):
    session = make_rehearsal(lotion).session
    prompt, pedal, keys = session.view().prompt, RepeatedPedal(), Keys()
    for tenth in range(25):
        keys.pedal = True
        _foot(session, pedal, keys, prompt, tenth / 10)
    said = [e for e in session.make.state.log if isinstance(e, ev.CautionAcknowledged)]
    assert {e.how for e in said} == {"pedal"}
