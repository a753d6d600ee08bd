"""After filling: which lot the containers are from, and how many are kept back, where the procedure asks for it."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.grades import NOT_KEPT_BACK, grade_of
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.confirm import Task
from benchapp.make.inputs import Input, LotOnHand, Press, Scanned, TypeValue
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from procedures.phrases import plural
from procedures.steps import Fill

#: So many lots of packaging are offered at once; others are scanned.
OFFERED = 4
#: Until when, where the maker can't say more: the paper beside the sample does.
UNTIL = tr_noop("the date on its own label")


def acts(step: Fill) -> tuple[Act, ...]:
    """A question each for what the step declares; nothing where it declares nothing."""
    lot = (PackagingLot("packaging", step, material=step.packaging, container=step.container),)
    kept = (
        KeepBack("keep back", step, count=step.retain, where=step.retain_where, container=step.container),
    )
    moulds = tr(
        "Leave the {plural} in their moulds. Unmould: {unmould}.",
        plural=plural(step.container),
        unmould=step.unmould,
    )
    later = (Task("unmould", step, moulds, yes="Noted"),)
    return (
        *(lot if step.packaging else ()),
        *(later if step.unmould else ()),
        *(kept if step.retain else ()),
    )


def _maker(context: Context) -> str:
    return context.state.started.maker if context.state.started else ""


@dataclass(frozen=True)
class PackagingLot(Act):
    """Which lot of packaging what was filled went into."""

    material: str = ""
    container: str = ""

    @property
    def brief(self) -> str:
        """What is asked."""
        return tr("Say which lot the {plural} are from", plural=plural(self.container))

    def _lots(self, context: Context) -> tuple[LotOnHand, ...]:
        return tuple(x for x in context.watch.lots if x.material == self.material)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """A lot picked or scanned, or that nobody knows."""
        if isinstance(given, Press) and given.key == ChoiceKey.UNKNOWN:
            return [
                self.confirm(context, tr("Lot of the {plural}: not known", plural=plural(self.container))),
                self.finish(context),
            ]
        wanted = given.code.strip().casefold() if isinstance(given, Scanned) else ""
        picked = given.of if isinstance(given, Press) and given.key == ChoiceKey.LOT else ""
        lot = next((x for x in self._lots(context) if x.lot == picked or wanted in _names(x)), None)
        if lot is None or lot.why_not:
            return []
        short = sum(
            isinstance(e, ev.SampleTaken) and (e.step, e.what) == (self.step.key, ev.SHORT)
            for e in context.state.log
        )  # a last one that did not get full is one of the lot too
        filled = len(context.state.bottles.get(self.step.key, ())) + short
        used = ev.PiecesUsed(
            at_s=context.now_s,
            lot=lot.lot,
            material=self.material,
            pieces=filled,
            spoiled=0,
            by=_maker(context),
        )
        return [used, self.finish(context)]

    def act_view(self, context: Context) -> ActView:
        """The lots on the books, and that nobody knows."""
        lots = self._lots(context)
        choices = tuple(
            Choice(ChoiceKey.LOT, tr("Lot {lot}", lot=x.lot), serious=True, of=x.lot)
            for x in lots
            if not x.why_not
        )
        unknown = Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True)
        text = tr("Which lot are the {plural} from?", plural=plural(self.container))
        not_yet = (
            () if choices else (tr("No usable lot of {material} is on the books.", material=self.material),)
        )
        return ActView(
            text, not_yet=not_yet, choices=(*choices[:OFFERED], unknown), want=Want(Verb.CONFIRM, text)
        )


def _names(lot: LotOnHand) -> tuple[str, ...]:
    return tuple(x.casefold() for x in (lot.lot, lot.code) if x)


@dataclass(frozen=True)
class KeepBack(Act):
    """How many containers stay here with the batch; none is an answer."""

    count: int = 0
    where: str = ""
    container: str = ""

    @property
    def brief(self) -> str:
        """What is asked."""
        return tr("Keep samples back")

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """As asked for, another number, or none and why."""
        if pressed(given, ChoiceKey.YES):
            return [self._kept(context, self.count), self.finish(context)]
        if (
            isinstance(given, TypeValue)
            and given.value == int(given.value)
            and 0 < given.value <= self._most(context)
        ):
            kept = int(given.value)
            short = [self._missing(context, tr("{kept} kept back.", kept=kept))] if kept < self.count else []
            return [self._kept(context, kept), *short, self.finish(context)]
        if isinstance(given, Press) and given.key == ChoiceKey.DIFFERENT and given.reason:
            return [
                self._missing(context, tr("None kept back: {reason}", reason=given.reason)),
                self.finish(context),
            ]
        if pressed(given, ChoiceKey.UNKNOWN):
            return [
                self._missing(context, tr("Nobody knows whether one was kept back.")),
                self.finish(context),
            ]
        return []

    def _most(self, context: Context) -> float:
        """No more can be kept than was filled, a last one that did not get full included."""
        return len(context.state.bottles.get(self.step.key, ())) + 1.0

    def _kept(self, context: Context, pieces: int) -> ev.Event:
        return ev.SampleRetained(
            at_s=context.now_s, pieces=pieces, where=self.where, until=UNTIL, by=_maker(context)
        )

    def _missing(self, context: Context, found: str) -> ev.Event:
        text = tr("{count} to be kept back as samples. {found}", count=self.count, found=found)
        return self.deviation(context, grade_of(NOT_KEPT_BACK), NOT_KEPT_BACK, text)

    def act_view(self, context: Context) -> ActView:
        """How many, and where."""
        many = f"{self.count} {self.container if self.count == 1 else plural(self.container)}"
        choices = (
            Choice(ChoiceKey.YES, tr("{many} kept back", many=many), serious=True),
            Choice(ChoiceKey.DIFFERENT, tr("None is kept"), serious=True, reason=True),
            Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True),
        )
        ask = NumberRequest(
            tr("{plural} kept back", plural=plural(self.container)),
            "",
            1.0,
            self._most(context),
            0,
            usual=False,
        )
        return ActView(
            tr("Keep {many} back: how many are kept?", many=many), note=tr("Where: {where}.", where=self.where), choices=choices, ask=ask,
            want=Want(Verb.CONFIRM, "keep back"),
        )  # fmt: skip
