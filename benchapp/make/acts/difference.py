"""A vessel weighs otherwise than it should: what may be true of it, and what follows from each answer.

A weight alone does not tell whether something was spilled, laid down, poured or shown by a wandering scale. It is a question of
fact: no answer goes by itself, and "I don't know" is one of them.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import number, tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Input, Press
from benchapp.make.view_model import Choice
from benchapp.make.vocabulary import ChoiceKey, Stage


@dataclass(frozen=True)
class Difference:
    """What stands on ``device`` as ``vessel`` shows ``found_g`` where ``least_g`` to ``most_g`` stood; grams, gross.

    ``pouring`` is the line whose pour it interrupted, of which ``poured_g`` were in.
    """

    act: Act
    context: Context
    vessel: str
    device: str
    least_g: float
    most_g: float
    found_g: float
    pouring: str = ""
    poured_g: float = 0.0

    @property
    def lost_g(self) -> float:
        """How much lighter it is, in grams; 0 where it is heavier."""
        return max(exact(self.least_g - self.found_g), 0.0)

    @property
    def gained_g(self) -> float:
        """How much heavier it is, in grams; 0 where it is lighter."""
        return max(exact(self.found_g - self.most_g), 0.0)

    @property
    def _changed_g(self) -> float:
        return self.gained_g - self.lost_g

    @property
    def contents_g(self) -> dict[str, float]:
        """What was in it by the book, with what was just being poured; grams by line."""
        held = {k: g for k, g in self.context.state.ledger.of(self.vessel).contents_g.items() if g > 0}
        if self.pouring and self.poured_g > 0:
            held[self.pouring] = held.get(self.pouring, 0.0) + self.poured_g
        return held

    @property
    def may_be_spilled(self) -> bool:
        """Whether so much was in it as is gone."""
        return 0.0 < self.lost_g <= sum(self.contents_g.values())

    @property
    def choices(self) -> tuple[Choice, ...]:
        """The true answers, the commonest first."""
        out: list[Choice] = []
        if self.may_be_spilled:
            out.append(Choice(ChoiceKey.SPILLED, tr("Some of it was spilled"), serious=True))
        if self.pouring and self.lost_g:
            out.append(Choice(ChoiceKey.IT_IS, tr("Nothing is gone: a hand lay on it"), serious=True))
        if self.pouring and self.gained_g:
            out.append(Choice(ChoiceKey.POURED_ON, tr("I poured on meanwhile"), serious=True))
        tool = tr("A tool or lid is on it") if self.gained_g else tr("A tool or lid is off")
        out.append(Choice(ChoiceKey.TOOL, tool, serious=True))
        out.append(Choice(ChoiceKey.LOOK_AGAIN, tr("Look at the empty pan"), serious=True))
        out.append(Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True))
        return tuple(out)

    @property
    def question(self) -> str:
        """What does not fit, as it is asked."""
        way = "heavier" if self.gained_g else "lighter"
        by = f"{number(abs(self._changed_g), f'.{self._places}f')} g"
        return tr(
            "Why is the {vessel_name} {by} {way}?",
            vessel_name=self.context.vessel_name(self.vessel),
            by=by,
            way=way,
        )

    @property
    def why(self) -> str:
        """The two masses, and what needs no answer."""
        name, places = self.context.vessel_name(self.vessel), self._places
        stood = number(self.least_g, f".{places}f")
        if self.most_g - self.least_g >= 0.1:
            stood += tr(" to {most_g:.{places}f}", most_g=self.most_g, places=places)
        return tr(
            "The {name} should weigh {stood} g; the scale shows {found_g:.{places}f} g. If it is "
            "another vessel, take it off.",
            name=name,
            stood=stood,
            found_g=self.found_g,
            places=places,
        )

    @property
    def _places(self) -> int:
        return self.context.plan.decimals[self.device]

    def answered(self, given: Input) -> list[ev.Event]:
        """What an answer brings about; what was spilled is asked for where it is not plain."""
        if not isinstance(given, Press):
            return []
        match given.key:
            case ChoiceKey.SPILLED if self.may_be_spilled:
                return self._spilled()
            case ChoiceKey.TOOL:
                return [self.noted(ev.Grade.NOTE, tr("The maker says: a tool or lid.")), *self.tare()]
            case ChoiceKey.LOOK_AGAIN:
                why = tr(
                    "it shows {found_g:.{places}f} g for the {vessel_name}",
                    found_g=self.found_g,
                    places=self._places,
                    vessel_name=self.context.vessel_name(self.vessel),
                )
                return [ev.ScaleDoubted(at_s=self.context.now_s, device=self.device, why=why)]
            case ChoiceKey.UNKNOWN if self.may_be_spilled:
                return self.lost("unknown")
            case ChoiceKey.UNKNOWN:
                return [self.noted(ev.Grade.MAJOR, tr("Nobody knows why.")), *self.tare()]
            case _:
                return []

    def tare(self) -> list[ev.Event]:
        """What is more or less now belongs to the vessel and not to the batch."""
        return [
            ev.TareChanged(
                at_s=self.context.now_s, step=self.act.step.key, vessel=self.vessel, device=self.device,
                by_g=self._changed_g, gross_g=self.found_g,
            )
        ]  # fmt: skip

    def _spilled(self) -> list[ev.Event]:
        held = self.contents_g
        if len(held) == 1:
            return self.lost("only", next(iter(held)))
        return [self.act.stage(self.context, Stage.SPILL)]

    def lost(self, how: str, line: str = "") -> list[ev.Event]:
        """It was spilled: some of everything ("mixed"), of one ``line`` ("only"), or nobody knows ("unknown")."""
        held, gone_g = self.contents_g, self.lost_g
        if how == "mixed":
            whole = sum(held.values())
            lines = tuple((k, exact(gone_g * g / whole)) for k, g in held.items())
        else:
            lines = ((line, min(gone_g, held[line])),) if how == "only" else ()
        event = ev.MassLost(
            at_s=self.context.now_s, step=self.act.step.key, vessel=self.vessel, device=self.device, lost_g=gone_g,
            lines=lines, pouring=self.pouring, how=how, gross_g=self.found_g,
        )  # fmt: skip
        return [self._said(how, line), event]

    def _said(self, how: str, line: str) -> ev.Event:
        context, name = self.context, self.context.vessel_name(self.vessel)
        gone = tr(
            "{lost_g:.{places}f} g were lost from the {name}",
            lost_g=self.lost_g,
            places=self._places,
            name=name,
        )
        if how == "mixed":
            return self.act.deviation(
                context, ev.Grade.MINOR, "spilled", tr("{gone}, of everything in it.", gone=gone)
            )
        if how == "only":
            text = tr("{gone}, of {line_name} alone.", gone=gone, line_name=context.plan.line_name(line))
            return self.act.deviation(context, ev.Grade.MINOR, "spilled", text)
        among = ", ".join(context.plan.line_name(k) for k in self.contents_g)
        text = tr(
            "{gone}, and nobody knows of what: each of {among} may be short by as much.",
            gone=gone,
            among=among,
        )
        return self.act.deviation(context, ev.Grade.MAJOR, "spilled", text)

    def noted(self, grade: ev.Grade, said: str) -> ev.Event:
        """By how much it came back otherwise, and what the maker says to that."""
        name, by = (
            self.context.vessel_name(self.vessel),
            f"{number(abs(self._changed_g), f'.{self._places}f')} g",
        )
        way = "heavier" if self._changed_g > 0 else "lighter"
        return self.act.deviation(
            self.context,
            grade,
            tr_noop("vessel mass"),
            tr("The {name} came back {by} {way}. {said}", name=name, by=by, way=way, said=said),
        )
