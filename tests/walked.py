"""A whole rehearsal of one procedure, for all tests that only look at one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from acting import WALL, begun_rehearsal, to_the_end
from lived_in import made_before

from benchapp.make.view_model import ViewModel
from benchapp.record.journal import Journal
from benchapp.record.stored_event import StoredEvent
from benchapp.voice.announcer import Announcer
from benchapp.voice.queue import Utterance
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find


class Heard:
    """Everything that was put to a queue of sounds, in order."""

    trouble: tuple[str, ...] = ()

    def __init__(self) -> None:
        self.said: list[str] = []
        self.tones: list[bytes] = []

    def say(self, utterance: Utterance) -> None:
        self.said.append(utterance.text)

    def now_true(self, key: str) -> None:
        pass

    def sound(self, wav: bytes) -> None:
        self.tones.append(wav)


@dataclass
class Walked:
    """Its procedure, its last view, what was stored, every moment on the way that was drawn otherwise, and what was to be heard."""

    procedure: Procedure
    end: ViewModel
    stored: list[StoredEvent]
    moments: list[ViewModel]
    heard: Heard


def drawn(view: ViewModel) -> tuple[object, ...]:
    """What tells one moment from another on a glass, but for its numbers."""
    face = view.act_view
    return (
        view.prompt, view.trouble, view.cautions, face.instruction, face.note, face.stage, face.cautions, face.not_yet,
        tuple(live.word for live in face.live), view.meanwhile is None, view.sheet,
    )  # fmt: skip


def walk(name: str, folder: Path) -> Walked:
    """A shipped procedure from its first step to its end, written down in ``folder``; where the lived-in workshop has made it, its
    makes say how long it takes."""
    journal = Journal(folder, lambda: WALL)
    procedure, seen = read_procedure(find(name)).procedure, {}
    rehearsal = begun_rehearsal(journal, procedure)
    rehearsal.session.draw()
    rehearsal.session.learn({}, made_before(procedure, folder / "workshop"))
    heard = Heard()
    announcer = Announcer(heard, print)

    def watch(view: ViewModel) -> None:
        seen.setdefault(drawn(view), view)
        announcer.hear(view)

    end = to_the_end(rehearsal, watch=watch)
    announcer.hear(end)
    rehearsal.close()
    stored = journal.stored("b1")
    journal.close()
    return Walked(procedure, end, stored, list(seen.values()), heard)
