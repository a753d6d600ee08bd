"""Whatever is pressed, on whatever page: the glass never breaks and never leaves a maker with nothing to press."""

from __future__ import annotations

from random import Random

import pytest

#: A press that listens on every port of the machine the tests run on.
NOT_HERE = frozenset({"Find devices"})
#: Frames within which a page that is being fetched has come.
FRAMES = 200
#: So many presses in a row inside one make, then back to the bench.
STAY = 40


@pytest.mark.usefixtures("window")
@pytest.mark.parametrize(
    ("seed", "presses"), [(1, 90), *(pytest.param(s, 600, marks=pytest.mark.by_hand) for s in (2, 3, 4))]
)
def test_whatever_is_pressed(seed, presses, journal, tmp_path):
    from pilot import HELD_S, Pilot

    pilot, chance = Pilot(journal, folder=tmp_path), Random(seed)
    pages = set()
    for n in range(presses):
        shown = offered(pilot)
        page = type(pilot.page).__name__
        pages.add(page)
        if page == "MakeScreen" and n % STAY == 0:
            pilot.app.bench.home()
            pilot.arrive()
            continue
        pilot.touch(*shown[chance.choice(sorted(shown))].center)
        pilot.arrive()
        if pilot.bar is not None and chance.random() < 0.8:
            pilot.touch(*pilot.bar.center, HELD_S)
            pilot.arrive()
        runner = getattr(pilot.shop, "runner", None)
        if runner is not None:
            runner.go_on()
    assert "HomePage" in pages
    assert len(pages) > 3, pages
    pilot.close()


def offered(pilot):
    """What may be pressed here; there is always something."""
    for _ in range(FRAMES):
        shown = {words: press for words, press in pilot.presses().items() if words not in NOT_HERE}
        if shown:
            return shown
        pilot.frame()
    pytest.fail(f"nothing to press on {type(pilot.page).__name__}")
