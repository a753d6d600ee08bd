"""Whole makes by the foot alone, and the list of what wants more than a foot held against every choice there is."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from benchapp import events as ev
from benchapp.calculations.pedal import PedalSwitch
from benchapp.make import inputs
from benchapp.make.hands_free import distinct_choice, plain_choice
from benchapp.make.vocabulary import ChoiceKey
from drivers.simulated import DEFAULT_DEVICES, PH_METER
from procedures.reading import read_procedure
from procedures.shelf import find

ROOT = Path(__file__).parents[2]
ROW = re.compile(r"^\| `([^`]+)` \| [^|]* \| ([^|]+) \|$", re.MULTILINE)


def listed() -> dict[str, str]:
    """docs/hands-free.md: choice → how."""
    text = (ROOT / "docs" / "hands-free.md").read_text(encoding="utf-8")
    return {key: how.strip() for key, how in ROW.findall(text)}


def written() -> dict[str, set[str]]:
    """Every choice in the program: its key → how it may be given."""
    found: dict[str, set[str]] = {}
    for file in sorted((ROOT / "benchapp" / "make").rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Choice":
                key, how = _key(node), _how(node)
                found.setdefault(key, set()).update(how)
    return found


def _key(call: ast.Call) -> str:
    named = call.args[0]
    assert isinstance(named, ast.Attribute)
    about = any(k.arg == "of" for k in call.keywords)
    return f"{ChoiceKey[named.attr]}{':…' if about else ''}"


def _how(call: ast.Call) -> set[str]:
    marks = {k.arg: k.value for k in call.keywords}
    if "reason" in marks or "sign" in marks:
        return {"touch"}
    if "serious" not in marks:
        return {"plain"}
    sure = isinstance(marks["serious"], ast.Constant)
    return {"held"} if sure else {"held", "plain"}


def test_the_list_names_every_choice_and_says_truly_how_it_is_given():
    program, page = written(), listed()
    assert len(program) > 30, "the choices were found"
    assert page.keys() == program.keys()
    for key, how in page.items():
        said = {word for word in ("plain", "held", "touch") if word in how}
        if key in ("not weighed", "last"):
            assert program[key] == {"held"}, key  # serious in the program; kept from the foot by name
            assert said == {"touch"}, key
        elif key in ("back", "instead:…", "another", "others"):
            assert program[key] == {"plain"}, key  # kept from the foot by name: a foot means "go on"
            assert said == {"touch"}, key
        else:
            assert said == program[key], key


class Foot:
    """Answers as a sensible maker would, by the foot wherever the foot can; keeps what it could not say."""

    def __init__(self, rehearsal) -> None:
        self._rehearsal, self._pedal = rehearsal, PedalSwitch()
        self.touched: list[tuple[str, str]] = []
        self.feet = 0

    def walk(self) -> str:
        session = self._rehearsal.session
        while not session.make.state.over:
            view = self._rehearsal.step()
            said = self._rehearsal.answers.at(view)
            if said is not None:
                self._say(view, said)
        return session.make.state.over

    def _say(self, view, said) -> None:
        plain, distinct = plain_choice(view.act_view), distinct_choice(view.act_view)
        if said.value is None and plain is not None and said.choice == plain.word:
            self._press(view.prompt, 0.4)
        elif said.value is None and distinct is not None and said.choice == distinct.word:
            self._press(view.prompt, 2.2)
        else:
            what = view.act_view.ask.what if said.value is not None else said.choice
            self.touched.append((view.step_kind, what))
            self._rehearsal.session.put(said.given(self._rehearsal.session.clock(), view.prompt))

    def _press(self, prompt: str, seconds: float) -> None:
        """Down, the world goes on, up: through the state machine that times a real foot."""
        self.feet += 1
        session, bench = self._rehearsal.session, self._rehearsal.bench
        down_s = bench.now_s
        if self._pedal.down(down_s, prompt):
            session.put(inputs.PedalDown(session.clock(), prompt))
        while bench.now_s < down_s + seconds - 1e-6:
            self._rehearsal.step(0.2)
            self._tell(self._pedal.look(bench.now_s))
        self._tell(self._pedal.up(bench.now_s))
        self._rehearsal.step(0.2)

    def _tell(self, step) -> None:
        if step is not None:
            self._rehearsal.session.put(inputs.Pedal(self._rehearsal.session.clock(), step.meant, step.held))


@pytest.mark.parametrize(
    ("name", "devices", "typed"),
    [
        ("oat-hand-lotion", DEFAULT_DEVICES, {"pH"}),
        pytest.param("driftwood-conditioner", (*DEFAULT_DEVICES, PH_METER), set(), marks=pytest.mark.by_hand),
    ],
)
def test_a_whole_make_with_no_touch_but_the_listed_acts(name, devices, typed, make_rehearsal, journal):
    rehearsal = make_rehearsal(read_procedure(find(name)).procedure, devices=devices)
    foot = Foot(rehearsal)
    assert foot.walk() == "finished"
    acts = {what for _, what in foot.touched}
    assert acts <= typed | {"mass of 50 ml", "last", "sign"}, (
        "the density has no device; the rest is on the list"
    )
    assert all("touch" in listed()[what] for what in acts & listed().keys())
    events = journal.events("b1")
    serious = [e for e in events if isinstance(e, ev.CautionAcknowledged)]
    assert serious
    assert {e.how for e in serious} == {"pedal"}
    assert {e.how for e in events if isinstance(e, ev.Confirmed)} <= {"pedal", ""}
    assert sum(e.how == "pedal" for e in events if isinstance(e, ev.Confirmed)) > 10
    assert foot.touched[-1][1] == "sign"
    assert foot.feet > 5 * len(foot.touched)
