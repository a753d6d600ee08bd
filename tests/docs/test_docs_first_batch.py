"""The page of the first batch, followed line by line from an empty workshop to containers that have left.

Everything the page says is typed is typed, in its order. The make itself is walked by a maker who does what is asked, on ports of
their own that share nothing with the simulated bench; what a display shows at a check is typed, for the pan has no weight on it.
"""

from __future__ import annotations

import io
import os
import re
import shlex
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from benchapp.cli import main
from benchapp.record.journal import Journal
from benchapp.runtime.device_checks import passed_at
from benchapp.service.lots import lots_on_hand
from benchapp.service.signing import prover

sys.path.append(str(Path(__file__).parents[1] / "makes"))
pytestmark = pytest.mark.skipif(os.name != "posix", reason="ptys are POSIX")
PAGE = Path(__file__).parents[2] / "docs" / "first-batch.md"
BEGUN = datetime.fromisoformat("2026-03-02T08:00:00+01:00")
PIN = "4711"
#: What the displays show at the checks, by what they are held against.
SHOWN = {"500 g": "500.1", "50 g": "50.00", "ice": "0.2"}
#: On these lines something may still speak against the batch, and they say so.
MAY_REFUSE = {"release"}


def typed():
    """Every command of the page, as its words."""
    return [
        shlex.split(line)[1:]
        for line in re.findall(r"^    (benchapp .+)$", PAGE.read_text("utf-8"), re.MULTILINE)
    ]


class Newcomer:
    """Types one line after the other into one workshop."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder, self.patch, self.now = folder, monkeypatch, BEGUN
        self.batch, self.said = "", ""
        for place in ("benchapp.commands.opening", "benchapp.commands.checking"):
            monkeypatch.setattr(f"{place}.wall_now", self.wall)

    def wall(self) -> str:
        return self.now.isoformat(timespec="milliseconds")

    def types(self, words: list[str]) -> int:
        """The exit code; what was said stands in ``said``."""
        self.patch.setattr(sys, "stdin", io.StringIO(f"{PIN}\n{PIN}\n"))
        out = io.StringIO()
        self.patch.setattr(sys, "stdout", out)
        self.patch.setattr(sys, "stderr", out)
        code = main(words)
        self.said = out.getvalue()
        return code

    def follows(self, words: list[str], puppet_of) -> None:
        """One line of the page."""
        words = [w.replace("BATCH", self.batch) for w in words]
        if words[0] == "guide":
            self.batch = puppet_of(self)
            return
        if words[0] == "bench-check":
            words += ["--reads", SHOWN[words[words.index("--against") + 1]]]
        if words[0] == "due":
            self.now += timedelta(days=8)
        for number in self.open_ones() if "NUMBER" in words else ["NUMBER"]:
            code = self.types([w.replace("NUMBER", number) for w in words])
            allowed = {0, 3} if words[0] in MAY_REFUSE and "--decision" not in words else {0}
            assert code in allowed, (words, self.said)

    def open_ones(self) -> list[str]:
        """The numbers that the line before it named."""
        return re.findall(r"against release: Deviation (\d+) ", self.said)


@pytest.fixture
def newcomer(tmp_path, monkeypatch):
    (tmp_path / "bench.toml").write_text(
        "".join(
            f'[[device]]\nname = "{name}"\nkind = "{kind}"\nport = "/dev/nowhere-{name}"\n{more}\n'
            for name, kind, more in (
                ("big", "scale", 'format = "number-unit"\ncapacity = "3000 g"\nreadability = "0.1 g"'),
                ("small", "scale", 'format = "number-unit"\ncapacity = "200 g"\nreadability = "0.01 g"'),
                ("thermo", "thermometer", 'format = "multi-channel"\nprobes = ["left probe", "right probe"]'),
            )
        )
    )
    monkeypatch.chdir(tmp_path)
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    return Newcomer(tmp_path / "benchapp", monkeypatch)


def made_by_hand(newcomer: Newcomer, lotion) -> str:
    """The make that ``guide`` would walk, on the lots that were received and the devices that were checked."""
    from hid_bus import hid_bus
    from test_makes_own_devices import Puppet

    class Maker(Puppet):
        """Signs with the PIN, and fills what is left into a last bottle."""

        def answer(self, view) -> None:
            if any(c.word == "sign" and c.sign for c in view.act_view.choices):
                assert self.session.sign_with(view.prompt, "Mara Lind", PIN) == ""
            else:
                super().answer(view)

    journal = Journal(newcomer.folder, newcomer.wall)
    checked = passed_at(newcomer.folder, {"thermo": ("left probe", "right probe")})
    assert set(checked) == {"big", "small", "thermo"}
    with hid_bus() as bus:
        maker = Maker(journal, lotion, bus)
        try:
            maker.session.stock(lambda: lots_on_hand(journal))
            maker.session.prove_by(prover(journal))
            for _ in range(12_000):
                view = maker.step()
                if view.over:
                    break
                maker.obey(view)
            assert view.over == "finished", view.prompt
        finally:
            maker.close()
            journal.close()
    newcomer.now += timedelta(hours=3)
    return "own"


def test_the_page_leads_from_an_empty_workshop_to_containers_that_have_left(newcomer, lotion):
    commands = typed()
    assert len(commands) > 30
    for words in commands:
        newcomer.follows(words, lambda one: made_by_hand(one, lotion))
    assert "went to Pier Shop" in newcomer.said
    assert "lot unknown" not in newcomer.said
    assert "own still" in newcomer.said


def test_the_page_names_every_material_of_the_procedure(lotion):
    received = {words[3] for words in typed() if words[:2] == ["lot", "receive"]}
    assert {m.name for m in lotion.materials.values()} <= received
