"""How much guidance the glass gives: the words beside the instruction differ, and nothing else does."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from laid_out import Nobody, lay_out, words_in
from seen import overlap

from benchapp.make.guidance import coaching
from benchapp.make.guidance_levels import LEVELS
from benchapp.make.view_model import ActView, CautionNotice, Want
from benchapp.make.vocabulary import Verb
from benchapp.runtime.settings import Preferences, keep_preferences, preferences_in
from benchapp.screens.display.sizes import PANELS, Sizes

#: The most room and the least.
ENDS = ((PANELS[0], False), (PANELS[-1], True))


def on_glass(panel, large, level):
    from benchapp.screens.make.make_screen import MakeScreen

    return MakeScreen(Sizes.of(panel, large), Nobody(), guidance=level)


def warned_of(screen):
    """Every word of the cautions on the glass, page after page, and every press."""
    from benchapp.screens.widgets.button import TouchButton
    from benchapp.screens.widgets.text_label import TextLabel

    pages = []
    for _ in screen.pages.pages if screen.pages else ():
        pages.append([w.text for w in screen.pages.walk() if isinstance(w, TextLabel)])
        screen.pages.turn()
    strip = [
        (w.text, tuple(w.pos)) for w in screen.header.cautions.walk(restrict=True) if isinstance(w, TextLabel)
    ]
    return pages, strip, [w.label for w in screen.walk() if isinstance(w, TouchButton)]


@pytest.fixture(scope="session")
def some(window, views):
    """Every caution page, and of each kind of step the moment with the most to say."""
    kept = {n: m for n, m in views if m.act_view.cautions}
    longest = {}
    for name, m in views:
        if m.step_kind not in longest or words_in(m) > words_in(longest[m.step_kind][1]):
            longest[m.step_kind] = (name, m)
    return [*(kept | dict(longest.values())).items()]


@pytest.mark.parametrize(("panel", "large"), ENDS, ids=["the largest", "the smallest"])
def test_cautions_and_presses_are_the_same_at_every_level(some, panel, large):
    screens = [on_glass(panel, large, level) for level in LEVELS]
    warned = 0
    for name, view in some:
        for screen in screens:
            screen.show(view)
        full, normal, brief = (warned_of(screen) for screen in screens)
        assert full == normal == brief, name
        warned += bool(view.cautions or view.act_view.cautions)
    assert warned > 10


def test_full_says_why_and_brief_says_nothing_beside_the_instruction(some):
    full, brief = (on_glass(PANELS[0], False, level) for level in ("full", "brief"))
    said = 0
    for _, view in some:
        full.show(view)
        brief.show(view)
        assert full.view is brief.view is view  # what a press is meant for is the moment itself
        if view.trouble is None and not view.act_view.cautions:
            assert brief.work.text.note.text == ""
            said += full.work.text.coach.text.startswith("Why: ")
    assert said > 10


def test_what_has_no_room_is_left_out_from_the_end_and_stands_in_more(some):
    """On the smallest panel with the largest text."""
    screen = on_glass(PANELS[-1], True, "full")
    for name, view in some:
        screen.show(view)
        if view.act_view.cautions:
            continue
        wanted = "\n".join(screen.sizes.figures.text(text) for text in coaching(view, "full"))
        assert wanted.startswith(screen.work.text.coach.text), name
        screen.show_details()
        told = {line.name: line.text for page in screen.overlay.pages for line in page}
        assert told["Why"], name
        screen.close_overlay()


@pytest.mark.parametrize(("panel", "large"), ENDS, ids=["the largest", "the smallest"])
def test_full_guidance_lies_over_nothing(some, panel, large):
    screen = on_glass(panel, large, "full")
    for name, view in some:
        laid = lay_out(screen, name, view, False)
        boxes = [*laid.texts, *(box for box, _ in laid.buttons), *([laid.drawing] if laid.drawing else [])]
        for one, other in itertools.combinations(boxes, 2):
            assert not overlap(one, other), (name, one.words, other.words)
        assert all(t.y >= -0.5 and t.top <= panel.height + 0.5 and not t.broken for t in laid.texts), name


@pytest.mark.parametrize("level", LEVELS)
def test_what_has_just_happened_is_told_at_every_level(some, level):
    slipped = "The bottle slips: far more runs in than you wanted."
    screen = on_glass(PANELS[-1], True, level)
    weighing = next(m for _, m in some if m.step_kind == "weigh" and not m.act_view.cautions)
    screen.show(replace(weighing, act_view=replace(weighing.act_view, news=slipped)))
    assert screen.work.text.why.text.startswith(slipped)
    screen.show_details()
    assert slipped in [line.text for page in screen.overlay.pages for line in page], (
        "what has no room is told there"
    )


def test_the_level_is_kept_and_a_level_nobody_knows_is_not_taken(tmp_path):
    keep_preferences(tmp_path, Preferences(guidance="full"))
    assert preferences_in(tmp_path).guidance == "full"
    (tmp_path / "preferences.json").write_text('{"guidance": "endless", "comma": true}')
    assert preferences_in(tmp_path) == Preferences(comma=True)


@pytest.mark.usefixtures("window")
def test_each_press_in_the_settings_is_another_level_of_the_make_that_follows(tmp_path, pilot):
    pilot.press("Settings")
    pilot.press("Guidance")
    pilot.press("Guidance")
    assert pilot.figures()["Guidance"] == "full"
    assert preferences_in(tmp_path).guidance == "full"
    pilot.press("Back")
    pilot.begin()
    assert pilot.page.work.text.guidance == "full"


def test_what_bites_is_named_with_what_to_do_and_only_what_is_in_hand(window):
    from benchapp.screens.make.caution_pages import named

    def notice(sign, *of, also=()):
        return CautionNotice("k", "Danger", "chemical", sign, "", "", (), True, of, also)

    lye, acid = notice("W023", "Lye", also=("M004", "M009")), notice("M004", "Acid")

    def ordered(order, verb=Verb.POUR):
        return ActView(order, want=Want(verb))

    assert named((lye, acid), ordered("")) == ["Corrosive, glasses on, gloves on: Lye", "Glasses on: Acid"]
    assert named((lye, acid), ordered("Weigh 2 g of Acid.")) == ["Glasses on, gloves on: Acid"], (
        "what the step wants worn"
    )
    assert named((acid, notice("M004", "Blend")), ordered("")) == ["Glasses on: Acid, Blend"]
    assert named((notice("W017"),), ordered("")) == []
    spirit = notice("W021", "Spirit")
    assert named((spirit,), ordered("Heat it.")) == ["Fire risk, keep it away from heat: Spirit"]
    assert named((spirit,), ordered("Put Spirit away.")) == [], "the order says it"
