"""Text for the ear: numbers and units as they are said, the instruction of a moment once, and only while it is true."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.make.view_model import ENOUGH, ActView, CautionNotice, Detail, LiveValue, Trouble, ViewModel
from benchapp.make.vocabulary import TroubleKind
from benchapp.voice.prompts import LONGEST, Prompts, key_of, utterance_of
from benchapp.voice.spoken import shape, spoken


def view(instruction="Pour 376.0 g of Water into the water pot.", prompt="02-weigh/pour#4", **more):
    act_view = {k: more.pop(k) for k in ("live", "cautions", "picture", "choices", "move") if k in more}
    return ViewModel(
        at_s=more.pop("at_s", 10.0), batch="b", procedure="p", prompt=prompt, step_key="02-weigh", step_kind="weigh",
        step_title="Weigh", step_number=2, step_count=9, progress=0.1, act_view=ActView(instruction, **act_view), detail=Detail(),
        next_up="", cautions=(), trouble=more.pop("trouble", None), deviations=0, last=more.pop("last", ""), **more,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Pour 376.0 g of Water.", "Pour 376 grams of Water."),
        ("Weigh 2.50 g of it.", "Weigh 2.5 grams of it."),
        ("Pour 1 g of Gum.", "Pour 1 gram of Gum."),
        ("Heat to 70–75 °C.", "Heat to 70 to 75 degrees Celsius."),
        ("Stir until it is below 40 °C.", "Stir until it is below 40 degrees Celsius."),
        ("pH 6.20 is outside 5–5.8.", "p H 6.2 is outside 5 to 5.8."),
        ("Blend 3 × 30 s", "Blend 3 times 30 seconds"),
        ("Keep it there for 10 min.", "Keep it there for 10 minutes."),
        ("The two are 4.0 K apart.", "The two are 4 degrees apart."),
        ("Wet them with 70 % isopropyl alcohol.", "Wet them with 70 percent isopropyl alcohol."),
        ("Density 0.970 g/ml", "Density 0.97 grams per millilitre"),
        ("Put 12\u00a0g of it in.", "Put 12 grams of it in."),
        ("Step 2 is over at 10 gums.", "Step 2 is over at 10 gums."),
        ("Lot LTB-0100 of 2000 g", "Lot LTB-0100 of 2000 grams"),
    ],
)
def test_numbers_and_units_are_said_as_words(written, said):
    assert spoken(written) == said


@given(st.text(max_size=80))
def test_whatever_stands_there_can_be_said(text):
    assert isinstance(spoken(text), str)
    assert isinstance(shape(text), str)


@given(st.decimals(min_value=0, max_value=5000, places=2))
def test_the_number_that_is_said_is_the_number_that_is_written(grams):
    said = spoken(f"Pour {grams} g of Water.").split()[1]
    assert float(said) == float(grams)


def test_an_instruction_is_said_once():
    prompts = Prompts()
    assert prompts.next(view()).text == "Pour 376 grams of Water into the water pot."
    assert prompts.next(view(live=(LiveValue("Water", 12.0, "g", 1, "measured", ""),))) is None


def test_running_numbers_are_no_news():
    prompts = Prompts()
    assert prompts.next(view("Take out 3.2 g of Water. It is waste now.")) is not None
    assert prompts.next(view("Take out 2.9 g of Water. It is waste now.")) is None


def test_stop_is_urgent():
    prompts = Prompts()
    prompts.next(view())
    said = prompts.next(view("Enough Oat oil: stop pouring.", move=ENOUGH))
    assert said.urgent
    assert said.text.startswith("Enough Oat oil:")


def test_the_same_words_at_another_prompt_are_said_again():
    prompts = Prompts()
    assert prompts.next(view("Put it back.", prompt="a#1")) is not None
    assert prompts.next(view("Put it back.", prompt="a#2")) is not None


def test_an_alarm_comes_first_and_cuts_in():
    said = utterance_of(view(trouble=Trouble(TroubleKind.ALARM, "Alarm", "…")))
    assert said.urgent
    assert said.text.startswith("Alarm. ")
    assert said.key != key_of(view())


def test_a_caution_is_said_with_its_signal_word():
    fire = CautionNotice(
        "fire", "WARNING", "physical", "W021", "Something flammable is on the bench.", "", (), True
    )
    said = utterance_of(view("Before you start, read this.", cautions=(fire,)))
    assert said.text == "Warning. Something flammable is on the bench. Before you start, read this."


def test_nothing_is_longer_than_anybody_listens():
    text = " ".join(f"Sentence number {n} of many that go on." for n in range(20))
    assert len(utterance_of(view(text)).text) <= LONGEST + 1
