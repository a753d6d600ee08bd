"""A make on a pipe: what holds it up is said, what is left after an interruption, a word that came too early, no input."""

from __future__ import annotations

import dataclasses
import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchapp.make.inputs import Grams
from benchapp.make.pictures import TimerPicture, VesselPicture
from benchapp.make.view_model import Trouble
from benchapp.make.vocabulary import TroubleKind
from benchapp.terminal.announcements import Announcements
from benchapp.terminal.guide import KeptLine
from benchapp.terminal.words import left_of

sys.path.append(str(Path(__file__).parents[1] / "make"))
ENV = {k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "DISPLAY", "WAYLAND_DISPLAY")}
LOST = Trouble(TroubleKind.DEVICE_LOST, "Scale lost", "The big scale says nothing since 3 s.")


@pytest.fixture
def bench():
    """A make without ports, at its first weighing."""
    from bench_by_hand import Bench

    one = Bench()
    one.to("02-weigh")
    return one


@pytest.fixture
def view(bench):
    bench.at_the_first_pour()
    return dataclasses.replace(bench.view, at_s=0.0)


@pytest.fixture
def said():
    return []


@pytest.fixture
def told(said, view):
    """Announcements that have said the prompt already."""
    one = Announcements(said.append)
    one.tell(view)
    said.clear()
    return one


def later(view, seconds, **changes):
    return dataclasses.replace(view, at_s=view.at_s + seconds, **changes)


def with_act(view, **changes):
    return dataclasses.replace(view, act_view=dataclasses.replace(view.act_view, **changes))


def test_a_tare_that_is_on_is_said_once_it_has_stood_for_a_moment(said, bench):
    told = Announcements(said.append)
    for tenth in range(40):
        bench.now = tenth / 10
        bench.give(Grams(bench.now, "big", 0.0, True, tenth > 0))  # gross at first, then net
        told.tell(bench.view)
    assert [x for x in said if "a tare is on" in x] == [
        "  . The scale says that a tare is on. Empty the pan and press its zero or tare key."
    ]


def test_trouble_is_said_and_anew_when_it_comes_back(told, said, view):
    for at, trouble in ((0, LOST), (3, LOST), (4, LOST), (5, None), (6, LOST), (9, LOST)):
        told.tell(later(view, at, trouble=trouble))
    assert sum("Scale lost: The big scale says nothing" in x for x in said) == 2


def test_a_record_that_cannot_be_written_is_said(told, said, view):
    stands = Trouble(TroubleKind.UNWRITTEN, "The record stands still", "The disk is full.")
    told.tell(later(view, 0, trouble=stands))
    told.tell(later(view, 3, trouble=stands))
    assert said == ["  ! The record stands still: The disk is full."]


def test_a_figure_that_changes_is_not_said_again(told, said, view):
    for at in range(10):
        told.tell(
            later(with_act(view, not_yet=(f"water pot: {40 + at}.5 °C, has to be at least 70 °C.",)), at)
        )
    assert [x for x in said if "has to be" in x] == ["  . water pot: 42.5 °C, has to be at least 70 °C."]


def test_after_an_interruption_it_says_what_is_left(told, said, view):
    poured = VesselPicture("water pot", 200.0, 376.0, 370.0, 382.0, 470.0)
    told.tell(later(view, 0, trouble=LOST))
    told.tell(later(with_act(view, picture=dataclasses.replace(poured, net_g=None)), 1))
    told.tell(later(with_act(view, picture=poured), 2))
    told.tell(later(with_act(view, picture=dataclasses.replace(poured, net_g=210.0)), 3))
    assert (
        [x for x in said if " left" in x]
        == [x for x in said if x.endswith(f"{view.step_title}: 200 g are in, 176 g are left.")]
        != []
    )


@pytest.mark.parametrize(
    ("picture", "left"),
    [
        (VesselPicture("pot", 0.2, 376.0, 370.0, 382.0, 470.0), ""),
        (VesselPicture("pot", None, 376.0, 370.0, 382.0, 470.0), None),
        (TimerPicture(100.0, 600.0), "0:08:20 is left of 0:10:00."),
        (TimerPicture(0.0, 600.0), ""),
        (None, ""),
    ],
)
def test_what_is_left_of(picture, left):
    assert left_of(picture) == left


def test_a_word_that_came_too_early_is_answered_once_and_no_pin_with_it(view):
    kept = KeptLine("sign: Mara 4711", view.at_s)
    assert kept.too_early(view) == ""
    answer = kept.too_early(later(view, 3))
    assert answer.startswith("sign came too early and is kept until it is asked for. Now: ")
    assert "4711" not in answer
    assert kept.too_early(later(view, 9)) == ""


# --- nobody on the other end -----------------------------------------------------------------------------------------


@pytest.fixture
def bench_file(tmp_path):
    master, slave = os.openpty()
    file = tmp_path / "bench.toml"
    file.write_text(
        f'[[device]]\nname = "big scale"\nkind = "scale"\nport = "{os.ttyname(slave)}"\n'
        'format = "number-unit"\nperiod = "0.2 s"\ncapacity = "3000 g"\nreadability = "0.1 g"\n'
    )
    yield file
    os.close(master)
    os.close(slave)


@pytest.mark.skipif(os.name != "posix", reason="ptys are POSIX")
@pytest.mark.parametrize("shell", ['exec "$@" <&-', 'exec "$@" </dev/null'], ids=["closed", "empty"])
def test_with_standard_input_closed_it_ends_with_a_sentence(bench_file, tmp_path, shell):
    command = [sys.executable, "-m", "benchapp.cli", "guide", "tide-pool-gel", "--bench", str(bench_file)]
    out = subprocess.run(
        ["sh", "-c", shell, "sh", *command, "--maker", "Mara Lind", "--data", str(tmp_path / "data")],
        capture_output=True, text=True, timeout=60, env=ENV,
    )  # fmt: skip
    assert out.returncode == 5, out.stderr
    assert out.stderr.startswith("Standard input is closed: nobody can answer.")
    assert "Traceback" not in out.stderr
