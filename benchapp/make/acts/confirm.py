"""Acts that a yes finishes: a task, a caution, a read-back."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.lot import lot_choices, lot_words, take_lot
from benchapp.make.inputs import Input
from benchapp.make.pictures import ListPicture
from benchapp.make.view_model import ActView, CautionNotice, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Verb

#: How long cautions that are not serious stand before the step begins by itself, in seconds.
READ_S = 8.0


@dataclass(frozen=True)
class Task(Act):
    """Something to be done and confirmed."""

    text: str = ""
    yes: str = "Done"
    items: tuple[str, ...] = ()
    done: int = 0
    note: str = ""
    want: Want | None = None
    moves: tuple[tuple[str, str], ...] = ()  # probe → vessel, where the yes says that probes were placed

    @property
    def brief(self) -> str:
        """The task itself."""
        return self.text

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """A yes finishes it."""
        if not pressed(given, ChoiceKey.YES):
            return []
        placed: list[ev.Event] = [ev.ProbeMoved(at_s=context.now_s, probe=p, vessel=v) for p, v in self.moves]
        return [self.confirm(context, self.text), *placed, self.finish(context)]

    def act_view(self, context: Context) -> ActView:
        """The sentence and one choice."""
        picture = ListPicture(self.items, self.done) if self.items else None
        want = self.want or Want(Verb.CONFIRM, self.text)
        choices = (Choice(ChoiceKey.YES, self.yes),)
        return ActView(self.text, picture=picture, choices=choices, want=want, note=self.note)


@dataclass(frozen=True)
class Cautions(Act):
    """The step's cautions, before anything is picked up: serious ones are acknowledged, the others go by."""

    cautions: tuple[CautionNotice, ...] = ()

    @property
    def brief(self) -> str:
        """What comes is a caution."""
        return tr("Read the cautions")

    def begin(self, context: Context) -> list[ev.Event]:
        """They count as shown from here."""
        return [ev.CautionShown(at_s=context.now_s, step=self.step.key, caution=c.key) for c in self.cautions]

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Understood, by a distinct act; where nothing is serious, after a time to read it."""
        serious = [c for c in self.cautions if c.serious]
        if not pressed(given, ChoiceKey.UNDERSTOOD):
            return [self.finish(context)] if context.attended_s >= READ_S and not serious else []
        return [
            *(ev.CautionAcknowledged(at_s=context.now_s, step=self.step.key, caution=c.key) for c in serious),
            self.finish(context),
        ]

    def act_view(self, context: Context) -> ActView:
        """All of them at once."""
        return ActView(
            tr("Before you start, read this."),
            choices=(
                Choice(
                    ChoiceKey.UNDERSTOOD, tr("I have read it"), serious=any(c.serious for c in self.cautions)
                ),
            ),
            want=Want(Verb.ACKNOWLEDGE),
            cautions=self.cautions,
        )


@dataclass(frozen=True)
class ReadBack(Act):
    """Which ingredient comes next, read back before it is opened."""

    line: str = ""
    grams: float | None = None  # None: its whole target

    @property
    def brief(self) -> str:
        """Its name."""
        return tr("Fetch the next ingredient")

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Yes, by its lot: the right one is in hand."""
        out = take_lot(self, context, self.line, given)
        if out and isinstance(out[-1], ev.LotTaken):
            lot = tr(", lot {lot}", lot=out[-1].lot) if out[-1].lot else ""
            return [
                *out,
                self.confirm(context, tr("In hand: {name}{lot}", name=self._name(context), lot=lot)),
                self.finish(context),
            ]
        return out or []

    def act_view(self, context: Context) -> ActView:
        """Name, INCI and grams."""
        weighing = context.plan.weighings[self.line]
        inci = ", ".join(s.inci for s in weighing.line.material.composition)
        target = context.state.revised.get(self.line, weighing.target).grams
        grams = target if self.grams is None else self.grams
        note = tr(
            "{inci}. You will weigh {grams:.{decimals}f} g. Read the label: is it this one?",
            inci=inci,
            grams=grams,
            decimals=weighing.decimals,
        )
        return ActView(
            tr("Take {name}.", name=self._name(context)),
            context.progress.stage,
            not_yet=lot_words(context, self.line, grams),
            choices=lot_choices(context, self.line),
            want=Want(Verb.FETCH, self.line),
            note=note,
        )

    def _name(self, context: Context) -> str:
        return context.plan.weighings[self.line].line.name
