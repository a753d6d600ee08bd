"""What has to be known before a method can be proposed, and what only the maker or the supplier's papers can say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from benchapp.calculations.substances import brings_water
from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.recipes.ends import ph_limits
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.method_groups import in_what_burns
from procedures.errors import QuantityError
from procedures.formula import Formula, FormulaLine
from procedures.quantities import MASS, TEMPERATURE, VOLUME, quantity


class AnswerKind(Enum):
    """What an answer is: one of the choices, or a value of this kind where the choices have none that fits."""

    CHOICE = "choice"
    TEMPERATURE = tr_noop("temperature")
    PH_BAND = tr_noop("two pH values")
    CONTENT = tr_noop("a content in ml or g")


@dataclass(frozen=True, slots=True)
class Question:
    """One question. ``field``: the field of the material's table its value becomes, "" where it stays an answer."""

    key: str
    words: str
    kind: AnswerKind
    choices: tuple[str, ...] = ()
    material: str = ""
    field: str = ""


LIQUID = tr_noop("liquid at room temperature")
DISSOLVES = tr_noop("it dissolves in its phase without heat")
HEAT_IS_FINE = tr_noop("it may be heated")
ASK_PAPERS = tr_noop("Look into its supplier's papers.")
#: What of these roles is often solid, or often spoiled by heat (common practice, no source): asked, never assumed.
_OFTEN_SOLID = ("butter", "wax", "emulsifier", "thickener", "conditioner")
_OFTEN_SENSITIVE = ("preservative", "fragrance", "active", "antioxidant")
#: Usual contents, of which one is picked; any other can be typed.
_CONTENTS = ("50 ml", "100 ml", "250 ml", "50 g", "100 g")


def open_questions(formula: Formula, answers: Mapping[str, str]) -> tuple[Question, ...]:
    """What has to be asked about a formula, in the order in which it is asked; what was answered is left out."""
    found = [q for line in formula.lines for q in _about(line)]
    found += [
        Question(
            f"dissolves {x.material.key}",
            tr(
                "{name} melts at {melts_c:g} °C, and its phase must not be heated, since something "
                "in it burns.",
                name=x.name,
                melts_c=x.material.melts_c,
            ),
            AnswerKind.CHOICE,
            (DISSOLVES,),
        )
        for x in formula.lines
        if in_what_burns(x, formula)
    ]
    if _has_water(formula) and formula.ph is None:
        found.append(
            Question(
                "ph",
                tr(
                    "Between which pH values has the product to be? Take them from the preservative's papers."
                ),
                AnswerKind.PH_BAND,
            )
        )
    found.append(
        Question(
            "content", tr("How much goes into one container?"), AnswerKind.CONTENT, (*_CONTENTS, NOT_FILLED)
        )
    )
    return tuple(dict.fromkeys(q for q in found if q.key not in answers))


NOT_FILLED = tr_noop("it is not filled here")


def _about(line: FormulaLine) -> list[Question]:
    material = line.material
    if line.cap_percent is not None:
        return []
    found = []
    if material.role in _OFTEN_SOLID and material.melts_c is None:
        words = tr(
            "At which temperature does {name} melt? {ask_papers}", name=material.name, ask_papers=ASK_PAPERS
        )
        found.append(
            Question(
                f"melts {material.key}",
                words,
                AnswerKind.TEMPERATURE,
                (LIQUID,),
                material.name,
                "melts",
            )
        )
    if material.role in _OFTEN_SENSITIVE and material.below_c is None:
        words = tr(
            "Below which temperature does {name} have to stay? {ask_papers}",
            name=material.name,
            ask_papers=ASK_PAPERS,
        )
        found.append(
            Question(
                f"below {material.key}",
                words,
                AnswerKind.TEMPERATURE,
                (HEAT_IS_FINE,),
                material.name,
                "below",
            )
        )
    return found


def _has_water(formula: Formula) -> bool:
    return any(brings_water(x.inci) for line in formula.lines for x in line.material.composition)


def checked_answer(question: Question, answer: str) -> str:
    """The answer as it is kept: a choice by its own words, in whichever language it was given. Raises ChangeRefused with
    what is wanted instead."""
    chosen = next((c for c in question.choices if answer in (c, translated(c))), "")
    if chosen:
        return chosen
    try:
        if question.kind is AnswerKind.TEMPERATURE:
            quantity(answer, TEMPERATURE)
            return answer
        if question.kind is AnswerKind.CONTENT:
            kind = MASS if answer.endswith("g") else VOLUME
            if not quantity(answer, kind):
                raise QuantityError(
                    tr('"{value}" is nothing', value=answer),
                    tr('Write more than that, like "{example}"', example=kind.example),
                )
            return answer
    except QuantityError as error:
        raise ChangeRefused(str(error)) from error
    if question.kind is AnswerKind.PH_BAND:
        low, high = ph_limits(answer)
        return f"{low:g} to {high:g}"
    raise ChangeRefused(
        tr(
            "{answer!r} is none of: {names}.",
            answer=answer,
            names=", ".join(map(translated, question.choices)),
        )
    )
