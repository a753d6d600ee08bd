"""What several rooms' tests need: a rehearsal over real ports, a journal in a folder of its own, and what pip can't bring.

A test that needs something of the system takes the fixture of that name: ``window``, ``espeak_ng``, ``msgfmt``, ``ser2net``,
``postgres_programs``. Where
it isn't installed the test is skipped, and the last lines of the run say how many were and what to install.
"""

from __future__ import annotations

import functools
import itertools
import os
import pickle
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from acting import WALL, begun_rehearsal
from in_memory import MEMORY
from walked import Walked, walk

from benchapp.foundation.language import ENGLISH, speak
from benchapp.record.journal import Journal
from benchapp.rehearsal.run import Rehearsal
from benchapp.screens.environment import packages_missing
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find

os.umask(
    0o077
)  # as the program sets it: what a test writes is for its user alone, whichever test comes first
if MEMORY is not None:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))  # where pytest makes its tmp_path

#: What is looked for on the system for each of those fixtures: the Debian packages that are missing.
NEEDS: dict[str, Callable[[], list[str]]] = {
    "window": packages_missing,
    "espeak_ng": lambda: [] if _program("espeak-ng") else ["espeak-ng"],
    "ser2net": lambda: [] if _program("ser2net") else ["ser2net"],
    "msgfmt": lambda: [] if _program("msgfmt") else ["gettext"],
    "postgres_programs": lambda: [] if _postgres() else ["postgresql"],
}
NOT_INSTALLED = "not installed here: sudo apt install "


def _program(name: str) -> str | None:
    """Where a program lies; a server's programs are not on everybody's path."""
    return shutil.which(
        name, path=f"{os.environ.get('PATH', '')}{os.pathsep}/usr/sbin{os.pathsep}/usr/local/sbin"
    )


def _postgres() -> Path | None:
    """The folder of a PostgreSQL server's programs, the newest; Debian keeps them off everybody's path."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: int(p.parts[-3]))
    on_path = shutil.which("initdb")
    return found[-1].parent if found else Path(on_path).resolve().parent if on_path else None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what needs something that is not installed here."""
    missing = {need: packages for need, look in NEEDS.items() if (packages := look())}
    for item in items:
        wanted = [p for need in missing if need in getattr(item, "fixturenames", ()) for p in missing[need]]
        if wanted:
            item.add_marker(pytest.mark.skip(reason=NOT_INSTALLED + " ".join(wanted)))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in one line how many tests were skipped for want of what."""
    reasons = [
        report.longrepr[2].partition(NOT_INSTALLED)[2] for report in terminalreporter.stats.get("skipped", ())
    ]
    lacking = [reason for reason in reasons if reason]
    if lacking:
        packages = " ".join(sorted({package for reason in lacking for package in reason.split()}))
        terminalreporter.write_line(
            f"{len(lacking)} tests skipped: {packages} not installed here (sudo apt install {packages})"
        )


@pytest.fixture(scope="session", autouse=True)
def settings_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """What the program keeps outside its data folder stays out of the tester's own settings."""
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("settings")
        patch.setenv("XDG_CONFIG_HOME", str(folder))
        yield folder


@pytest.fixture(scope="session")
def once_in_a_run(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str, Callable[[], Any]], Any]:
    """Works something dear out once, also where the files of a run are shared out over several processes."""
    base = tmp_path_factory.getbasetemp()
    folder = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base

    def once(name: str, work_out: Callable[[], Any]) -> Any:
        file = folder / f"{name}.pickle"
        if not file.exists():
            draft = base / file.name
            draft.write_bytes(pickle.dumps(work_out()))
            draft.replace(file)
        return pickle.loads(file.read_bytes())

    return once


@pytest.fixture(scope="session")
def walked(once_in_a_run: Any, tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Walked]:
    """Each shipped procedure walked once, for all who only look at it."""
    return functools.cache(
        lambda name: once_in_a_run(f"walked-{name}", lambda: walk(name, tmp_path_factory.mktemp("walked")))
    )


_TESTS = itertools.count()


@pytest.fixture(autouse=True)
def settings_of_its_own(settings_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And out of other tests', which go on with a copy of the same journal."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(settings_folder / str(next(_TESTS))))


@pytest.fixture(scope="session")
def window() -> None:
    """The libraries with which a window can be opened, with a display or without."""


@pytest.fixture(scope="session")
def espeak_ng() -> None:
    """The program that speaks."""


@pytest.fixture(scope="session")
def msgfmt() -> str:
    """Where gettext's own checker of catalogues lies."""
    program = _program("msgfmt")
    assert program is not None
    return program


@pytest.fixture(scope="session")
def ser2net() -> str:
    """Where the program lies that serves a port over the network."""
    program = _program("ser2net")
    assert program is not None
    return program


@pytest.fixture(scope="session")
def postgres_programs() -> Path:
    """Where the programs of a PostgreSQL server lie; nothing touches one that runs here already."""
    folder = _postgres()
    assert folder is not None
    return folder


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """A journal whose wall clock stands still."""
    opened = Journal(tmp_path / "data", lambda: WALL)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def lotion() -> Procedure:
    """The shipped hand lotion."""
    return read_procedure(find("oat-hand-lotion")).procedure


@pytest.fixture
def english_again() -> Iterator[None]:
    """A command speaks the language that its workshop chose, and this process with it."""
    yield
    speak(ENGLISH)


Rehearse = Callable[..., Rehearsal]


@pytest.fixture
def make_rehearsal(journal: Journal) -> Iterator[Rehearse]:
    """Begins rehearsals on simulated benches served as real serial ports, and closes them."""
    opened: list[Rehearsal] = []

    def start(procedure: Procedure, **more: Any) -> Rehearsal:
        opened.append(begun_rehearsal(journal, procedure, **more))
        return opened[-1]

    yield start
    for one in opened:
        one.close()
