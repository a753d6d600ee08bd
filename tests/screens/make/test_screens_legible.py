"""The moments of two makes, laid out at four panel sizes and two text sizes, held to eyes and hands: a small glass may say a
reason run on or smaller, but drops none in silence."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

from kivy.graphics import Color
from laid_out import Nobody
from seen import counts_down, far_enough, plain, seen_arcmin

from benchapp.calculations.until_done import UntilDone
from benchapp.foundation.language import translated
from benchapp.make.next_move import MOST_WORDS
from benchapp.make.pictures import (
    CoolPicture,
)
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from benchapp.make.waits import about, forecast
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import short_forecast, to_go_of
from benchapp.screens.display.sizes import SMALL_ARCMIN, TEN_INCH, Sizes
from benchapp.screens.widgets.text_label import TextLabel


def test_instructions_are_22_arcmin_at_one_metre(laid):
    small = [
        x.name
        for x in laid
        if not (x.view.act_view.cautions or x.view.act_view.struck)
        and seen_arcmin(x.instruction_font, x.panel, 1.0) < 22
    ]
    assert not small


def test_every_wait_with_a_forecast_says_how_long_at_a_glance(laid):
    waits = [x for x in laid if x.view.act_view.forecast is not None and not counts_down(x)]
    assert waits
    for x in waits:
        minutes = [t for t in x.texts if t.words == about(x.view.act_view.forecast)]
        if x.large and x.panel.height == 480:  # the largest text on the smallest glass: in words
            known = (forecast(x.view.act_view.forecast), short_forecast(x.view.act_view.forecast))
            minutes += [t for t in x.texts if t.words in known]
            assert minutes, x.name
        else:
            assert any(far_enough(t, x.panel, 20) for t in minutes), x.name


def test_what_is_still_to_go_is_read_at_a_glance(laid):
    below = [x for x in laid if x.view.act_view.too_much is None]  # else STOP says how much
    shown = [(x, live) for x in below for live in x.view.act_view.live if live.to_go is not None]
    assert len(shown) > 10
    for x, live in shown:
        number, words = to_go_of(live)
        large = [t for t in x.texts if plain(t.words) == number and far_enough(t, x.panel, 20)]
        assert large, (x.name, number)
        assert any(plain(words).endswith(plain(t.words)) for t in x.texts if t.words), (x.name, words)


def test_the_next_move_is_read_at_a_glance(laid):
    """As words of its own on ten inches; on seven the order itself is as large from where one works there."""
    moving = [x for x in laid if x.view.act_view.move and not x.view.act_view.cautions]
    moving = [x for x in moving if x.view.act_view.too_much is None]  # STOP is the move
    assert len(moving) > 10
    alone = 0
    for x in moving:
        assert len(translated(x.view.act_view.move).split()) <= MOST_WORDS, x.view.act_view.move
        order = seen_arcmin(x.instruction_font, x.panel, x.panel.work_m) >= 20
        shown = any(
            t.words == translated(x.view.act_view.move) and far_enough(t, x.panel, 20) for t in x.texts
        )
        alone += shown and not order
        # A reason, a wait beside or a countdown may take its room: each says itself what the hands do. So may, for the seconds
        # in which it is said, what has happened in a rehearsal: it is what has to be noticed.
        crowded = (
            x.large
            or bool(x.effects)
            or bool(x.view.act_view.not_yet)
            or bool(x.view.act_view.news)
            or x.view.meanwhile is not None
            or x.view.act_view.taking is not None
        )
        assert order or shown or crowded or x.view.act_view.picture is None, x.name
    assert alone or moving[0].panel.work_m < 2


def test_what_is_worn_for_a_pouring_stands_above_what_is_poured(laid):
    """It comes first. Once it is poured, beside a wait that calls, and in the largest letters its sign alone may stay."""
    from benchapp.screens.make.caution_pages import named

    seen = 0
    for x in laid:
        f, worn = x.view.act_view, "\n".join(named(x.view.cautions, x.view.act_view))
        pours = f.want is not None and f.want.verb == Verb.POUR and f.too_much is None and f.live
        calls = x.view.meanwhile is not None and x.view.meanwhile.calls
        if not worn or not pours or f.halts or f.taking is not None or calls or x.large:
            continue
        (line,) = [t for t in x.texts if plain(t.words) == plain(worn)]
        (grams,) = [
            t for t in x.texts if plain(t.words) == plain(f"{f.live[0].value:.{f.live[0].decimals}f}")
        ][:1]
        assert line.y >= grams.y or x.panel.work_m < 2, x.name
        seen += 1
    assert seen or laid[0].large


def test_buttons_and_reasons_are_ten_arcmin_from_where_one_works(laid):
    from benchapp.screens.make.work_place import RULES

    for x in laid:
        for box, _ in x.buttons:
            assert far_enough(box, x.panel, 10), (x.name, box.words)
        beside = x.drawing is not None and not isinstance(x.view.act_view.picture, RULES)
        for why in x.view.act_view.not_yet:
            shown = [t for t in x.texts if plain(why) in plain(t.words)]
            crowded = x.panel.height == 480 and x.view.meanwhile is not None
            assert beside or crowded or x.large or all(far_enough(t, x.panel, 10) for t in shown), (
                x.name,
                why,
            )


def test_live_readings_are_22_arcmin_across_the_bench(laid):
    measured = [(x, font) for x in laid for font, source in x.reading_fonts if source == "measured"]
    assert len(measured) > 15
    for x, font in measured:
        assert seen_arcmin(font, x.panel, x.panel.reading_m) >= 22.0, x.name


def test_no_text_is_smaller_than_16_arcmin_at_arms_length(laid):
    for x in laid:
        for text in x.texts:
            assert seen_arcmin(text.font, x.panel, 0.55) >= SMALL_ARCMIN - 0.01, (x.name, text.words)


def test_every_action_is_large_enough_and_apart(laid):
    for x in laid:
        least, gap = x.panel.action_mm * x.panel.px_per_mm, 2.0 * x.panel.px_per_mm
        boxes = [box for box, _ in x.buttons]
        assert boxes, x.name
        for box in boxes:
            assert min(box.right - box.x, box.top - box.y) >= least, (x.name, box.words)
            assert box.x >= 0, (x.name, box.words)
            assert box.right <= x.panel.width + 0.5, (x.name, box.words)
        for one, other in itertools.combinations(boxes, 2):
            apart = max(other.x - one.right, one.x - other.right, other.y - one.top, one.y - other.top)
            assert apart >= gap - 0.5, (x.name, one.words, other.words)


def test_presses_on_the_sheets_of_a_view_are_large_and_apart(laid):
    for x in laid:
        least, gap = x.panel.action_mm * x.panel.px_per_mm, 2.0 * x.panel.px_per_mm
        for sheet, boxes in x.sheets:
            presses = [box for box, press, _ in boxes if press]
            assert presses, (x.name, sheet)
            for p in presses:
                assert min(p.right - p.x, p.top - p.y) >= least - 0.5, (x.name, sheet, p.words)
            for one, other in itertools.combinations(presses, 2):
                apart = max(other.x - one.right, one.x - other.right, other.y - one.top, one.y - other.top)
                assert apart >= gap - 0.5, (x.name, sheet, one.words, other.words)


#: What a filled press may mean: going on with the make.
GOES_ON = frozenset((
    ChoiceKey.YES, ChoiceKey.UNDERSTOOD, ChoiceKey.START, ChoiceKey.SIGN, ChoiceKey.IT_IS, ChoiceKey.RESUME,
    ChoiceKey.PAN_IS_EMPTY, ChoiceKey.SEEN_TO, ChoiceKey.MOVED, ChoiceKey.TAKE, ChoiceKey.ENOUGH, ChoiceKey.AHEAD, ChoiceKey.BACK,
))  # fmt: skip


def test_a_filled_press_goes_on_and_lies_under_the_working_hand(laid):
    found = 0
    for x in laid:
        filled = [box for (box, _), kind in zip(x.buttons, x.kinds, strict=True) if kind == "main"]
        assert len(filled) <= 1, x.name
        for box in filled:
            found += 1
            keys = {c.key for c in x.view.act_view.choices if box.words == c.label}
            typed = (
                x.view.act_view.ask and box.words == x.view.act_view.ask.press and x.view.act_view.ask.usual
            )
            assert typed or keys <= GOES_ON, (x.name, box.words, keys)
            pad = 2.0 * x.panel.px_per_mm
            assert box.right > x.panel.width - pad - 2, (x.name, box.words)
            assert box.y < pad + 2, (x.name, box.words)
    assert found > 15


def test_past_the_band_says_stop_and_how_much_at_a_glance(laid):
    over = [x for x in laid if x.view.act_view.too_much is not None]
    assert len(over) == 4
    for x in over:
        poured = x.view.act_view.stage == Stage.REMEDY  # and nothing is left to stop
        said = r"3\.\d+ g too much" if poured else r"STOP   \+3\.\d+ g"
        stop = [t for t in x.texts if re.fullmatch(said, t.words)]
        assert stop, (x.name, said)
        assert poured != any(t.words.startswith("STOP") for t in x.texts), x.name
        assert far_enough(stop[0], x.panel, 20), x.name
        assert all(t.y <= stop[0].y or t.top > stop[0].top for t in x.texts), x.name


def test_while_something_slips_the_order_to_stop_stands_over_everything_and_nothing_invites_on(laid):
    slipped = [x for x in laid if x.view.act_view.struck]
    assert len(slipped) == 2  # one of each make
    for x in slipped:
        (stop,) = [t for t in x.texts if t.words == translated("Stop pouring")]
        assert far_enough(stop, x.panel, 20), x.name
        news = plain(translated(x.view.act_view.news))
        assert stop.y > max(t.top for t in x.texts if plain(t.words).startswith(news)), x.name
        assert x.drawing is None, x.name
        assert not {"It ran out", "Type the weight", "g to go", "good"} & {
            t.words for t in (*x.texts, *(b for b, _ in x.buttons))
        }, x.name


def test_where_a_wait_calls_on_ten_inches_the_limits_of_what_is_poured_stand_there_to_end_it(laid):
    """What is worn gives way to them: its signs stand over it."""
    calling = [x for x in laid if x.name.endswith("that calls") and not x.large and x.panel.work_m >= 2]
    for x in calling:
        if x.view.act_view.live and x.view.act_view.live[0].unit == "g":
            assert x.drawing is not None, x.name


def test_remedies_are_rows_with_what_they_do_and_accepting_stands_apart(laid):
    for x in laid:
        if "to be made good" not in x.name:
            continue
        rows = {
            box.words: box for box, _ in x.buttons if box.words in {c.label for c in x.view.act_view.choices}
        }
        first, second, last = (rows[c.label] for c in x.view.act_view.choices)
        if x.panel.work_m < 2 or (
            x.large and not x.effects
        ):  # seven inches: beside each other, what they do stands in the reasons
            assert first.y > last.y or first.x < second.x < last.x, x.name
            continue
        assert first.y > second.y > last.y, x.name
        assert second.y - last.top > 1.5 * (first.y - second.top), x.name
        assert all(any(e.words == c.effect for e in x.effects) for c in x.view.act_view.choices), x.name


def test_what_cools_as_it_should_has_nothing_red(window, views):
    from benchapp.screens.make.make_screen import MakeScreen

    screen = MakeScreen(Sizes.of(TEN_INCH), Nobody())

    def red(view):
        screen.show(view)
        shown = [w for w in screen.walk() if w not in screen.buttons and w.parent not in screen.buttons]
        words = [w for w in shown if isinstance(w, TextLabel) and w.text]
        drawn = [
            c for w in shown for c in (*w.canvas.before.children, *w.canvas.children) if isinstance(c, Color)
        ]
        return any(tuple(c.rgb) == d.CORAL for c in drawn) or any(
            tuple(w.color[:3]) == d.CORAL for w in words
        )

    cooling = [view for _, view in views if isinstance(view.act_view.picture, CoolPicture)]
    assert len(cooling) > 3
    assert not any(red(view) for view in cooling)
    assert any(red(view) for name, view in views if "past the band" in name)


def test_the_line_of_time_says_which_step_it_is_and_how_much_waiting_is_left(laid):
    from benchapp.make.waits import still_to_come

    seen = 0
    for x in laid:
        m = x.view
        words = [t.words for t in x.texts]
        told = m.meanwhile is not None and not any(f"{m.step_number}/{m.step_count}" in w for w in words)
        if m.act_view.too_much is not None or m.act_view.struck or m.over or (told and x.large):
            continue  # something else stands there
        assert any(w.endswith(f"{m.step_number}/{m.step_count}") for w in words), x.name
        said = still_to_come(m)
        if m.act_view.forecast is not None:  # it is itself a wait, and one wait has one time
            assert said not in words, x.name
        elif said:
            seen += 1
            assert said in words, (x.name, said)
    assert seen > 20


def test_the_head_says_how_it_knows_what_is_left_and_more_by_how_many_makes(views):
    from benchapp.make.waits import still_to_come
    from benchapp.screens.make.detail_sheet import _lines_of

    def to_come(view):
        return next(line.text for line in _lines_of(view) if line.name == "To come")

    lotion = next(view for name, view in views if name.startswith("oat") and view.step_kind == "weigh")
    assert re.fullmatch(r"2 h \d\d–3 h \d\d more", still_to_come(lotion))
    assert re.fullmatch(r"About .* more, by the last 4 makes like this\.", to_come(lotion))
    once = replace(lotion, until_done=UntilDone(2400.0, 2400.0, 2400.0, 1))
    assert still_to_come(once) == "last time: 40 min more"
    assert to_come(once).startswith("About 40\u00a0min more, by the one make like this.")
    assert still_to_come(replace(lotion, until_done=UntilDone(0.0, 20.0, 50.0, 3))) == "", "as good as done"
    never = next(view for name, view in views if name.startswith("driftwood") and view.step_kind == "weigh")
    assert re.fullmatch(r"at least \d+ min more", still_to_come(never)), "nobody made it before"
