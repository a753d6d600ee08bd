"""*Stop* is there at every moment of a make, while a press is held too."""

from __future__ import annotations

import pytest
from laid_out import CASES, NAMES, Nobody

from benchapp.screens.display.sizes import PANELS, Sizes


def _stop_of(screen):
    """The press, if it can be seen and reached: drawn, on the glass, and under nothing."""
    stop = next((x for x in screen.buttons if x.label == "Stop"), None)
    if stop is None or not stop.opacity or stop.y < 0 or stop.right > screen.width:
        return None
    over = (
        () if screen.bar is None else (screen.bar, *(x for x in screen.bar.children if hasattr(x, "words")))
    )
    return None if any(x.collide_widget(stop) for x in over) else stop


#: Both hands in large letters, which leave the least room; in normal ones the left hand by hand.
HANDS = [
    pytest.param(
        panel, large, left, id=f"{name} {hand}", marks=[pytest.mark.by_hand] if left and not large else []
    )
    for (panel, large), name in zip(CASES, NAMES, strict=True)
    for left, hand in ((False, "right hand"), (True, "left hand"))
]


@pytest.mark.parametrize(("panel", "large", "left_handed"), HANDS)
def test_stop_is_there_whatever_is_asked_and_while_any_press_of_it_is_held(
    window, views, panel, large, left_handed
):
    from benchapp.screens.make.make_screen import MakeScreen

    screen = MakeScreen(Sizes.of(panel, large), Nobody(), left_handed)
    held, gone = 0, []
    for name, view in views:
        if view.over:
            continue
        screen.show(view)
        if _stop_of(screen) is None:
            gone.append(name)
        labels = {c.label for c in view.act_view.choices}
        for press in [x for x in screen.buttons if x.label in labels]:
            for place in (
                (press.x + 4, press.center_y),
                tuple(press.center),
                (press.right - 4, press.center_y),
            ):
                screen._touched = place
                screen.confirm(press.label, lambda: None)
                screen.bar.fill(0.5)
                held += 1
                if _stop_of(screen) is None:
                    gone.append(f"{name}: {press.label} held at {place}")
                screen.cancel_confirm()
    assert held > 100
    assert not gone, f"{len(gone)} of {held}: {gone[:8]}"


@pytest.mark.parametrize("panel", PANELS, ids=lambda p: p.name)
def test_the_best_way_out_of_too_much_is_called_so_on_every_glass(window, views, panel):
    from benchapp.screens.make.make_screen import MakeScreen
    from benchapp.screens.make.remedy_press import RemedyPress

    screen = MakeScreen(Sizes.of(panel), Nobody())
    choosing = [view for name, view in views if name.endswith("to be made good")]
    assert len(choosing) == 2
    for view in choosing:
        screen.show(view)
        ways = [x for x in screen.buttons if isinstance(x, RemedyPress)]
        called = [x for x in ways if x.figure.parent is x and x.figure.text.startswith("best")]
        assert [x.label for x in called] == [view.act_view.choices[0].label]
        (best,) = called
        assert best.figure.right <= best.right
        assert (
            best.figure.y >= best.caption.top - 0.2 * best.caption.font_size or best.figure.x > best.caption.x
        )
        others = [x for x in screen.buttons if x is not best]
        assert not [x.label for x in others if x.collide_widget(best.figure)]
