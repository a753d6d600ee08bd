"""A simulated maker who walks a rehearsal to its end: answers as a scenario says, otherwise as a sensible person would."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from benchapp.events import Event
from benchapp.make.inputs import Hold, Press, Resume, Skip, TypeValue
from benchapp.make.view_model import ViewModel
from benchapp.make.vocabulary import Verb
from benchapp.record.journal import Journal
from benchapp.rehearsal.answers import READ_S, Answers
from benchapp.rehearsal.hands import Hands
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.rehearsal.scenario import Scenario
from benchapp.rehearsal.scenario_form import ScenarioFile, ScriptedActionTable
from benchapp.runtime.session import Session
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench
from procedures.model import Procedure
from procedures.reading import parse_toml

#: Steps of the lock-step while the batch only heats or cools, in seconds.
WAITING_STEP_S = {Verb.HEAT: 5.0, Verb.COOL: 10.0}


E = TypeVar("E", bound=Event)
#: What the journal's wall clock says.
WALL = "2026-03-01T09:00:00.000+01:00"


def recorded(journal: Journal, kind: type[E]) -> list[E]:
    """What of that kind was written down of the one batch."""
    (batch,) = [b.batch for b in journal.batches()]
    return [e for e in journal.events(batch) if isinstance(e, kind)]


def replies_of(scenario: Scenario, errs: bool = False) -> tuple[ScriptedActionTable, ...]:
    """What the scenario's own file says that a good hand does, or one that errs."""
    form = ScenarioFile.model_validate(parse_toml(scenario.text, "scenario.toml"))
    return tuple(form.slip if errs else form.hand)


class Actor:
    """Plays one list of replies, each once, in the order in which they come to fit."""

    def __init__(
        self,
        replies: tuple[ScriptedActionTable, ...],
        bench: SimulatedBench,
        session: Session,
        hands: Hands,
        answers: Answers,
    ) -> None:
        self._left = list(replies)
        self._bench, self._session, self._hands, self._answers = bench, session, hands, answers
        self._back_at_s: float | None = None
        self._fits_since: tuple[str, float] = ("", 0.0)

    def answer(self, view: ViewModel, begun: bool) -> None:
        """Do what is to be done at this moment; nothing at most moments."""
        now = self._bench.now_s
        if self._back_at_s is not None:
            if now < self._back_at_s:
                return
            self._back_at_s, self._hands.away = None, False
            if view.trouble is not None and view.trouble.kind == "held":
                self._session.put(Resume(self._session.clock()))
                return
        reply = next((r for r in self._left if fits(r, view)), None) if begun else None
        if reply is not None:
            if self._fits_since[0] != view.prompt:
                self._fits_since = (view.prompt, now)
            elif now - self._fits_since[1] >= READ_S:
                self._left.remove(reply)
                self._do(reply, view)
            return
        said = self._answers.at(view)
        if said is not None:
            self._session.put(said.given(self._session.clock(), view.prompt))

    def _do(self, reply: ScriptedActionTable, view: ViewModel) -> None:
        if reply.do == "press":
            choice = next(c.word for c in view.act_view.choices if _is(c.word, reply.offered))
            self._session.put(Press(self._session.clock(), view.prompt, choice, reply.reason))
        elif reply.do == "type":
            self._session.put(TypeValue(self._session.clock(), view.prompt, reply.value))
        elif reply.do == "skip":
            self._session.put(Skip(self._session.clock(), view.prompt, reply.reason))
        else:
            self._hands.away = True
            self._bench.world.stop_hands()
            self._back_at_s = self._bench.now_s + reply.lasts
            if reply.do == "hold":
                self._session.put(Hold(self._session.clock(), reply.reason))


def step_s(rehearsal: Rehearsal, view: ViewModel) -> float | None:
    """How far the next step goes; None: as usual. While the batch only heats or cools, a make need not be looked at every
    second."""
    want = view.act_view.want
    moving = rehearsal.bench.busy or rehearsal.hands.busy or view.trouble is not None
    striking = rehearsal.director is not None
    return None if want is None or moving or striking else WAITING_STEP_S.get(want.verb)


def fits(reply: ScriptedActionTable, view: ViewModel) -> bool:
    """Whether this is the moment the reply is for."""
    if reply.at and not any(reply.at in said for said in (view.act_view.instruction, *view.act_view.not_yet)):
        return False
    return not reply.offered or any(_is(c.word, reply.offered) for c in view.act_view.choices)


def _is(key: str, offered: str) -> bool:
    """A choice by its key, or by the beginning of it up to a colon ("lot:")."""
    return key == offered or (offered.endswith(":") and key.startswith(offered))


def to_the_end(
    rehearsal: Rehearsal,
    replies: tuple[ScriptedActionTable, ...] = (),
    watch: Callable[[ViewModel], None] | None = None,
    limit_s: float = 12 * 3600.0,
) -> ViewModel:
    """Let the hands do everything, and answer as ``replies`` say where a scenario has begun."""
    actor = Actor(replies, rehearsal.bench, rehearsal.session, rehearsal.hands, rehearsal.answers)
    view = rehearsal.session.view()
    start = rehearsal.bench.now_s
    while not view.over:
        view = rehearsal.step(step_s(rehearsal, view))
        if watch is not None:
            watch(view)
        if view.over:
            break
        actor.answer(view, rehearsal.director is None or rehearsal.director.begun)
        view = rehearsal._still(view)
        assert rehearsal.bench.now_s - start <= limit_s, f"no end at {view.step_title}"
    return view


def taken_for_real(bench: SimulatedBench) -> SimulatedBench:
    """The same ports as a bench file would name them: nothing says that what speaks there is simulated."""
    devices = tuple(replace(d, simulated=False) for d in bench.bench.devices)
    bench.bench = replace(bench.bench, devices=devices)
    return bench


def begun_rehearsal(
    journal: Journal, procedure: Procedure, *, seed: int = 1, devices=DEFAULT_DEVICES, batch: str = "b1"
) -> Rehearsal:
    """A rehearsal of the usual size on a simulated bench; whoever begins it closes it."""
    bench = SimulatedBench(seed=seed, devices=devices)
    facts = [facts_of(d) for d in bench.bench.devices]
    order = BatchOrder(procedure, procedure.default_batch_g, facts, "Mara Lind", batch, rehearsal=True)
    return rehearse(bench, begin(journal, order, lambda: bench.now_s), seed)
