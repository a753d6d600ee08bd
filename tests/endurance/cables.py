"""Every cable pulled, frozen, drowned or swapped in every step of a make: how soon it is said, and what came of it.

The bench is simulated, its ports are real ptys. Run ``python tests/endurance/cables.py`` for every fault; the
tests run a few. Times are the bench's own, so a slow machine changes none of them.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from benchapp import events as ev
from benchapp.make.view_model import ViewModel
from benchapp.record.journal import Journal
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.runtime.session import Answer
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

#: A fault has to be said within so long beyond the device's own period.
NOTICE_S = 2.0
#: How long the maker leaves it broken after it was said, in seconds.
BROKEN_S = 15.0
#: Bench seconds a step may take after the fault is mended: heating is the longest.
STEP_LIMIT_S = 3 * 3600.0

#: Bench seconds before the maker says that it was done all the same.
PATIENCE_S = 1800.0

Break = Callable[[SimulatedBench, str], None]


@dataclass(frozen=True)
class Fault:
    """One way for a cable or a device to fail, and the way back."""

    name: str
    breaks: Break
    mends: Break
    kinds: tuple[str, ...] = ("scale", "thermometer", "ph meter")


def _swap(bench: SimulatedBench, _: str) -> None:
    bench.faults.swap("bench scale", "fine scale")


FAULTS = (
    Fault("unplugged", lambda b, d: b.faults.unplug(d), lambda b, d: b.faults.replug(d)),
    Fault("frozen", lambda b, d: b.faults.freeze(d), lambda b, d: b.faults.thaw(d)),
    Fault("babbling as at a wrong speed", lambda b, d: b.faults.babble(d), lambda b, d: b.faults.babble(d, False)),
    Fault("random bytes in lines", lambda b, d: b.faults.garbage(d, 10**9), lambda b, d: b.faults.garbage(d, 0)),
    Fault("another unit", lambda b, d: b.faults.wrong_unit(d), lambda b, d: b.faults.wrong_unit(d, False)),
    Fault("in ounces", lambda b, d: b.faults.wrong_unit(d, unit="oz"), lambda b, d: b.faults.wrong_unit(d, False), ("scale",)),
    Fault("switched off", lambda b, d: b.faults.switch_off(d), lambda b, d: b.faults.switch_on(d), ("scale",)),
    Fault("cables of two scales swapped", _swap, _swap, ("scale",)),
    Fault("power-cycled", lambda b, d: b.faults.power_cycle(d, 5.0), lambda b, d: None, ("scale",)),
)  # fmt: skip


@dataclass
class Seen:
    """What came of one fault in one step. ``noticed_s`` after it began, None where nothing was said in time."""

    fault: str
    step: str
    device: str
    period_s: float
    noticed_s: float | None
    sentence: str
    used_while_broken: tuple[str, ...]
    went_on: bool

    @property
    def fine(self) -> bool:
        """Said in time, in one sentence, nothing used, and the make went on."""
        in_time = self.noticed_s is not None and self.noticed_s <= self.period_s + NOTICE_S + 1e-6
        return in_time and bool(self.sentence) and not self.used_while_broken and self.went_on


@dataclass
class Walk:
    """One make in which a fault strikes once in every step that uses a device of its kinds."""

    fault: Fault
    rehearsal: Rehearsal
    journal: Journal
    found: list[Seen] = field(default_factory=list)

    def to_the_end(self) -> str:
        """Walk the make; returns how it ended."""
        struck: set[tuple[str, str]] = set()
        view = self.rehearsal.session.view()
        while not view.over:
            view = self._step()
            device = self._target(view, struck)
            if device is not None:
                struck.add((view.step_key, device))
                view = self._strike(device, view)
        return view.over

    def _step(self) -> ViewModel:
        view = self.rehearsal.step()
        said = self.rehearsal.answers.at(view) or self._in_the_end(view)
        if said is not None:
            self.rehearsal.session.put(said.given(self.rehearsal.session.clock(), view.prompt))
        return view

    def _in_the_end(self, view: ViewModel) -> Answer | None:
        """Hands that poured while nobody could read the temperature have to say so: the gate never opens again."""
        waited_s = self.rehearsal.bench.now_s - self.rehearsal.session.make.state.progress.began_s
        if waited_s > PATIENCE_S and "anyway" in {c.word for c in view.act_view.choices}:
            return Answer("anyway", "it was done while the thermometer gave nothing")
        return None

    def _target(self, view: ViewModel, struck: set[tuple[str, str]]) -> str | None:
        act = self.rehearsal.session.make.act()
        state = self.rehearsal.session.make.state
        if (
            act is None
            or view.trouble is not None
            or self.rehearsal.bench.now_s - state.progress.began_s < 0.5
        ):
            return None
        kinds = {d.name: d.kind for d in self.rehearsal.session.make.plan.devices}
        fresh = (d for d in act.devices if kinds[d] in self.fault.kinds and (view.step_key, d) not in struck)
        return next(fresh, None)

    def _strike(self, device: str, view: ViewModel) -> ViewModel:
        bench, session = self.rehearsal.bench, self.rehearsal.session
        period_s = session.make.plan.device(device).period_s
        step, began_s = view.step_key, bench.now_s
        before = session.recorded
        self.fault.breaks(bench, device)
        noticed_s, sentence = None, ""
        while bench.now_s - began_s < max(30.0, 3 * period_s) and session.make.state.step == step:
            view = self.rehearsal.step(0.1)
            sentence = self._said(view, device, session.recorded - before)
            if sentence:
                noticed_s = bench.now_s - began_s
                break
        said_at = session.recorded
        until_s = bench.now_s + BROKEN_S
        while bench.now_s < until_s and session.make.state.step == step:
            view = self.rehearsal.step()
        used = self._used(device, session.recorded - said_at)
        self.fault.mends(bench, device)
        limit_s = bench.now_s + STEP_LIMIT_S
        while session.make.state.step == step and not view.over and bench.now_s < limit_s:
            view = self._step()
        went_on = session.make.state.step != step or bool(view.over)
        self.found.append(Seen(self.fault.name, step, device, period_s, noticed_s, sentence, used, went_on))
        if not went_on:
            raise RuntimeError(
                f"{self.fault.name}, {device}, {step}: stuck at {view.prompt}: {view.act_view.instruction}"
            )
        return view

    def _said(self, view: ViewModel, device: str, fresh: int) -> str:
        if view.trouble is not None:
            return view.trouble.text
        complaint = self.rehearsal.session.make.watch.complaint(device, self.rehearsal.bench.now_s)
        if complaint in view.act_view.not_yet and complaint:
            return complaint
        recent = list(self.rehearsal.session.recent)[-fresh:] if fresh else []
        return next((e.text for e in recent if isinstance(e, ev.DeviceLost) and e.device == device), "")

    def _used(self, device: str, fresh: int) -> tuple[str, ...]:
        recent = list(self.rehearsal.session.recent)[-fresh:] if fresh else []
        measured = (ev.WeightTaken, ev.PhTaken, ev.TemperaturesLogged, ev.BottleFilled)
        return tuple(
            type(e).__name__
            for e in recent
            if isinstance(e, measured) and e.source is ev.Source.MEASURED and self._by(e, device)
        )

    def _by(self, event: ev.Event, device: str) -> bool:
        """Whether that device could have said it: beside a broken scale the pots of a wait are still measured."""
        if isinstance(event, ev.TemperaturesLogged):
            return self.rehearsal.session.make.plan.device(device).kind == "thermometer"
        return getattr(event, "device", device) == device


def walk(fault: Fault, procedure: str = "oat-hand-lotion", seed: int = 1) -> tuple[str, list[Seen]]:
    """One make with that fault in every step; how it ended and what was seen."""
    recipe = read_procedure(find(procedure)).procedure
    devices = (*DEFAULT_DEVICES, PH_METER)
    with tempfile.TemporaryDirectory() as folder, SimulatedBench(seed=seed, devices=devices) as bench:
        journal = Journal(Path(folder), lambda: "2026-03-01T09:00:00.000+01:00")
        facts = [facts_of(d) for d in bench.bench.devices]
        session = begin(
            journal,
            BatchOrder(recipe, recipe.default_batch_g, facts, "Mara Lind", "b1", rehearsal=True),
            lambda: bench.now_s,
        )
        made = Walk(fault, rehearse(bench, session, seed), journal)
        try:
            return made.to_the_end(), made.found
        finally:
            session.close()
            journal.close()


def main() -> int:
    """Every fault in every step, as a table."""
    bad = 0
    print(f"{'fault':32}{'step':16}{'device':16}{'said after s':>13}  went on  sentence")
    for fault in FAULTS:
        over, found = walk(fault)
        for s in found:
            bad += not s.fine
            late = "never" if s.noticed_s is None else f"{s.noticed_s:.1f}"
            mark = (
                ""
                if s.fine
                else "  <-- " + ("used: " + ", ".join(s.used_while_broken) if s.used_while_broken else "")
            )
            print(
                f"{s.fault:32}{s.step:16}{s.device:16}{late:>13}  {'yes' if s.went_on else 'no':7}  {s.sentence[:60]}{mark}"
            )
        print(f"{fault.name}: {over}")
    print(f"{bad} of all faults were not answered as they have to be")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
