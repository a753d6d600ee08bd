"""The loop that draws view models on a terminal and hands on what is typed."""

from __future__ import annotations

import contextlib
import io
import sys
import time
from collections.abc import Callable
from typing import TextIO

from rich.console import Console
from rich.live import Live

from benchapp.calculations.pedal import RepeatedPedal
from benchapp.foundation.language import tr
from benchapp.make.inputs import Pedal, PedalDown
from benchapp.make.view_model import ViewModel
from benchapp.make.vocabulary import Stage
from benchapp.runtime.runner import Runner
from benchapp.runtime.session import Answer, Session
from benchapp.terminal import words
from benchapp.terminal.announcements import STANDS_S, Announcements
from benchapp.terminal.keys import Keys, Lines, raw_keys
from benchapp.terminal.panel import draw
from benchapp.terminal.plain import clean
from benchapp.terminal.typed import HELP, NotUnderstood, meant_for_now, offer, understand

#: How often the panel is drawn, in seconds.
DRAW_S = 0.1
#: How long a rehearsal on a terminal waits for a person before it answers for them, in seconds.
PATIENCE_S = 6.0


#: After the answers have ended, a make in which nothing happens for so many seconds is left.
NOBODY_S = 30.0


class Unfinished(Exception):
    """The terminal went away, or the answers ended, before the make did."""


def guide(runner: Runner, console: Console | None = None, answers: TextIO | None = None) -> ViewModel:
    """Walk a maker through to the end; returns the last moment.

    Live where both ends are terminals; otherwise plain lines, answered line by line from ``answers``.
    Raises Unfinished when the answers end first on a real bench, or on Ctrl-C.
    """
    console = console or Console()
    given = answers or sys.stdin
    stream = io.StringIO() if given is None or given.closed else given  # closed: as if it held nothing
    try:
        if console.is_terminal and stream.isatty():
            return _live(runner, console)
        return _plain(runner, console, Lines(stream))
    except KeyboardInterrupt as stop:
        raise Unfinished(tr("Stopped here. Nothing recorded is lost: benchapp resume goes on.")) from stop


# --- on a terminal ---------------------------------------------------------------------------------------


def _live(runner: Runner, console: Console) -> ViewModel:
    told, since, prompt, drawn = "", time.monotonic(), "", 0.0
    pedal, sure = RepeatedPedal(), Sure()
    with raw_keys() as keys, Live(console=console, auto_refresh=False, screen=True) as screen:
        while True:
            view = runner.beat()
            now = time.monotonic()
            if view.prompt != prompt:
                prompt, since, told = view.prompt, now, ""
            if now - drawn >= DRAW_S or view.over:
                own = _own(runner, view)
                screen.update(draw(view, keys.typed, told, _countdown(own, now - since)), refresh=True)
                drawn = now
            if view.over:
                break
            line = keys.next(runner.spare_s())
            _foot(runner.session, pedal, keys, view.prompt, time.monotonic())
            if line is not None:
                told = sure.ask(line, view) or _obey(runner.session, line, view)
            elif not keys.typed:
                _answer_late(runner, view, now - since)
    console.print(draw(view))
    return view


class Sure:
    """What leaves a whole step out, or gives the batch up, wants to be said twice by somebody who types."""

    def __init__(self) -> None:
        self._asked = ("", "")

    def ask(self, line: str, view: ViewModel) -> str:
        """The sentence that asks, or "" where the line may be done."""
        with contextlib.suppress(NotUnderstood):
            command = understand(line, view).command
            if command in ("skip", "abandon") and self._asked != (command, view.step_key):
                self._asked = (command, view.step_key)
                what = (
                    tr('leaves out the whole step "{step_title}"', step_title=view.step_title)
                    if command == "skip"
                    else tr("gives the batch up")
                )
                return tr("That {what}. Say it once more if it is meant.", what=what)
        return ""


def _foot(session: Session, pedal: RepeatedPedal, keys: Keys, prompt: str, now: float) -> None:
    """A foot switch: a terminal tells of no release, so a press counts a second after its key was last heard."""
    if keys.pedal and pedal.heard(now, prompt):
        session.put(PedalDown(session.clock(), prompt))
    keys.pedal = False
    step = pedal.look(now)
    if step is not None:
        session.put(Pedal(session.clock(), step.meant, step.held))


def _countdown(own: Answer | None, waited_s: float) -> str:
    if own is None:
        return ""
    return tr("   (the rehearsal answers in {patience_s:.0f} s)", patience_s=max(PATIENCE_S - waited_s, 0))


def _own(runner: Runner, view: ViewModel) -> Answer | None:
    """What a rehearsal would answer; a hold is ended by whoever asked for it."""
    return None if view.act_view.stage == Stage.HELD else runner.own_answer(view)


def _answer_late(runner: Runner, view: ViewModel, waited_s: float) -> None:
    own = _own(runner, view)
    if own is not None and waited_s >= PATIENCE_S:
        _give(runner.session, own, view)


def _give(session: Session, own: Answer, view: ViewModel) -> None:
    """Put what a rehearsal answers for itself."""
    session.put(own.given(session.clock(), view.prompt))


# --- piped -----------------------------------------------------------------------------------------------


def _plain(runner: Runner, console: Console, lines: Lines) -> ViewModel:
    def say(text: str) -> None:
        console.print(text, markup=False, highlight=False, soft_wrap=True)

    told, seen, sure = Announcements(say), 0, Sure()
    pending: KeptLine | None = None
    silence = Silence(runner.session)
    while True:
        view = runner.beat()
        seen = _say_events(runner.session, seen, say)
        told.tell(view)
        if view.over:
            return view
        if pending is None:
            line = lines.next(runner.spare_s())
            pending = None if line is None else KeptLine(line, view.at_s)
        else:
            time.sleep(runner.spare_s())
        if pending is not None:
            if fits(pending.line, view):
                why = sure.ask(pending.line, view) or _obey(runner.session, pending.line, view)
                pending = None
            else:
                why = pending.too_early(view)
            if why:
                say(f"  ? {clean(why)}")
        elif lines.over:
            _unanswered(runner, view, lines.some, silence)


class KeptLine:
    """A line that came before it was asked for: kept until it fits, and said so once."""

    def __init__(self, line: str, at_s: float) -> None:
        self.line, self._at_s, self._said = line, at_s, False

    def too_early(self, view: ViewModel) -> str:
        """The sentence that it is kept, once it has waited for a moment; "" else. What stands behind a colon may be
        a PIN, and is not repeated."""
        if self._said or view.at_s - self._at_s < STANDS_S:
            return ""
        self._said = True
        word = self.line.partition(":")[0].strip()[:40] or "Enter"
        return tr(
            "{word} came too early and is kept until it is asked for. Now: {instruction}",
            word=word,
            instruction=view.act_view.instruction,
        )


class Silence:
    """How long nothing has been recorded, in seconds of the make."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._recorded, self._since_s = session.recorded, session.clock()

    @property
    def lasts_s(self) -> float:
        """Since the last event, or since this began."""
        now = self._session.clock()
        if self._session.recorded != self._recorded:
            self._recorded, self._since_s = self._session.recorded, now
        return now - self._since_s


def _unanswered(runner: Runner, view: ViewModel, answered: bool, silence: Silence) -> None:
    """The answers have ended, or there were none: a rehearsal answers for itself, a real bench cannot. What only takes
    its time goes on; where a person is wanted, or nothing happens any more, the make is left as it stands."""
    own = runner.own_answer(view)
    if own is not None:
        _give(runner.session, own, view)
    elif runner.session.rehearsing:
        return
    elif not answered:
        raise Unfinished(
            tr(
                "Standard input is closed: nobody can answer. Use a terminal, or send the answers; "
                "benchapp resume goes on."
            )
        )
    elif (
        view.awaits_person
        or view.trouble is not None
        or (silence.lasts_s >= NOBODY_S and view.act_view.forecast is None)
    ):
        raise Unfinished(tr("The answers ended before the make did: benchapp resume goes on."))


def fits(line: str, view: ViewModel) -> bool:
    """Whether a piped line is for this moment. Lines may be sent ahead: one that is for later waits.

    A bare number only answers where typing is the usual way (or the device is lost), so that a pH sent ahead
    is never taken for a weight.
    """
    try:
        said = understand(line, view)
    except NotUnderstood:
        return view.awaits_person or meant_for_now(line, view)
    if said.command == "type" and not line.strip().lower().startswith("type"):
        return view.awaits_person
    if said.command == "scan":
        return view.act_view.fetching
    return said.command != "nothing" or view.awaits_person


def _say_events(session: Session, seen: int, say: Callable[[str], None]) -> int:
    fresh = session.recorded - seen
    for event in list(session.recent)[-fresh:] if fresh else []:
        text = words.event_line(event)
        if text:
            say(text)
    return session.recorded


# --- both ------------------------------------------------------------------------------------------------


def _obey(session: Session, line: str, view: ViewModel) -> str:
    """Do what the line says; returns a sentence for the maker, or ""."""
    try:
        answer = understand(line, view)
    except NotUnderstood as why:
        return str(why)
    if answer.command == "nothing":
        return tr("Enter alone says nothing here. {offer}", offer=offer(view))
    if answer.command == "help":
        return HELP
    if answer.command == "more":
        d = view.detail
        return tr("Why: {why} Right: {look} Wrong: {wrong}", why=d.why, look=d.look, wrong=d.wrong)
    if answer.command == "sign":
        return _sign(session, view, answer.choice)
    if answer.command == "take back" and not view.take_back:
        return tr("Nothing can be taken back here: what happened on the bench stays in the record.")
    given = answer.given(session.clock(), view.prompt)
    if given is not None:
        session.put(given)
    return tr("Taken back: {take_back}", take_back=view.take_back) if answer.command == "take back" else ""


def _sign(session: Session, view: ViewModel, given: str) -> str:
    """NAME PIN, or the PIN alone for the maker's own signature."""
    name, _, pin = given.rpartition(" ")
    started = session.make.state.started
    who = name.strip() or (started.maker if started else "")
    return session.sign_with(view.prompt, who, pin)
