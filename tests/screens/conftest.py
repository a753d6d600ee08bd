"""A real Kivy window without a display, fingers for it, and the moments of two makes to draw in it."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from benchapp.record.workshop import Workshop

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")

import pytest

from benchapp.screens.environment import tame

tame(Path(tempfile.mkdtemp(prefix="display-")))


from laid_out import CASES, NAMES, Nobody, lay_out, views_of, words_in  # noqa: E402

from benchapp.screens.display.sizes import Sizes  # noqa: E402


class Clock:
    """Time under the test's thumb."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture(scope="session")
def views(window, walked):
    """(name, moment) of the lotion and of the conditioner, one for each thing that is drawn otherwise."""
    return [
        (f"{name}: {key}", view)
        for name in ("oat-hand-lotion", "driftwood-conditioner")
        for key, view in views_of(walked(name)).items()
    ]


@pytest.fixture(scope="session")
def laid_before():
    """What was laid out already, by panel and text size: the next file of tests goes through all of them again."""
    return {}


@pytest.fixture(scope="session", params=CASES, ids=NAMES)
def laid(window, request, views, laid_before):
    """Every moment, laid out on one panel at one text size."""
    if request.param not in laid_before:
        laid_before[request.param] = _laid_out(views, *request.param)
    return laid_before[request.param]


def _laid_out(views, panel, large):
    from benchapp.screens.make.make_screen import MakeScreen

    screen = MakeScreen(Sizes.of(panel, large), Nobody())
    longest = {}
    for _, view in views:
        key = (view.procedure, view.step_key)
        if key not in longest or words_in(view) > words_in(longest[key]):
            longest[key] = view
    return [lay_out(screen, name, m, longest[m.procedure, m.step_key] is m) for name, m in views]


@pytest.fixture
def pilot(window, journal, tmp_path):
    """A maker with a finger, at the bench page."""
    from pilot import Pilot

    one = Pilot(journal, folder=tmp_path)
    yield one
    one.close()


@pytest.fixture
def glass(window, journal, tmp_path):
    """The pages without a window."""
    from page_glass import PageGlass

    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.service.bench_service import BenchService

    return PageGlass(BenchService(journal, None, "Mara Lind", folder=tmp_path), Sizes.of(PANELS[0], False))


@pytest.fixture
def enrolled(journal):
    """A releaser and a helper of the invented workshop."""
    from benchapp import events as ev
    from benchapp.record.pins import hashed

    shop = Workshop(journal)
    salt = b"0123456789abcdef"
    for who, roles in (("Mara Lind", ("maker", "releaser")), ("Jo Tern", ("helper",))):
        shop.add(ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=hashed("4826", lambda n: salt[:n]), by="Mara Lind"))  # fmt: skip
    return shop
