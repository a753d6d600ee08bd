"""What a person answers for a field as it stands in the file, and what stands there as a person reads it.

An answer is a text, or a list of texts, as a person types or picks it.
"""

from __future__ import annotations

from typing import Any

from benchapp.foundation.language import tr, translated
from benchapp.foundation.numbers import decimal
from benchapp.recipes.ends import ends_of
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.step_fields import FieldKind, StepField
from procedures import quantities as q
from procedures.errors import QuantityError


def field_value(field: StepField, answer: str | list[str]) -> Any:
    """What stands in the file for an answer; None for "", which takes the field out. Raises ChangeRefused."""
    if answer in ("", []):
        if field.needed:
            raise ChangeRefused(
                tr(
                    "{name} is needed here. Write {value}.",
                    name=field.name,
                    value=translated(field.kind.value),
                )
            )
        return None
    if isinstance(answer, list):
        return [_look(one) for one in answer] if field.kind is FieldKind.LOOKS else list(answer)
    if field.kind in (
        FieldKind.PHASES,
        FieldKind.INGREDIENTS,
        FieldKind.SOLUTIONS,
        FieldKind.SENTENCES,
        FieldKind.LOOKS,
    ):
        return field_value(field, [part.strip() for part in answer.split(";") if part.strip()])
    if field.kind is FieldKind.YES_NO:
        return yes_or_no(field.name, answer)
    if field.kind is FieldKind.BAND:
        return _band(field, answer)
    if field.kind is FieldKind.COUNT and answer.isdecimal():
        return int(answer)
    if field.kind in (FieldKind.NUMBER, FieldKind.COUNT):
        return _number(field, answer)
    if field.kind is FieldKind.QUANTITY:
        return _quantity(field, answer)
    return answer


def yes_or_no(name: str, answer: str) -> bool:
    """What is meant, in English or the language spoken here; nothing else is taken for a no, since some of these fields
    bring a caution. Raises ChangeRefused."""
    said = answer.strip().casefold()
    for word, value in (("yes", True), ("no", False)):
        if said in (word, translated(word).casefold()):
            return value
    raise ChangeRefused(tr("{name}: write {value}.", name=name, value=translated(FieldKind.YES_NO.value)))


def _band(field: StepField, answer: str) -> list[Any]:
    ends = ends_of(answer)
    if ends is None:
        raise ChangeRefused(
            tr(
                '{name}: write {value}, with "to" between them.',
                name=field.name,
                value=translated(field.kind.value),
            )
        )
    if not field.units:
        return [_number(field, x) for x in ends]
    _, *unit = ends[1].split()
    return [_quantity(field, x if len(x.split()) > 1 else f"{x} {(unit or field.units)[0]}") for x in ends]


def _number(field: StepField, text: str) -> float:
    try:
        return float(decimal(text))
    except ValueError as error:
        raise ChangeRefused(tr("{name}: {text!r} is no number.", name=field.name, text=text[:40])) from error


def _quantity(field: StepField, text: str) -> str:
    unit = next((u for u in field.units if text.rstrip().endswith(u)), field.units[0])
    kinds = (k for k in q.KINDS if unit in k.units)
    kind = max(kinds, key=lambda k: k.high)  # whether this field may hold as much, the file's own check says
    try:
        q.quantity(text, kind)
    except QuantityError as error:
        raise ChangeRefused(f"{field.name}: {error}.") from error
    return text


def _look(text: str) -> dict[str, str]:
    name, colon, expect = text.partition(":")
    if not colon or not name.strip() or not expect.strip():
        raise ChangeRefused(
            tr('looks: write what is judged, a colon, and what is expected, like "Smell: fresh".')
        )
    return {"name": name.strip(), "expect": expect.strip()}


def field_words(value: Any) -> str:
    """A value of the file as a person reads it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict) and "inci" in value:
        return tr(
            "{inci} {field_words} %", inci=value["inci"], field_words=field_words(value.get("percent", []))
        )
    if isinstance(value, dict):
        return tr("{get}: {get_2}", get=value.get("name"), get_2=value.get("expect"))
    if isinstance(value, list):
        if (
            len(value) == 2
            and not any(isinstance(x, dict) for x in value)
            and all(_measured(x) for x in value)
        ):
            return f"{field_words(value[0])} to {field_words(value[1])}"
        return "; ".join(map(field_words, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _measured(value: Any) -> bool:
    return isinstance(value, int | float) or (isinstance(value, str) and value[:1].isdigit())
