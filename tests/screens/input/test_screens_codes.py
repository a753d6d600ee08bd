"""A barcode reader is told from a hand by its pace. Its keys are the window's own; no reader was at hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.make.inputs import Scanned
from benchapp.screens.input.code_reader import LONGEST, SHORTEST, CodeReader

CODES = st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=SHORTEST, max_size=LONGEST)


def typed(code: str, apart_s: float, enter_after_s: float) -> str:
    reader, at_s = CodeReader(), 100.0
    for character in code:
        at_s += apart_s
        reader.character(at_s, character)
    return reader.enter(at_s + enter_after_s)


@given(code=CODES, apart_s=st.floats(0.0, 0.05), enter_after_s=st.floats(0.0, 0.05))
def test_whatever_a_reader_types_comes_out_whole(code, apart_s, enter_after_s):
    assert typed(code, apart_s, enter_after_s) == code


@given(code=CODES, frame_s=st.floats(0.01, 0.45), began_s=st.floats(0.0, 0.45))
def test_a_slow_glass_gets_a_code_whole_or_none(code, frame_s, began_s):
    """Keys are heard frame by frame: on an old tablet with longer pauses between two frames than a reader makes."""
    reader = CodeReader()
    heard = [math.ceil((began_s + 0.005 * n) / frame_s) * frame_s for n in range(len(code) + 1)]
    for at_s, character in zip(heard, code, strict=False):
        reader.character(at_s, character)
    assert reader.enter(heard[-1]) in ("", code)


@pytest.mark.parametrize("frame_s", [0.03, 0.07, 0.1])
def test_a_code_comes_out_whole_at_ten_frames_a_second(frame_s):
    reader, code = CodeReader(), "400638133393-W7-01"
    for n, character in enumerate(code):
        reader.character(math.ceil(0.005 * n / frame_s) * frame_s, character)
    assert reader.enter(math.ceil(0.005 * len(code) / frame_s) * frame_s) == code


def test_what_is_longer_than_any_code_is_none_and_no_beginning_of_it():
    assert typed("7" * (LONGEST + 1), 0.005, 0.005) == ""
    assert typed("7" * 5000, 0.005, 0.005) == ""


@given(code=CODES, apart_s=st.floats(0.08, 2.0))
def test_what_a_hand_types_is_no_code(code, apart_s):
    assert typed(code, apart_s, 0.01) == ""


def test_a_slip_of_the_hand_before_it_is_not_part_of_it():
    reader = CodeReader()
    reader.character(1.0, "x")
    for n, character in enumerate("4006381"):
        reader.character(2.0 + 0.01 * n, character)
    assert reader.enter(2.08) == "4006381"
    assert reader.enter(2.09) == "", "said once"


@pytest.mark.usefixtures("window")
def test_keys_of_the_window_reach_the_make_with_the_prompt_they_were_meant_for(make_rehearsal, lotion):
    from kivy.core.window import Keyboard, Window
    from laid_out import Nobody

    from benchapp.runtime.settings import Preferences
    from benchapp.screens.display.sizes import PANELS
    from benchapp.screens.input.code_keys import CodeKeys
    from benchapp.screens.make.make_controller import MakeController
    from benchapp.screens.navigator import Navigator

    scanned = []

    class Session:
        def clock(self):
            return 7.0

        def put(self, given):
            assert isinstance(given, Scanned)
            scanned.append((given.prompt, given.code))

    class Loop:
        rehearsing = False

        def do(self, act):
            act(Session())

    rehearsal = make_rehearsal(lotion)
    view = rehearsal.session.view()
    while not view.act_view.want or view.act_view.want.verb != "fetch":
        view = rehearsal.step()
        said = rehearsal.answers.at(view)
        if said is not None:
            rehearsal.session.put(said.given(rehearsal.session.clock(), view.prompt))
    make = MakeController(Navigator(PANELS[0], Preferences(), Nobody), 0.0)
    make.loop = Loop()
    make.show()
    make.screen().show(view)
    keys = CodeKeys(make.scanned, lambda: 5.0)
    for character in "W7-01":
        Window.dispatch("on_key_down", ord(character.lower()), 0, character, [])
    Window.dispatch("on_key_down", Keyboard.keycodes["enter"], 0, None, [])
    keys.let_go()
    assert scanned == [(view.prompt, "W7-01")]
