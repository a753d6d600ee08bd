"""The method of a recipe under every face: questions, a proposal, and each step changed, moved, added, removed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from benchapp.foundation.language import tr
from benchapp.recipes import draft as d
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.field_answers import field_value, field_words
from benchapp.recipes.proposing import answered, questions_of, with_proposed_method
from benchapp.recipes.questions import Question
from benchapp.recipes.step_fields import StepField, choices_for, fields_of, new_step, vessel_fields
from benchapp.service.recipe_drafts import RecipeDrafts
from benchapp.service.recipe_facts import DraftFacts

#: How large a vessel is taken to be until somebody says it.
NEW_VESSEL = "1 l"


@dataclass(frozen=True, slots=True)
class FieldFacts:
    """A field of a step: how it is asked for, what it says, and what can be picked."""

    field: StepField
    value: str
    choices: tuple[str, ...]


class RecipeMethods(RecipeDrafts):
    """How it is made."""

    def questions(self, key: str) -> tuple[Question, ...]:
        """What is asked before a method is proposed. Raises ChangeRefused where the formula isn't complete."""
        return questions_of(self._store.open(key).draft)

    def answer(self, key: str, question: Question, answer: str) -> DraftFacts:
        """An answer; a material's melting point and the like stand in its own field then. Raises ChangeRefused."""
        return self._change(
            key, tr("answered: {answer}", answer=answer), partial(answered, question=question, answer=answer)
        )

    def propose(self, key: str) -> DraftFacts:
        """Vessels, steps and release checks from the formula. Raises ChangeRefused."""
        return self._change(key, tr("method proposed"), with_proposed_method)

    def step_fields(self, key: str, number: int) -> tuple[FieldFacts, ...]:
        """All that can be said of one step."""
        step, draft = self._table(key, d.STEP, number), self._store.open(key).draft
        return _facts(draft, step, _fields_of(step))

    def set_step(self, key: str, number: int, name: str, answer: str | list[str]) -> DraftFacts:
        """One field of one step; "" takes it out where it isn't needed. Raises ChangeRefused."""
        step = self._table(key, d.STEP, number)
        known = {f.name: f for f in _fields_of(step)}
        if name not in known:
            raise ChangeRefused(
                tr(
                    "A step of the kind {get} has no field {name}. It has: {names}.",
                    get=step.get("kind"),
                    name=name,
                    names=", ".join(known),
                )
            )
        fields = {name: field_value(known[name], answer)}
        return self._change(
            key,
            tr("{get}: {name} changed", get=step.get("title", name), name=name),
            partial(d.with_fields, place=(*d.STEP, number), fields=fields),
        )

    def add_step(self, key: str, kind: str, at: int) -> DraftFacts:
        """A new step of a kind, before the one that stands at ``at``. Raises ChangeRefused."""
        fields = new_step(kind, self._store.open(key).draft)
        return self._change(
            key,
            tr("{kind} step added", kind=kind),
            partial(d.with_one_more, place=d.STEP, fields=fields, at=at),
        )

    def remove_step(self, key: str, number: int) -> DraftFacts:
        """One step less."""
        return self._change(key, tr("step removed"), partial(d.without, place=(*d.STEP, number)))

    def move_step(self, key: str, number: int, by: int) -> DraftFacts:
        """One step earlier or later."""
        return self._change(key, tr("step moved"), partial(d.moved, place=(*d.STEP, number), to=number + by))

    def vessel_fields(self, key: str, number: int) -> tuple[FieldFacts, ...]:
        """All that can be said of one vessel."""
        vessel, draft = self._table(key, d.VESSEL, number), self._store.open(key).draft
        return _facts(draft, vessel, vessel_fields())

    def set_vessel(self, key: str, number: int, answers: dict[str, str | list[str]]) -> DraftFacts:
        """Fields of one vessel; "" takes one out where it isn't needed. Raises ChangeRefused."""
        fields = {f.name: field_value(f, answers[f.name]) for f in vessel_fields() if f.name in answers}
        return self._change(
            key, tr("vessel changed"), partial(d.with_fields, place=(*d.VESSEL, number), fields=fields)
        )

    def add_vessel(self, key: str, name: str) -> DraftFacts:
        """One more vessel, behind the others. Raises ChangeRefused where there is one of that name."""
        vessels = self._store.open(key).draft.list_of(d.VESSEL)
        if any(name.casefold() == str(v.get("name", "")).casefold() for v in vessels):
            raise ChangeRefused(tr("There is a vessel {name} already.", name=name))
        fields = {"name": name, "capacity": NEW_VESSEL}
        return self._change(
            key,
            tr("vessel added: {name}", name=name),
            partial(d.with_one_more, place=d.VESSEL, fields=fields),
        )


def _fields_of(step: Mapping[str, Any]) -> Sequence[StepField]:
    return fields_of(str(step.get("kind", "")))


def _facts(draft: d.Draft, table: Mapping[str, Any], fields: Sequence[StepField]) -> tuple[FieldFacts, ...]:
    """Each of the fields, with what the table says of it."""
    return tuple(
        FieldFacts(f, field_words(table[f.name]) if f.name in table else "", choices_for(f, draft))
        for f in fields
    )
