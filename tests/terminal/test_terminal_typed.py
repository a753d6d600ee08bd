"""What a typed line means: a press, a value, or one clear sentence why not."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.make.inputs import Hold, Resume
from benchapp.make.view_model import ActView, Choice, Detail, Meanwhile, NumberRequest, ViewModel, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from benchapp.make.waits import wait
from benchapp.rehearsal.runner import RehearsalRunner
from benchapp.terminal.announcements import Announcements
from benchapp.terminal.guide import Sure, _answer_late, _obey, fits
from benchapp.terminal.typed import NotUnderstood, ParsedAnswer, understand
from benchapp.terminal.words import call_line, choice_line, clean, offer_lines, offered_words

PH = NumberRequest("pH", "pH", 0.0, 14.0, 2, usual=True)
FACE = ActView(
    "Read the pH and type it.", choices=(Choice(ChoiceKey.AGAIN, "Measure again"), Choice(ChoiceKey.ACCEPT, "Accept it", reason=True)),
    ask=PH,
)  # fmt: skip
MOMENT = ViewModel(
    0.0, "b", "lotion", "s/a#1", "s", "measure ph", "pH", 1, 2, 0.5, FACE, Detail(), "", (), None, 0, ""
)


def test_enter_where_it_says_nothing_names_what_can_be_said():
    read = Choice(ChoiceKey.UNDERSTOOD, "I have read it", serious=True)
    serious = dataclasses.replace(MOMENT, act_view=ActView("Read this.", choices=(read,)))
    assert (
        _obey(Pressed(), "", serious)
        == "Enter alone says nothing here. Offered: understood (I have read it)."
    )


class Pressed:
    """A session to which nothing may be said."""


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", ParsedAnswer("press", "again")),
        ("again", ParsedAnswer("press", "again")),
        ("Measure again", ParsedAnswer("press", "again")),
        ("accept: skin feel is fine", ParsedAnswer("press", "accept", "skin feel is fine")),
        ("5.43", ParsedAnswer("type", value=5.43)),
        ("5,43", ParsedAnswer("type", value=5.43)),
        ("type: 5.4", ParsedAnswer("type", value=5.4)),
        ("hold", ParsedAnswer("hold")),
        ("skip: no meter today", ParsedAnswer("skip", reason="no meter today")),
        ("?", ParsedAnswer("help")),
    ],
)
def test_lines_that_mean_something(line, said):
    assert understand(line, MOMENT) == said


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("accept", "accept wants a reason"),
        ("15", "cannot be meant"),
        ("-1", "cannot be meant"),
        ("skip", "wants a reason"),
        ("nonsense", "is not offered here"),
        ("1.2.3", "is not offered here"),
        ("nan", "is not offered here"),
        ("1e400", "is not offered here"),
        ("١٢", "is not offered here"),
    ],
)
def test_lines_that_mean_nothing_get_one_sentence(line, sentence):
    with pytest.raises(NotUnderstood, match=sentence):
        understand(line, MOMENT)


@given(st.text(max_size=60))
def test_any_line_is_understood_or_refused(line):
    try:
        verb = understand(line, MOMENT).command
    except NotUnderstood:
        verb = "refused"
    assert verb in ("press", "type", "hold", "resume", "skip", "abandon", "more", "help", "refused")


def test_a_number_sent_ahead_is_not_taken_for_a_weight():
    pour = dataclasses.replace(PH, what="mass", usual=False)
    pouring = dataclasses.replace(MOMENT, act_view=dataclasses.replace(FACE, choices=(), ask=pour))
    assert not pouring.awaits_person
    assert not fits("5.43", pouring)
    assert fits("type: 5.43", pouring)
    assert fits("hold", pouring)


def test_nothing_that_steers_a_terminal_gets_through():
    assert clean("a\x1b[2Jb\x07c\n") == "a [2Jb c "


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, "0 s"), (75, "75 s"), (100, "2 min"), (3660, "1 h 01 min")]
)
def test_waits_are_said_as_a_person_would(seconds, words):
    assert wait(seconds) == words


FETCH = dataclasses.replace(
    MOMENT, act_view=ActView("Take glycerin.", choices=(Choice(ChoiceKey.YES, "It is lot G1"), Choice(ChoiceKey.LOT, "Lot G2", of="G2")), want=Want(Verb.FETCH, "glycerin"))
)  # fmt: skip


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("4006381333931", ParsedAnswer("scan", choice="4006381333931")),
        ("G2-2026/7", ParsedAnswer("scan", choice="G2-2026/7")),
        ("scan: G1", ParsedAnswer("scan", choice="G1")),
        ("lot:G2", ParsedAnswer("press", "lot:G2")),
        ("", ParsedAnswer("press", "yes")),
        ("take back", ParsedAnswer("take back")),
    ],
)
def test_a_code_is_a_lot_while_an_ingredient_is_fetched(line, said):
    assert understand(line, FETCH) == said


@pytest.mark.parametrize("line", ["type: -5", "skip", "abandon:", "accept less", "sign"])
def test_a_slip_in_what_can_be_said_now_is_answered_and_keeps_nothing_back(line):
    """Kept for later it would never fit, and hold would wait behind it."""
    less = Choice(ChoiceKey.ACCEPT_LESS, "It ran out", reason=True)
    weight = NumberRequest("weight", "g", 0.0, 3000.0, 1, usual=False)
    pouring = dataclasses.replace(
        MOMENT,
        act_view=ActView("Pour 282.0 g", choices=(less,), ask=weight, want=Want(Verb.POUR)),
    )
    assert not pouring.awaits_person
    with pytest.raises(NotUnderstood):
        understand(line, pouring)
    assert fits(line, pouring)
    assert not fits("yes", pouring), "what is for later still waits"


def test_a_code_sent_ahead_waits_for_the_ingredient_it_names():
    assert not fits("scan: G1", MOMENT)
    assert fits("scan: G1", FETCH)


def test_a_wait_that_calls_is_a_line_of_its_own():
    quiet = Meanwhile("Heat", (), None, "")
    assert call_line(MOMENT) == call_line(dataclasses.replace(MOMENT, meanwhile=quiet)) == ""
    calling = dataclasses.replace(quiet, calls="The oil pot is at 76.5 °C, too hot: turn its heat down now.")
    assert call_line(dataclasses.replace(MOMENT, meanwhile=calling)).startswith(
        "  ! The oil pot is at 76.5 °C"
    )


def test_what_may_be_said_only_by_now_is_offered_with_its_reason():
    act_view = dataclasses.replace(
        FACE, instruction="25.0 g came all at once. Take it?", not_yet=("If something lies there, take it off.",),
        choices=(*FACE.choices, Choice(ChoiceKey.TAKE, "Take it")),
    )  # fmt: skip
    told = FACE.instruction
    offered = offered_words(MOMENT)
    assert offer_lines(dataclasses.replace(MOMENT, act_view=act_view), offered, told) == [
        "  . 25.0 g came all at once. Take it?",
        "  . If something lies there, take it off.",
        "  > take = Take it",
    ]
    assert offer_lines(MOMENT, offered, told) == []
    objecting = dataclasses.replace(FACE, choices=(*FACE.choices, Choice(ChoiceKey.WAIT, "Not yet")))
    assert offer_lines(dataclasses.replace(MOMENT, act_view=objecting), offered, told) == []


def test_a_number_that_is_asked_for_only_by_now_is_asked_for_aloud():
    """What the pH is read with is asked once on a bench; the pH itself follows at the same prompt."""
    asked = dataclasses.replace(FACE, instruction="What do you read the pH with?", ask=None)
    number = NumberRequest("pH", "pH", 0.0, 14.0, 2, usual=True)
    then = dataclasses.replace(FACE, instruction="Read the pH and type it.", choices=(), ask=number)
    said: list[str] = []
    told = Announcements(said.append)
    told.tell(dataclasses.replace(MOMENT, act_view=asked))
    said.clear()
    for _ in range(2):
        told.tell(dataclasses.replace(MOMENT, act_view=then))
    assert said == ["  . Read the pH and type it.", "  > a number: pH"]


def test_what_wants_a_pin_is_offered_as_it_has_to_be_typed():
    sign = Choice(ChoiceKey.SIGN, "Sign as Mara Lind", sign="made as recorded")
    assert choice_line(sign) == "  > sign: NAME PIN = Sign as Mara Lind"


def test_a_hold_is_ended_by_whoever_asked_for_it(make_rehearsal, lotion):
    """A rehearsal that answers for itself does not say that the maker is back."""
    rehearsal = make_rehearsal(lotion)
    runner = RehearsalRunner(rehearsal, 0.0)
    rehearsal.session.put(Hold(rehearsal.session.clock(), "the telephone"))
    for _ in range(200):
        view = runner.beat()
        _answer_late(runner, view, 1000.0)
    assert view.act_view.stage == "held"
    rehearsal.session.put(Resume(rehearsal.session.clock()))
    assert runner.beat().act_view.stage != "held"


def test_what_is_offered_is_said_in_the_words_on_the_screen():
    with pytest.raises(
        NotUnderstood, match=r"Offered: again \(Measure again\), accept \(Accept it\), a number"
    ):
        understand("foo", MOMENT)


def test_what_leaves_a_step_out_is_asked_about_once_and_anew_in_another_step():
    sure = Sure()
    assert sure.ask("skip: no meter", MOMENT) == (
        'That leaves out the whole step "pH". Say it once more if it is meant.'
    )
    assert sure.ask("skip: no meter", MOMENT) == ""
    assert sure.ask("skip: no meter", dataclasses.replace(MOMENT, step_key="t")) != ""
    assert "gives the batch up" in sure.ask("abandon: spilt", MOMENT)
    assert sure.ask("again", MOMENT) == sure.ask("nonsense", MOMENT) == ""
