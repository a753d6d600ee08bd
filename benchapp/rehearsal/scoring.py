"""Was a scenario's goal reached? Judged from the events of the make alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.rehearsal.scenario import Criterion, Scenario

#: The reason in the record of a rehearsal that could not be taken up again after a restart.
BROKEN_OFF = tr_noop("Broken off: after a restart the bench no longer stood as the scenario had left it.")
BROKEN_SAID = tr_noop(
    "The program stopped in the middle, and what had happened to the simulated bench was "
    "lost with it. It speaks neither for you nor against you: begin it again."
)
#: What of a scenario outlives a restart: it is in the record, or in nobody's hands.
LASTING = (tr_noop("wrong lot"), tr_noop("called away"))


@dataclass(frozen=True, slots=True)
class CriterionResult:
    """One sign: what it says, whether it was seen, and when first, in the make's seconds; ``missed`` is what it says where it
    was not, if anything."""

    says: str
    seen: bool
    at_s: float | None = None
    missed: str = ""

    @property
    def told(self) -> str:
        """That it was seen, as a sentence."""
        return f"{translated(self.says)}."

    @property
    def not_seen(self) -> str:
        """That it never came, as a sentence."""
        if self.missed:
            return f"{translated(self.missed)}."
        return tr("This did not happen: {says}.", says=self.says)


@dataclass(frozen=True, slots=True)
class Verdict:
    """``reached`` only where the rehearsal came to its last step's end, every good sign and no bad one was seen."""

    begun_at_s: float | None
    finished: bool
    good: tuple[CriterionResult, ...]
    bad: tuple[CriterionResult, ...]
    broken_off: bool = False

    @property
    def decided(self) -> bool:
        """Whether nothing that could still come changes the verdict, short of an end of the step."""
        return all(g.seen for g in self.good) or any(b.seen for b in self.bad)

    @property
    def reached(self) -> bool:
        """Whether the goal was reached."""
        return self.finished and all(g.seen for g in self.good) and not any(b.seen for b in self.bad)

    @property
    def why(self) -> tuple[str, ...]:
        """What decided it, in sentences."""
        return (*self.seen, *self.missing) or tuple(g.told for g in self.good)

    @property
    def seen(self) -> tuple[str, ...]:
        """What went wrong or was not come to, in sentences."""
        if self.broken_off:
            return (BROKEN_SAID,)
        if self.begun_at_s is None:
            return (tr("The rehearsal ended before anything went wrong."),)
        out = tuple(b.told for b in self.bad if b.seen)
        if not self.finished:
            return (*out, tr("The rehearsal was not walked to the end of its last step."))
        return out

    @property
    def missing(self) -> tuple[str, ...]:
        """That good signs never came, in sentences, once there was something to see."""
        if self.broken_off or self.begun_at_s is None:
            return ()
        return tuple(g.not_seen for g in self.good if not g.seen)


def judge(scenario: Scenario, events: Sequence[ev.Event]) -> Verdict:
    """The verdict on a make that rehearsed ``scenario``."""
    began = next((n for n, e in enumerate(events) if _begins(scenario, e)), None)
    if began is None:
        return Verdict(
            None,
            False,
            tuple(CriterionResult(s.says, False, None, s.missed) for s in scenario.good),
            (),
            _broken(events),
        )
    ends = next((n for n, e in enumerate(events) if n >= began and _ends(scenario, e)), None)
    # What the end itself brings stands around the step's last event, at its very time.
    frame = events[began:] if ends is None else [e for e in events[began:] if e.at_s <= events[ends].at_s]
    good = tuple(_found(s, frame) for s in scenario.good)
    bad = tuple(_found(s, frame) for s in scenario.bad)
    return Verdict(events[began].at_s, ends is not None, good, bad, _broken(events))


def struck(events: Iterable[ev.Event]) -> bool:
    """Whether what the scenario has in store has happened."""
    return any(isinstance(e, ev.ScenarioStruck) for e in events)


def can_be_resumed(scenario: Scenario, events: Sequence[ev.Event]) -> bool:
    """Whether a rehearsal that was interrupted after these events can honestly go on with its scenario: nothing has
    happened yet, what happened outlives a restart, or the verdict no longer hangs on it."""
    lasting = all(h.what in LASTING for h in scenario.happens)
    return not struck(events) or lasting or judge(scenario, events).decided


def _broken(events: Sequence[ev.Event]) -> bool:
    return any(isinstance(e, ev.MakeAbandoned) and e.reason == BROKEN_OFF for e in events)


def _begins(scenario: Scenario, event: ev.Event) -> bool:
    return (
        isinstance(event, ev.ActBegan)
        and event.step == scenario.begins.step
        and event.act.startswith(scenario.begins.act)
    )


def _ends(scenario: Scenario, event: ev.Event) -> bool:
    return isinstance(event, ev.StepFinished | ev.StepSkipped) and event.step == scenario.ends


def _found(sign: Criterion, frame: Sequence[ev.Event]) -> CriterionResult:
    fitting = [e for e in (frame if sign.held else _not_held(frame)) if sign.fits(e)]
    seen = len(fitting) >= sign.least
    return CriterionResult(sign.says, seen, fitting[sign.least - 1].at_s if seen else None, sign.missed)


def _not_held(events: Iterable[ev.Event]) -> list[ev.Event]:
    out, held = [], False
    for event in events:
        if isinstance(event, ev.MakeHeld | ev.HoldEnded):
            held = isinstance(event, ev.MakeHeld)
        elif not held:
            out.append(event)
    return out
