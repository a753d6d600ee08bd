"""All benches of the workshop at a glance: what is being made on each, how long still, what is wrong, what waits for release, what is
due. Of a make elsewhere nothing is known but its events: the newest say how it stands."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache, partial

from benchapp import events as ev
from benchapp.calculations.until_done import MakeSoFar, PastMake, UntilDone, until_done
from benchapp.foundation.language import tr, tr_n, tr_noop
from benchapp.make.waits import still
from benchapp.record.elsewhere import BenchElsewhere
from benchapp.record.facts import ProcedureFacts
from benchapp.record.journal import Journal
from benchapp.record.live import LIVE, LiveMake, live_of
from benchapp.record.past_makes import past_makes
from benchapp.record.release import DueCheck
from benchapp.record.stored_event import StoredEvent
from benchapp.service.matter import Matter, Sheet
from benchapp.service.several_benches import ALONE, JOIN

#: What was heard of less than so many minutes ago was heard of just now.
JUST_NOW_MIN = 2
#: A bench of which nothing was heard for so long is to be looked into.
SILENT_AFTER = timedelta(days=2)
#: A rehearsal that was left is no longer being made after so long.
LEFT_AFTER = timedelta(hours=1)
#: What is done about an alarm, by its kind: see benchapp.make.alarms.
DEEDS = {
    "too hot": tr_noop("Turn the heat down, lift the pot out with a dry cloth"),
    "not warming": tr_noop("Switch the heat off, see whether the bath has run dry"),
    "probe": tr_noop("Look at the probe"),
}  # fmt: skip
#: Finished makes of a procedure in about a size, or rehearsals, and a sentence for each that cannot be read.
Past = Callable[[str, float, bool], tuple[Sequence[PastMake], tuple[str, ...]]]
#: The kind of step in which nothing is left but to sign.
SIGNED = "finish"
#: What is said of a bench on which nothing is made.
IDLE = tr_noop("nothing is being made")


@dataclass(frozen=True, slots=True)
class MakeNow:
    """A make that is not over. ``step`` is its title ("" between two), ``number`` of ``steps``; ``until``: how long it still takes by
    finished makes like it, None where there are none; ``as_of``: when its newest event was written (ISO); ``danger``, ``alarm``, ``temp_c``: see LiveMake; ``pot``: which vessel
    the alarm is about, "" where nobody knows; ``unread``: earlier makes that should have foretold this one, a sentence each."""

    batch: str
    procedure: str
    product: str
    batch_g: float
    maker: str
    rehearsal: bool
    step: str
    number: int
    steps: int
    until: UntilDone | None
    as_of: str
    held: str = ""
    wrong: tuple[str, ...] = ()
    danger: float = 0.0
    alarm: str = ""
    pot: str = ""
    temp_c: float | None = None
    unread: tuple[str, ...] = ()

    @property
    def doing(self) -> str:
        """What is done just now, in a few words."""
        if not self.step:
            return tr("between two steps") if self.number else tr("not begun yet")
        if not self.steps:  # its procedure is of a newer version
            return self.step
        return tr("{number} of {steps}, {step}", number=self.number, steps=self.steps, step=self.step)

    @property
    def left(self) -> str:
        """How long still, "" where nobody knows."""
        if self.until is None:
            return ""
        if self.until.late_s <= 0:
            return tr("longer than usual")
        return tr("about {wait} left", wait=still(self.until))


@dataclass(frozen=True, slots=True)
class BenchNow:
    """A bench: when it was last ``heard`` of, in words, and how long ``ago`` in a few, whether it is ``silent`` for days, what is made on it, what waits for
    a decision, and what is due of that."""

    bench: str
    short: str
    own: bool
    heard: str
    makes: tuple[MakeNow, ...]
    waiting: tuple[str, ...]
    due: tuple[DueCheck, ...]
    trouble: tuple[str, ...] = ()
    lacking: int = 0  # events of it that are known of and not here yet
    ago: str = ""
    silent: bool = False

    @property
    def danger(self) -> float:
        """Of the make there that is worst: see LiveMake."""
        return max((make.danger for make in self.makes), default=0.0)

    @property
    def alarms(self) -> tuple[str, ...]:
        """What somebody has to go and see to now, a sentence each."""
        return tuple(text for make in self.makes for text in make.wrong)

    @property
    def worst(self) -> MakeNow | None:
        """The make there that is most dangerous, None where none is."""
        return max(self.makes, key=lambda make: (make.danger, bool(make.wrong)), default=None)

    @property
    def deed(self) -> str:
        """What is done where it is worst, in a few words, "" where no alarm says so."""
        worst = self.worst
        return tr(DEEDS[worst.alarm]) if worst is not None and worst.alarm in DEEDS else ""

    @property
    def wrong(self) -> tuple[str, ...]:
        """Everything that is wrong there, a sentence each: alarms before what is held."""
        held = tuple(
            tr("{product} is held: {why}", product=m.product, why=m.held) for m in self.makes if m.held
        )
        return (*self.alarms, *held, *self.trouble)

    @property
    def unread(self) -> tuple[str, ...]:
        """The earlier makes that foretell nothing of what is made there, a sentence each."""
        return tuple(dict.fromkeys(text for make in self.makes for text in make.unread))

    @property
    def behind(self) -> str:
        """What of it is not known here, "" where all is."""
        if not self.lacking:
            return ""
        return tr_n(
            "One entry from it is still on the way.",
            "{n} entries from it are still on the way.",
            n=self.lacking,
        )

    @property
    def waits(self) -> str:
        """How many batches wait for a decision and what of it is due, "" where none does."""
        if not self.waiting:
            return ""
        said = tr_n("one batch waits for a decision", "{n} batches wait for a decision", n=len(self.waiting))
        now = sum(check.state == "due" for check in self.due)
        return said + (tr_n(", one check is due", ", {n} checks are due", n=now) if now else "")


class Overview(Matter):
    """The workshop as one."""

    def benches(self) -> tuple[BenchNow, ...]:
        """Every bench, those where something is wrong first, the most dangerous before others, then those where something is made; none on a bench alone."""
        due: dict[str, list[DueCheck]] = {}
        for check in self.records.due():
            due.setdefault(check.batch, []).append(check)
        benches = self.journal.elsewhere.benches()
        makes = self._makes([batch for one in benches for batch in one.unfinished])
        found = (self._bench(one, due, [makes[batch] for batch in one.unfinished]) for one in benches)
        return tuple(
            sorted(
                found, key=lambda one: (-one.danger, not one.wrong, not one.silent, not one.makes, one.bench)
            )
        )

    def _bench(
        self, one: BenchElsewhere, due: dict[str, list[DueCheck]], found: Sequence[MakeNow]
    ) -> BenchNow:
        makes = tuple(make for make in found if not (make.rehearsal and self._left(make)))
        trouble = [one.refused] if one.refused else []
        heard, ago, silent = self._heard(one)
        checks = tuple(check for batch in one.waiting for check in due.get(batch, ()))
        return BenchNow(
            one.bench,
            one.short,
            one.own,
            heard,
            makes,
            one.waiting,
            checks,
            tuple(trouble),
            one.lacking,
            ago,
            silent,
        )

    def _heard(self, one: BenchElsewhere) -> tuple[str, str, bool]:
        """When it was last heard of, how long ago, and whether that is long."""
        if one.own:
            return tr("this bench"), "", False
        if not one.heard:
            return tr("no word yet"), "", False
        now = datetime.fromisoformat(self.journal.wall())
        heard = datetime.fromisoformat(one.heard).astimezone(now.tzinfo)
        ago = _ago(heard, now)
        when = f"{heard:%H:%M}" if heard.date() == now.date() else f"{heard:%Y-%m-%d %H:%M}"
        return tr("last heard {ago}, {when}", ago=ago, when=when), ago, now - heard > SILENT_AFTER

    def _left(self, make: MakeNow) -> bool:
        """Whether nobody is at a rehearsal any more."""
        return datetime.fromisoformat(self.journal.wall()) - datetime.fromisoformat(make.as_of) > LEFT_AFTER

    def _makes(self, batches: Sequence[str]) -> dict[str, MakeNow]:
        """Each of these, by one question for the events of all."""
        written = self.journal.of_batches(LIVE, batches)
        past = lru_cache(maxsize=None)(partial(_past, self.journal))  # several benches may make one thing
        return {batch: self._make(batch, stored, past) for batch, stored in written.items()}

    def _make(self, batch: str, stored: Sequence[StoredEvent], past: Past) -> MakeNow:
        from benchapp.service.procedure_facts import facts_in  # procedures are loaded where they are wanted

        line, live = self.journal.batch(batch), live_of(stored, self.journal.last(batch))
        facts = facts_in(stored[0].event if stored else ev.Event(at_s=0.0))
        keys, step = list(facts.steps), live.times.here
        known = step in facts.steps
        alike, unread = past(line.procedure, line.batch_g, line.rehearsal)
        return MakeNow(
            batch, line.procedure, facts.product or line.procedure, line.batch_g, line.maker, line.rehearsal,
            facts.steps[step].title if known else step,
            keys.index(step) + 1 if known else len(live.times.done), len(keys),
            _until_done(alike, live, facts), live.as_of, live.held, live.wrong, live.danger, live.alarm,
            facts.vessel(live.vessel) if live.vessel in facts.vessels else "", live.temp_c, unread,
        )  # fmt: skip

    def overview_sheet(self) -> Sheet:
        """Every bench in a row."""
        if not self.journal.elsewhere.shared:
            return Sheet((tr(ALONE), tr(JOIN)))
        rows = [row for one in self.benches() for row in _rows(one)]
        titles = ("bench", tr("being made"), tr("step"), tr("how long"), tr("as of"), tr("waits"))
        notes = tuple(
            tr("{bench}: {text}", bench=one.bench, text=text)
            for one in self.benches()
            for text in (*one.wrong, *one.unread, one.behind)
            if text
        )
        return Sheet((), titles, tuple(rows), notes)


def _past(
    journal: Journal, procedure: str, batch_g: float, rehearsal: bool
) -> tuple[Sequence[PastMake], tuple[str, ...]]:
    unread: dict[str, str] = {}
    return past_makes(journal, procedure, batch_g, rehearsal, unread), tuple(unread.values())


def _ago(then: datetime, now: datetime) -> str:
    """How long ago something was: coarse, so that it seldom changes."""
    minutes = max(int((now - then).total_seconds() // 60), 0)
    days = (now.date() - then.date()).days
    if minutes < JUST_NOW_MIN:
        return tr("just now")
    if minutes < 60:
        return tr("{minutes} min ago", minutes=minutes)
    if days and minutes >= 12 * 60:
        return tr_n("{n} day ago", "{n} days ago", n=days)
    return tr("{hours} h ago", hours=minutes // 60)


def _until_done(past: Sequence[PastMake], live: LiveMake, facts: ProcedureFacts) -> UntilDone | None:
    """Until nothing is left but to sign, as of the newest event; None where its procedure cannot be read here."""
    to_come = {key for key, step in facts.steps.items() if step.kind != SIGNED}.difference(live.times.done)
    if not facts.steps:
        return None
    active = live.times.active & to_come
    seconds = live.times.up_to(live.now_s)
    return until_done(past, MakeSoFar(active, dict.fromkeys(to_come - active, 0.0), seconds))


def _rows(one: BenchNow) -> list[tuple[str, ...]]:
    name = f"{one.bench} ({one.short})"
    if not one.makes:
        return [(name, tr(IDLE), "", "", one.heard, one.waits)]
    return [
        (
            name if n == 0 else "", tr("{product}, {batch_g:g} g", product=make.product, batch_g=make.batch_g), make.doing, make.left,
            tr("{when}, {heard}", when=make.as_of[11:16], heard=one.heard), one.waits if n == 0 else "",
        )
        for n, make in enumerate(one.makes)
    ]  # fmt: skip
