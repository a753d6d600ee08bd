"""A barcode reader is told from a hand by its pace. Its keys are the window's own; no reader was at hand."""

from __future__ import annotations

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
