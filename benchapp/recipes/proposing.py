"""A draft's open questions, their answers, and the method that follows from it."""

from __future__ import annotations

from dataclasses import replace

from benchapp.foundation.language import tr
from benchapp.recipes.draft import RELEASE, STEP, VESSEL, Draft, place_of_material, with_fields, with_list
from benchapp.recipes.ends import ph_limits
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.findings import findings_of, of_formula, read_draft
from benchapp.recipes.method import BatchGrams, propose
from benchapp.recipes.questions import Question, checked_answer, open_questions
from procedures.formula import Formula


def questions_of(draft: Draft) -> tuple[Question, ...]:
    """What has to be asked before a method can be proposed. Raises ChangeRefused where the formula isn't complete."""
    return open_questions(_whole_formula(draft), draft.answers)


def answered(draft: Draft, question: Question, answer: str) -> Draft:
    """The draft with the answer: in the material's own field, the formula's, or beside the text. Raises ChangeRefused."""
    said = checked_answer(question, answer)
    if question.key == "ph":
        draft = with_fields(draft, ("formula",), {"ph": list(ph_limits(said))})
    elif question.field and said not in question.choices:
        place = place_of_material(draft, question.material)
        if place is None:
            raise ChangeRefused(
                tr("{material} is not described in the recipe any more.", material=question.material)
            )
        draft = with_fields(draft, place, {question.field: said})
    return replace(draft, answers={**draft.answers, question.key: said})


def with_proposed_method(draft: Draft) -> Draft:
    """The draft with vessels, steps and release checks proposed, in the place of those it had. Raises ChangeRefused."""
    formula = _whole_formula(draft)
    batch = read_draft(draft).sheet.procedure
    found = propose(formula, BatchGrams(batch.default_batch_g, batch.batch_g.high), draft.answers)
    for place, tables in ((VESSEL, found.vessels), (STEP, found.steps), (RELEASE, found.release)):
        draft = with_list(draft, place, tables)
    old = draft.tables.get("accept", {})
    return with_fields(draft, ("accept",), found.accept) if found.accept and found.accept != old else draft


def _whole_formula(draft: Draft) -> Formula:
    one_pot = [{k: v for k, v in x.items() if k != "kettles"} for x in draft.list_of(VESSEL)]
    if one_pot != draft.list_of(VESSEL):  # a formula is not split before its method says so
        draft = with_list(draft, VESSEL, one_pot)
    read = read_draft(draft)
    if not {"ingredients", "formula"} <= read.sheet.whole:
        first = next((x.sentence for x in of_formula(findings_of(draft)) if x.grade == "error"), "")
        raise ChangeRefused(tr("The formula has to be complete first. {first}", first=first).strip())
    return read.sheet.procedure.formula
