"""The make: inputs in, events out. Deterministic, without device, clock, file or widget."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from benchapp import events as ev
from benchapp.foundation.language import spoken, tr
from benchapp.make import (
    alarms,
    by_person,
    doubted_scale,
    free_order,
    hands_free,
    probe_answers,
    taking_back,
    trouble,
    weighing_ahead,
)
from benchapp.make.act_views import act_view_now
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.agenda import Agenda
from benchapp.make.bench_heard import bench_heard
from benchapp.make.filters import SensorFilters
from benchapp.make.folding import apply
from benchapp.make.inputs import (
    Abandon,
    ClockSet,
    Degrees,
    Grams,
    Hold,
    Input,
    Pedal,
    PedalDown,
    Press,
    Resume,
    Resumed,
    Scanned,
    Sign,
    Skip,
    Store,
    TakeBack,
    Tick,
    TypeValue,
)  # fmt: skip
from benchapp.make.noting import noted
from benchapp.make.outline import outline_of
from benchapp.make.plan import Plan
from benchapp.make.state import State
from benchapp.make.state_machine import ALARM, DOUBTED, HELD, LOST, StepMachine
from benchapp.make.view_model import ActView, Trouble, ViewModel
from benchapp.make.vocabulary import ChoiceKey
from benchapp.make.what_begins import step_begun, what_begins

#: How often the journal hears that nothing has happened, in seconds.
WATCH_EVERY_S = 60.0


class Make:
    """One walk through one procedure.

    ``take`` decides which events an input brings about and changes nothing but the live filters; the caller
    writes them down and then hands them to ``apply``; ``follow`` then says what begins next. So nothing is
    ever true in here that is not in the journal.
    """

    def __init__(self, plan: Plan, events: Iterable[ev.Event] = ()) -> None:
        self._plan = plan
        self._agendas: dict[str, Agenda] = {}  # by language
        self.state = State()
        self.watch = SensorFilters()
        self.step_machine = StepMachine(
            tuple(self.agenda.steps), groups=free_order.groups_of(self.agenda.steps.values())
        )
        # Until the next event, by language: the act the maker is at, and the outline of the view.
        self._acts: dict[str, Act | None] = {}
        self._outlines: dict[str, ViewModel] = {}
        for event in events:  # what was written down has happened: nothing of it is refused any more
            self._fold(event)
        self.step_machine.stand(self.state, self._needed())

    # --- in words ------------------------------------------------------------------------------------

    @property
    def agenda(self) -> Agenda:
        """What is to be done, in the language spoken here: what is written down has another one than the faces may have."""
        language = spoken().code
        found = self._agendas.get(language)
        if found is None:
            found = self._agendas[language] = Agenda(self._plan.said_here())
        return found

    @property
    def plan(self) -> Plan:
        """The plan, in the language spoken here."""
        return self.agenda.plan

    # --- the fold ------------------------------------------------------------------------------------

    def apply(self, events: Iterable[ev.Event]) -> None:
        """Let events that are written down change the state."""
        for event in events:
            self._fold(event)
            if isinstance(event, ev.ActTakenBack):
                self.step_machine.stand(self.state, self._needed())
            else:
                self.step_machine.fire(event, self.state, self._needed())

    def _fold(self, event: ev.Event) -> None:
        apply(self.state, event)
        self._acts.clear()
        self._outlines.clear()
        self.watch.turn(event, self.state.waiting)

    def _needed(self) -> frozenset[str]:
        """The devices the maker's act cannot go on without."""
        act = self.act()
        return frozenset(act.devices) if act else frozenset()

    def act(self) -> Act | None:
        """The act the maker is at."""
        language = spoken().code
        if language not in self._acts:
            self._acts[language] = self.agenda.act(self.state)
        return self._acts[language]

    def context(self, now_s: float | None = None) -> Context:
        """What an act may look at."""
        now = self.state.now_s if now_s is None else max(now_s, self.state.now_s)
        return Context(self.plan, self.state, self.watch, now, self.state.progress, self.watch.counts)

    def waiting(self, now_s: float | None = None) -> tuple[Context, Act] | None:
        """The wait the maker has stepped aside from, and what it may look at; None where there is none."""
        progress = self.state.waiting
        if progress is None:
            return None
        context = dataclasses.replace(self.context(now_s), progress=progress, counts=self.watch.waiting)
        return context, self.agenda.of(progress)

    def act_view(self, context: Context, act: Act | None) -> tuple[ActView, Trouble | None]:
        """What stands on the glass now, and the trouble it stands under."""
        act_view, above = act_view_now(context, act, self.step_machine)
        if act is None or above is not None:
            return act_view, above
        if self.state.waiting is not None:
            title = self.agenda.steps[self.state.waiting.step].title
            return weighing_ahead.with_way_back(act_view, context, act, title), None
        if act.waits:
            act_view = weighing_ahead.offered(context, act, act_view, self.agenda.acts)
        return free_order.offered(context, act, act_view), None

    def outline(self) -> ViewModel:
        """What of the view only an event changes, in the language spoken here."""
        language = spoken().code
        found = self._outlines.get(language)
        if found is None:
            found = self._outlines[language] = outline_of(self.agenda, self.context(), self.act())
        return found

    # --- deciding ------------------------------------------------------------------------------------

    def take(self, given: Input) -> list[ev.Event]:
        """The events this input brings about; none for most readings."""
        if self.state.over:
            return []
        if isinstance(given, Store):
            self.watch.lots, self.watch.lots_after = given.lots, len(self.state.log)
            return []
        given = trouble.only_its_own(self.state, given)
        context = self.context(given.at_s)
        act = self.act()
        if act is not None and (act.step.key, act.key) in self.state.acts_done:
            act = None  # done, and what follows is not written down yet: nothing is decided twice
        out = bench_heard(context, given, act, lambda: self.waiting(context.now_s) or (context, act))
        if not out and self.state.waiting is not None:
            out = self._beside(given)
        if not out:
            meant = self._meant(context, given, act)
            out = [] if meant is None else self._decide(context, meant, act)
            if out and isinstance(meant, Press):
                out = hands_free.with_how(out, meant)
        if out:
            return noted(context, out)
        if isinstance(given, Tick) and given.at_s - self.state.now_s >= WATCH_EVERY_S:
            return [ev.Watched(at_s=given.at_s, step=self.state.step)]
        return []

    def _beside(self, given: Input) -> list[ev.Event]:
        """What a wait makes of a reading or of time, while its maker weighs ahead."""
        waits = self.waiting(given.at_s)
        if waits is None or not isinstance(given, Degrees | Tick):
            return []
        context, act = waits
        if (act.step.key, act.key) in self.state.acts_done:
            return []
        place = self.step_machine.state
        stopped = place == HELD or (place == ALARM and not probe_answers.only_asked(context, act))
        if stopped or self.state.lost.keys() & set(act.devices):
            return []
        return act.take(context, given)

    def _meant(self, context: Context, given: Input, act: Act | None) -> Input | None:
        """What a foot or a push on an empty pan says as the input it stands for; everything else as it is."""
        if isinstance(given, Grams):
            if not hands_free.pushed_pan(context, act, given):
                return given
            return hands_free.meant_by_pan(context, given, self.act_view(context, act)[0])
        if not isinstance(given, PedalDown | Pedal):
            return given
        return hands_free.meant(context, given, self.act_view(context, act)[0])

    def _decide(self, context: Context, given: Input, act: Act | None) -> list[ev.Event]:
        if (
            isinstance(given, Press | TypeValue | Scanned | Sign | Skip | TakeBack)
            and given.prompt != self.state.prompt
        ):
            return []  # meant for another moment
        place = self.step_machine.state
        if isinstance(given, Abandon) and given.reason and self.step_machine.may("abandon"):
            done = act.unfinished(context) if act is not None else []
            return [*done, ev.MakeAbandoned(at_s=context.now_s, reason=given.reason)]
        if isinstance(given, Hold) and self.step_machine.may("hold"):
            return [ev.MakeHeld(at_s=context.now_s, reason=given.reason)]
        if isinstance(given, Resumed):
            return [ev.MakeResumed(at_s=context.now_s, gap_s=given.gap_s, program=given.program)]
        if isinstance(given, ClockSet):
            return [trouble.clock_set(context, given)]
        if place in (ALARM, HELD) and act is not None and (noticed := act.noticed(context, given)):
            return noticed
        if place == ALARM:
            goes_on = (
                isinstance(given, Degrees | Tick)
                and act is not None
                and probe_answers.only_asked(context, act)
            )
            return act.take(context, given) if goes_on and act else alarms.calm(context, given)
        if place == HELD:
            back = isinstance(given, Resume) or pressed(given, ChoiceKey.RESUME)
            return by_person.hold_ended(context, act) if back else []
        return [] if act is None else self._at_step(context, given, act, place)

    def _at_step(self, context: Context, given: Input, act: Act, place: str) -> list[ev.Event]:
        if self.state.waiting is not None and (isinstance(given, Tick) or pressed(given, ChoiceKey.BACK)):
            back = self._back(context, act, given)
            if back:
                return back
        if isinstance(given, Press):
            said = self._pressed(context, act, given)
            if said is not None:
                return said
        if isinstance(given, Skip):
            return by_person.left_out(context, act, given) if self.step_machine.may("skip") else []
        if isinstance(given, TakeBack):
            return taking_back.taken_back(self.state.log, context.now_s)
        if isinstance(given, TypeValue):
            return by_person.typed(context, act, given)
        if place == LOST:
            # Whatever a person can say without the device stays open: else a dead device would end the batch.
            return act.take(context, given) if isinstance(given, Press | Scanned | Sign | Tick) else []
        if place == DOUBTED:
            device = next(d for d in act.devices if d in self.state.doubted)
            return doubted_scale.reconcile(context, device, given, act)
        return act.take(context, given)

    def _pressed(self, context: Context, act: Act, given: Press) -> list[ev.Event] | None:
        """What a press means whatever the act; None where it is for the act to say."""
        if given.key == ChoiceKey.AHEAD:
            return self._step_aside(context, act, given.of)
        if given.key == ChoiceKey.INSTEAD:
            off = free_order.put_off(context, act, given.of)
            return [*off, *step_begun(context, self.agenda, given.of)] if off else []
        return (probe_answers.vouched(context, act) or None) if given.key == ChoiceKey.IN_POT else None

    def _step_aside(self, context: Context, act: Act, key: str) -> list[ev.Event]:
        """Into a weighing that can be done now."""
        ahead = weighing_ahead.doable(context, act, act.act_view(context).forecast, self.agenda.acts)
        into = next((s for s in ahead if s.key == key), None)
        if into is None:
            return []
        return [weighing_ahead.begun(context, act, into), *step_begun(context, self.agenda, key)]

    def _back(self, context: Context, act: Act, given: Input) -> list[ev.Event]:
        """Back to the wait, because it calls or because the maker says so; never with something half poured."""
        why = tr("the maker went back") if pressed(given, ChoiceKey.BACK) else self._calls(context.now_s)
        if not why or not weighing_ahead.empty_handed(context, act):
            return []
        return [weighing_ahead.ended(context, self.agenda.acts_now(self.state.step, self.state), why)]

    def _calls(self, now_s: float) -> str:
        waits = self.waiting(now_s)
        return "" if waits is None else weighing_ahead.calls(*waits, waits[1].act_view(waits[0]).forecast)

    # --- what begins next ----------------------------------------------------------------------------

    def follow(self, at_s: float) -> list[ev.Event]:
        """What begins by itself after the last events; call until it is empty."""
        if self.state.over or self.state.started is None:
            return []
        return what_begins(self.context(at_s), self.agenda, self.step_machine, self.act(), self._calls)
