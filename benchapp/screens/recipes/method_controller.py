"""The method of a recipe on the glass: proposed, its questions answered, each step changed, moved, removed or added; saved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.recipes.draft import STEP
from benchapp.recipes.questions import AnswerKind, Question
from benchapp.recipes.step_fields import FieldKind, StepField
from benchapp.screens.recipes.field_editor import FieldEditor, FieldRequest
from benchapp.screens.recipes.field_rows import FieldRows, fields_page
from benchapp.screens.recipes.recipe_requests import MOVE, REMOVE, RecipeRequests, moving
from benchapp.screens.recipes.recipe_rows import mend_step, method_page
from benchapp.screens.recipes.vessel_controller import VesselController
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from procedures.steps import STEP_TABLES

if TYPE_CHECKING:
    from benchapp.service.recipe_facts import DraftFacts
    from benchapp.service.recipe_methods import FieldFacts

PROPOSE = tr_noop("Propose a method")
#: What types an answer that is none of the choices, by what it is.
TYPED = {
    AnswerKind.TEMPERATURE: tr_noop("Type the temperature"),
    AnswerKind.CONTENT: tr_noop("Type the content"),
}
#: Nobody can say it now.
NOT_KNOWN = tr_noop("I do not know yet")
_CONTENT = StepField("content", FieldKind.QUANTITY, True, units=("ml", "g"))


class MethodController:
    """``formula`` shows the lines, ``drafts`` all recipes."""

    def __init__(
        self, recipes: RecipeRequests, formula: Callable[[str], None], drafts: Callable[[], None]
    ) -> None:
        self._recipes, self._formula, self._drafts = recipes, formula, drafts
        self._nav = recipes.nav
        self._editor = FieldEditor(recipes.nav)
        self.vessels = VesselController(recipes, self.method)

    def method(self, key: str, number: int = 0) -> None:
        """Its steps; where there are none yet, a method is proposed."""

        def shown(facts: DraftFacts) -> None:
            if facts.steps:
                self._show(facts, number)
            else:
                self._begin(facts)

        self._recipes.ask(lambda desk: desk.draft(key), shown, partial(self._formula, key))

    def _begin(self, facts: DraftFacts) -> None:
        def picked(way: str) -> None:
            if way == PROPOSE:
                self.propose(facts.key)
            else:
                self._kinds(facts.key, 0)

        ways, back = (PROPOSE, tr("Write it step by step")), Paging(partial(self._formula, facts.key))
        self._nav.ask_choice(tr("There is no method yet."), ways, picked, back)

    def _show(self, facts: DraftFacts, number: int = 0) -> None:
        nav, key = self._nav, facts.key
        more: list[ButtonSpec] = [("Add", partial(self._kinds, key, len(facts.steps)), "plain")]
        if facts.undoes:
            more.insert(0, ("Undo", partial(self._undo, key), "plain"))
        wrong = next((step for step in facts.steps if step.faults), None)
        if facts.ready:
            more.append(("Save", partial(self.save, key), "main"))
        elif wrong is not None:
            other = partial(self._recipes.one_of, facts.name, more, partial(self.method, key))
            more = [("More", other, "plain"), mend_step(wrong, partial(self.step, key))]
        paging = Paging(partial(self._formula, key), partial(self.method, key), number)
        nav.show(
            method_page(
                nav.sizes, facts, partial(self.step, key), partial(self.vessels.show, key), paging, more
            )
        )

    def _undo(self, key: str) -> None:
        def undone(facts: DraftFacts) -> None:
            if facts.steps:
                self._show(facts)
            else:
                self._formula(key)

        self._recipes.ask(lambda desk: desk.undo(key), undone, self._drafts)

    def propose_again(self, key: str) -> None:
        """Every step anew from the formula, once it is said what becomes of these."""

        def sure(choice: str) -> None:
            if choice == PROPOSE:
                self.propose(key)
            else:
                self.method(key)

        back = Paging(partial(self.method, key))
        title = tr("All steps are proposed again from the formula. Undo brings these back.")
        self._nav.ask_choice(title, (tr("Keep these steps"), PROPOSE), sure, back)

    # --- proposed ----------------------------------------------------------------------------------------

    def propose(self, key: str) -> None:
        """What only the maker knows first, then the steps."""

        def asked(found: tuple[Question, ...]) -> None:
            if found:
                self._question(key, found[0])
            else:
                self._recipes.ask(lambda desk: desk.propose(key), self._show, partial(self._formula, key))

        self._recipes.ask(lambda desk: desk.questions(key), asked, partial(self._formula, key))

    def _question(self, key: str, question: Question) -> None:
        nav, back = self._nav, partial(self._formula, key)

        def put(answer: str | list[str]) -> None:
            again = partial(self._question, key, question)
            self._recipes.ask(
                lambda desk: desk.answer(key, question, str(answer)), lambda _: self.propose(key), again
            )

        typed = tuple(words for kind, words in TYPED.items() if kind is question.kind)

        def picked(choice: str) -> None:
            if choice == tr(NOT_KNOWN):
                nav.message(tr("The recipe is kept. The method is proposed once you know it."), back)
            elif choice not in typed:
                put(by_words[choice])
            elif question.kind is AnswerKind.TEMPERATURE:
                self._editor.number(question.words, "degC", lambda c: put(f"{c:.10g} degC"), back)
            else:
                self._content(question, put, back)

        if question.kind is AnswerKind.PH_BAND:
            self._editor.band(tr("pH of the product"), "pH", put, back)
            return
        by_words = {capitalised(translated(choice)): choice for choice in question.choices}
        choices = (*typed, *by_words, tr(NOT_KNOWN))
        nav.ask_choice(question.words, choices, picked, Paging(back))

    def _content(self, question: Question, put: Callable[[str], None], back: Callable[[], None]) -> None:
        def unit(chosen: str) -> None:
            self._editor.number(question.words, chosen, lambda value: put(f"{value:.10g} {chosen}"), back)

        self._nav.ask_choice(tr("By volume or by weight?"), _CONTENT.units, unit, Paging(back))

    # --- a step ------------------------------------------------------------------------------------------

    def step(self, key: str, number: int, page: int = 0) -> None:
        """All that it says."""

        def shown(found: tuple[DraftFacts, tuple[FieldFacts, ...]]) -> None:
            self._step(found[0], number, found[1], page)

        self._recipes.ask(
            lambda desk: (desk.unchanged(key, STEP, number), desk.step_fields(key, number)),
            shown,
            partial(self.method, key),
        )

    def _step(self, facts: DraftFacts, number: int, fields: tuple[FieldFacts, ...], page: int) -> None:
        key, step = facts.key, facts.steps[number]
        by_name = {x.field.name: x for x in fields}
        moves = moving(number, len(facts.steps), partial(self._move, key, number))
        moves.append((REMOVE, partial(self._remove, key, number), "serious"))
        again = partial(self.step, key, number, page)
        more: list[ButtonSpec] = [(MOVE, partial(self._recipes.one_of, step.heading, moves, again), "plain")]
        paging = Paging(partial(self.method, key), partial(self.step, key, number), page)
        shown = [(x.field.name, x.value) for x in fields]

        def picked(name: str) -> None:
            self._field(key, number, by_name[name], page)

        self._nav.show(
            fields_page(
                self._nav.sizes,
                FieldRows(step.heading, shown, step.faults, step.faulty),
                picked,
                paging,
                more,
            )
        )

    def _field(self, key: str, number: int, facts: FieldFacts, page: int) -> None:
        again = partial(self.step, key, number, page)

        def put(answer: str | list[str]) -> None:
            self._recipes.change(lambda desk: desk.set_step(key, number, facts.field.name, answer), again)

        self._editor.ask(FieldRequest(facts.field, facts.value, facts.choices), put, again)

    def _remove(self, key: str, number: int) -> None:
        def removed(facts: DraftFacts) -> None:
            if facts.steps:
                self._show(facts)
            else:
                self._begin(facts)

        self._recipes.ask(lambda desk: desk.remove_step(key, number), removed, partial(self.method, key))

    def _move(self, key: str, number: int, by: int) -> None:
        again = partial(self.step, key, number + by)
        self._recipes.ask(
            lambda desk: desk.move_step(key, number, by), lambda _: again(), partial(self.method, key)
        )

    def _kinds(self, key: str, at: int, page: int = 0) -> None:
        """A step of which kind; it comes last and is moved from there."""

        def added(facts: DraftFacts) -> None:
            self.step(key, min(at, len(facts.steps) - 1))

        def picked(kind: str) -> None:
            self._recipes.ask(lambda desk: desk.add_step(key, kind, at), added, partial(self.method, key))

        paging = Paging(partial(self.method, key), partial(self._kinds, key, at), page)
        self._nav.ask_choice(tr("Which kind of step?"), tuple(STEP_TABLES), picked, paging)

    # --- vessels, and the end ----------------------------------------------------------------------------

    def save(self, key: str, name: str = "") -> None:
        """Make it a procedure; where its name is taken, under another one."""

        def saved(found: tuple[str, str]) -> None:
            said = (found[1], tr("It stands on the shelf now: Make a batch."))
            self._nav.tell("Saved", said, self._drafts)

        def named(new: str) -> None:
            if new:
                self.save(key, new)
            else:
                self.method(key)

        def refused() -> None:
            self._nav.ask_text(tr("Another name for it"), named, partial(self.method, key), "")

        self._recipes.ask(lambda desk: desk.save(key, name), saved, refused)
