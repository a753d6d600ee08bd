"""A simulated maker who walks a rehearsal to its end: answers as a scenario says, otherwise as a sensible person would."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from benchapp.make.inputs import Hold, Press, Resume, Skip, TypeValue
from benchapp.make.moment import Moment
from benchapp.rehearsal.answers import READ_S, Answers
from benchapp.rehearsal.hands import Hands
from benchapp.rehearsal.run import Rehearsal
from benchapp.rehearsal.scenario import ScriptedAction
from benchapp.runtime.session import Session
from drivers.simulated import SimulatedBench


class Actor:
    """Plays one list of replies, each once, in the order in which they come to fit."""

    def __init__(
        self,
        replies: tuple[ScriptedAction, ...],
        bench: SimulatedBench,
        session: Session,
        hands: Hands,
        answers: Answers,
    ) -> None:
        self._left = list(replies)
        self._bench, self._session, self._hands, self._answers = bench, session, hands, answers
        self._back_at_s: float | None = None
        self._fits_since: tuple[str, float] = ("", 0.0)

    def answer(self, moment: Moment, begun: bool) -> None:
        """Do what is to be done at this moment; nothing at most moments."""
        now = self._bench.now_s
        if self._back_at_s is not None:
            if now < self._back_at_s:
                return
            self._back_at_s, self._hands.away = None, False
            if moment.trouble is not None and moment.trouble.kind == "held":
                self._session.put(Resume(self._session.clock()))
                return
        reply = next((r for r in self._left if fits(r, moment)), None) if begun else None
        if reply is not None:
            if self._fits_since[0] != moment.prompt:
                self._fits_since = (moment.prompt, now)
            elif now - self._fits_since[1] >= READ_S:
                self._left.remove(reply)
                self._do(reply, moment)
            return
        said = self._answers.at(moment)
        if said is not None:
            self._session.put(said.given(self._session.clock(), moment.prompt))

    def _do(self, reply: ScriptedAction, moment: Moment) -> None:
        if reply.do == "press":
            choice = next(c.key for c in moment.face.choices if _is(c.key, reply.offered))
            self._session.put(Press(self._session.clock(), moment.prompt, choice, reply.reason))
        elif reply.do == "type":
            self._session.put(TypeValue(self._session.clock(), moment.prompt, reply.value))
        elif reply.do == "skip":
            self._session.put(Skip(self._session.clock(), moment.prompt, reply.reason))
        else:
            self._hands.away = True
            self._bench.world.stop_hands()
            self._back_at_s = self._bench.now_s + reply.lasts_s
            if reply.do == "hold":
                self._session.put(Hold(self._session.clock(), reply.reason))


def fits(reply: ScriptedAction, moment: Moment) -> bool:
    """Whether this is the moment the reply is for."""
    if reply.at and not any(reply.at in said for said in (moment.face.instruction, *moment.face.not_yet)):
        return False
    return not reply.offered or any(_is(c.key, reply.offered) for c in moment.face.choices)


def _is(key: str, offered: str) -> bool:
    """A choice by its key, or by the beginning of it up to a colon ("lot:")."""
    return key == offered or (offered.endswith(":") and key.startswith(offered))


def to_the_end(
    rehearsal: Rehearsal,
    replies: tuple[ScriptedAction, ...] = (),
    watch: Callable[[Moment], None] | None = None,
    limit_s: float = 12 * 3600.0,
) -> Moment:
    """Let the hands do everything, and answer as ``replies`` say where a scenario has begun."""
    actor = Actor(replies, rehearsal.bench, rehearsal.session, rehearsal.hands, rehearsal.answers)
    moment = rehearsal.session.moment()
    start = rehearsal.bench.now_s
    while not moment.over:
        moment = rehearsal.step()
        if watch is not None:
            watch(moment)
        if moment.over:
            break
        actor.answer(moment, rehearsal.director is None or rehearsal.director.begun)
        moment = rehearsal._still(moment)
        assert rehearsal.bench.now_s - start <= limit_s, f"no end at {moment.step_title}"
    return moment


def taken_for_real(bench: SimulatedBench) -> SimulatedBench:
    """The same ports as a bench file would name them: nothing says that what speaks there is simulated."""
    devices = tuple(replace(d, simulated=False) for d in bench.bench.devices)
    bench.bench = replace(bench.bench, devices=devices)
    return bench
