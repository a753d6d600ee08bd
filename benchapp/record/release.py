"""Release: what a finished batch still needs before a person may decide that it leaves, and what speaks against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from benchapp import events as ev
from benchapp.foundation.language import number, tr
from benchapp.record.batch_events import BatchEvents, batch_events
from benchapp.record.deviations import Deviation, blocking, deviations_in
from benchapp.record.documents.plain_text import minute
from benchapp.record.facts import CheckResult, ProcedureFacts, ReleaseFacts
from benchapp.record.people import Person
from benchapp.record.stored_event import StoredEvent

#: What a releaser may decide.
DECISIONS = ("released", "rework", "rejected")


@dataclass(frozen=True, slots=True)
class ReleaseStanding:
    """How a batch stands after its make. ``end``: "finished", "abandoned" or ""; ``ended`` its wall time.
    ``results`` stand with the wall times they were written down at, ``decided_at`` is that of the last decision; ``reworked`` is the wall time of the last decision to work it over, "" where there was none."""

    batch: str
    maker: str
    rehearsal: bool
    end: str
    ended: str
    deviations: tuple[Deviation, ...]
    results: tuple[tuple[str, ev.CheckRecorded], ...]
    retained: tuple[ev.SampleRetained, ...]
    decisions: tuple[ev.BatchDecided, ...]
    reworked: str = ""
    decided_at: str = ""
    trial: bool = False  # made by a version of its procedure that nobody had approved

    @property
    def decision(self) -> str:
        """The last decision, "" while there is none."""
        return self.decisions[-1].decision if self.decisions else ""

    def decided(self, decisions: Sequence[tuple[str, ev.BatchDecided]]) -> ReleaseStanding:
        """The same with what was decided, each with its wall time, the decision that holds last."""
        reworked = [wall for wall, e in decisions if e.decision == "rework"]
        return replace(
            self,
            decisions=tuple(e for _, e in decisions),
            reworked=reworked[-1] if reworked else self.reworked,
            decided_at=decisions[-1][0] if decisions else "",
        )

    @property
    def blocking(self) -> tuple[Deviation, ...]:
        """Open minor and major deviations."""
        return blocking(self.deviations)


@dataclass(frozen=True, slots=True)
class DueCheck:
    """One line of the release specification for one batch. ``state``: "waiting", "due", "passed" or "failed";
    ``due`` is an ISO time, ``written`` that at which the result was written down, "" while there is none; ``late_days``: how many
    days ago one that is still due was due."""

    batch: str
    check: ReleaseFacts
    due: str
    state: str
    result: ev.CheckRecorded | None = None
    written: str = ""
    late_days: int = 0

    @property
    def due_words(self) -> str:
        """When it is due, as a person reads it."""
        return minute(self.due)

    @property
    def result_words(self) -> str:
        """What was written down, "" while nothing was."""
        if self.result is None:
            return ""
        value = "" if self.result.value is None else number(self.result.value)
        return ", ".join(part for part in (value, self.result.words, self.result.by) if part)


def standing_of(
    written: BatchEvents | Sequence[StoredEvent], facts: ProcedureFacts | None = None
) -> ReleaseStanding:
    """The fold of one batch's events, the first of which is MakeStarted, as they stand after corrections."""
    counted = batch_events(written).counted
    stored = counted.standing
    started = stored.first.event
    maker, rehearsal = (
        (started.maker, started.rehearsal) if isinstance(started, ev.MakeStarted) else ("", False)
    )
    end = stored.end
    standing = ReleaseStanding(
        batch=stored.first.batch,
        maker=maker,
        rehearsal=rehearsal,
        end="" if end is None else "finished" if isinstance(end.event, ev.MakeFinished) else "abandoned",
        ended=end.wall if end else "",
        deviations=deviations_in(counted, facts or ProcedureFacts()),
        results=tuple((s.wall, e) for s, e in stored.each(ev.CheckRecorded)),
        retained=tuple(stored.events(ev.SampleRetained)),
        decisions=(),
        trial=isinstance(started, ev.MakeStarted) and started.version == ev.TRIAL,
    )
    return standing.decided([(s.wall, e) for s, e in stored.each(ev.BatchDecided)])


def checks_of(
    standing: ReleaseStanding, specification: Sequence[ReleaseFacts], now: str
) -> tuple[DueCheck, ...]:
    """Every check of the specification as it stands ``now`` (ISO). The newest result counts, unless it was written
    down before the check was due: then it says nothing about the aged product. A batch that was worked over is
    checked anew, from that time on."""
    if not standing.ended:
        return ()
    return tuple(_check(standing, check, datetime.fromisoformat(now)) for check in specification)


def is_timely(check: ReleaseFacts, since: str, wall: str) -> bool:
    """Whether a result of a check that was written down at ``wall`` counts, the make having ended, or been decided to be
    worked over, ``since`` then (ISO times)."""
    return datetime.fromisoformat(wall) >= _due(check, since)


def _due(check: ReleaseFacts, since: str) -> datetime:
    return datetime.fromisoformat(since) + timedelta(seconds=check.due_s)


def _check(standing: ReleaseStanding, check: ReleaseFacts, now: datetime) -> DueCheck:
    since = standing.reworked or standing.ended
    due = _due(check, since)
    timely = [
        (wall, r) for wall, r in standing.results if r.check == check.name and is_timely(check, since, wall)
    ]
    written, result = timely[-1] if timely else ("", None)
    waiting = "due" if now >= due else "waiting"
    state = waiting if result is None else "passed" if result.passed else "failed"
    late = (now.date() - due.date()).days if state == "due" else 0
    return DueCheck(standing.batch, check, due.isoformat(timespec="seconds"), state, result, written, late)


def check_problem(check: ReleaseFacts, standing: ReleaseStanding, result: CheckResult, now: str) -> str:
    """ "" or why this result cannot be written down now. A check that failed is done again only with the reason
    why the first result does not count: a test is not repeated until it passes."""
    (due,) = checks_of(standing, [check], now) or (None,)
    if due is None:
        return tr("Batch {batch} is not finished.", batch=standing.batch)
    if due.state == "waiting":
        return tr(
            "{name} is due from {due_words}; before that it says too little.",
            name=check.name,
            due_words=due.due_words,
        )
    if check.low is not None and result.value is None:
        return tr(
            "{name} needs a number, between {low:g} and {high:g}.",
            name=check.name,
            low=check.low,
            high=check.high,
        )
    if due.state == "failed" and not result.words.strip():
        return tr("{name} failed before. Say with --words why it is done again.", name=check.name)
    return ""


def why_not(
    decision: str,
    person: Person | None,
    standing: ReleaseStanding,
    checks: Sequence[DueCheck],
    label_reasons: Sequence[str] = (),
) -> tuple[str, ...]:
    """Every reason why this person may not decide so about this batch now; empty where they may."""
    if decision not in DECISIONS:
        return (tr("A decision is one of {names}.", names=", ".join(DECISIONS)),)
    who: list[str] = []
    if person is None or person.retired or "releaser" not in person.roles:
        who.append(
            tr("{who} is no releaser here.", who=person.who)
            if person
            else tr("There is no releaser of that name.")
        )
    return (*who, *speaks_against(decision, standing, checks, label_reasons))


def speaks_against(
    decision: str, standing: ReleaseStanding, checks: Sequence[DueCheck], label_reasons: Sequence[str] = ()
) -> tuple[str, ...]:
    """Every reason against this decision about this batch now, whoever decides."""
    if standing.rehearsal:
        return (tr("A rehearsal makes nothing that could leave."),)
    out: list[str] = []
    if standing.end != "finished" and not (decision == "rejected" and standing.end == "abandoned"):
        out.append(tr("The make is {end}.", end=standing.end or tr("unfinished")))
    if standing.decision == "rejected":
        out.append(tr("It was rejected, for good."))
    if standing.decision == decision == "released":
        out.append(tr("It is released already."))
    if standing.decision == "released" and decision == "rework":
        out.append(tr("It is released already; reject it to call it back."))
    if decision == "released":
        out += _against_release(standing, checks, label_reasons)
    return tuple(out)


def _against_release(
    standing: ReleaseStanding, checks: Sequence[DueCheck], label_reasons: Sequence[str]
) -> list[str]:
    out = [
        tr("Deviation {number} ({grade}) is open: {text}", number=d.number, grade=d.grade, text=d.text)
        for d in standing.blocking
    ]
    if standing.trial:
        out.append(tr("It is a trial: nobody had approved the version of the procedure it was made by."))
    for c in checks:
        if c.state == "waiting":
            out.append(tr("{name} is not due before {due_words}.", name=c.check.name, due_words=c.due_words))
        elif c.state == "due":
            out.append(tr("{name} is due and not done.", name=c.check.name))
        elif c.state == "failed" and c.result is not None:
            out.append(
                tr(
                    "{name} failed{how}.",
                    name=c.check.name,
                    how=tr(": {words}", words=c.result.words) if c.result.words else "",
                )
            )
    return out + [
        tr("The label is out of specification: {reason}", reason=reason) for reason in label_reasons
    ]


def notes_on(who: str, standing: ReleaseStanding) -> tuple[str, ...]:
    """What a decision by this person should say about itself."""
    if who.casefold() == standing.maker.casefold():
        return (tr("decided by the person who made it"),)
    return ()
