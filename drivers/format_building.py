"""A line format made from a device's own lines, of which a person knows what they weigh. Pure.

What cannot be made out beyond doubt is refused: a format that guesses would read a wrong weight one day.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.foundation.language import tr
from drivers.errors import DriverError
from drivers.formats.grammar import NumberStyle
from drivers.readings import Quantity
from drivers.units import SPELLINGS, UNITS, conversion

#: How numbers are written, the commonest first: decimal mark and what stands between thousands.
STYLES = ((".", ""), (",", ""), (".", ","), (",", "."), (".", "'"))
#: A weight on the pan and its number differ by no more: a share of it, and so many last digits.
SHARE, DIGITS = 0.02, 3.0

_NUMBER = re.compile(r"(?:(?P<sign>[+-])[ \t]*)?(?P<digits>[0-9]+(?:[.,'][0-9]+)*)")
_UNIT = re.compile(r"[ \t]*(?P<unit>[A-Za-z]{1,8})(?![A-Za-z0-9])")
_DATE = re.compile(r"[0-9]{1,4}(?:[-./][0-9]{1,4}){2}")
_TIME = re.compile(r"[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?(?:\.[0-9]{1,3})?")


class NoFormat(DriverError):
    """Nothing can be made of these lines; the text says why, and what else to try."""


@dataclass(frozen=True, slots=True)
class KnownLine:
    """A line, and what lay on the pan when it came, in grams; None while the pan moved."""

    line: str
    grams: float | None


@dataclass(frozen=True, slots=True)
class _Cut:
    """A line cut at its value: what stands before, the number's own text, its unit, what stands behind."""

    before: tuple[str, ...]
    glued: bool  # nothing between what stands before and the number
    number: str
    unit: str
    behind: tuple[str, ...]
    glued_behind: bool


def build_format(title: str, known: Sequence[KnownLine], shown: str = "g") -> str:
    """The text of a format file that reads these lines, with them as its examples.

    ``shown`` is the unit on the display, for lines that write none or one of their own. Raises NoFormat. What it gives
    has still to be proved: read as a file, where it must read its own examples.
    """
    still = [one for one in known if one.grams is not None]
    if len({one.grams for one in still}) < 3:
        raise NoFormat(tr("Three lines of different known weights are needed, the empty pan among them."))
    style, cuts = _fitting(still, shown)
    moving = [_cut_like(one.line, cuts[0], style) for one in known if one.grams is None]
    return _written(title, style, cuts, [cut for cut in moving if cut is not None], shown)


def agrees(grams: float, known_g: float, step_g: float) -> bool:
    """Whether a scale shows a known weight, as nearly as one does that was never checked."""
    return abs(grams - known_g) <= SHARE * abs(known_g) + DIGITS * step_g


def _fitting(still: Sequence[KnownLine], shown: str) -> tuple[NumberStyle, list[_Cut]]:
    """The first way of writing numbers in which one number of every line is the weight that lay there."""
    for mark, grouping in STYLES:
        style = NumberStyle(mark, grouping)
        found = []
        for place in range(min(len(list(_NUMBER.finditer(one.line))) for one in still)):
            cuts = [_cut(one.line, place) for one in still]
            if all(
                _weighs(cut, one.grams or 0.0, style, shown) for cut, one in zip(cuts, still, strict=True)
            ):
                found.append(cuts)
        if len(found) > 1:
            raise NoFormat(
                tr(
                    "Two numbers in each line are the weight, perhaps gross and net. Put a tare on, and "
                    "try again."
                )
            )
        if found:
            return style, found[0]
    raise NoFormat(
        tr("No number in its lines is the weight that lay there. Is the unit right, and was the pan at rest?")
    )


def _cut(line: str, place: int) -> _Cut:
    match = list(_NUMBER.finditer(line))[place]
    unit = _UNIT.match(line, match.end())
    before, behind = line[: match.start()], line[(unit or match).end() :]
    return _Cut(
        tuple(before.split()), not before[-1:].isspace(), (match["sign"] or "") + match["digits"], unit["unit"] if unit else "",
        tuple(behind.split()), not behind[:1].isspace(),
    )  # fmt: skip


def _cut_like(line: str, like: _Cut, style: NumberStyle) -> _Cut | None:
    """A line cut where it is most like another; None where it has another shape."""
    cuts = [_cut(line, place) for place in range(len(list(_NUMBER.finditer(line))))]
    same = [
        cut
        for cut in cuts
        if (len(cut.before), len(cut.behind)) == (len(like.before), len(like.behind))
        and _value(cut.number, style) is not None
    ]
    return same[0] if len(same) == 1 else None


def _value(number: str, style: NumberStyle) -> tuple[float, float] | None:
    """The number and the worth of its last digit; None where it is not written so."""
    sign, digits = (number[0], number[1:]) if number[0] in "+-" else ("", number)
    whole, mark, fraction = digits.partition(style.decimal_mark)
    groups = whole.split(style.grouping) if style.grouping else [whole]
    if not all(part.isdigit() for part in groups) or any(len(part) != 3 for part in groups[1:]):
        return None
    if mark and not fraction.isdigit():
        return None
    text = f"{sign}{''.join(groups)}{'.' + fraction if mark else ''}"
    return float(text), 10.0 ** -len(fraction)


def _unit_of(cut: _Cut, shown: str) -> str:
    unit = SPELLINGS.get(cut.unit, "")
    return unit if unit and UNITS[unit] is Quantity.MASS else shown


def _weighs(cut: _Cut, grams: float, style: NumberStyle, shown: str) -> bool:
    found = _value(cut.number, style)
    if found is None:
        return False
    factor = conversion(_unit_of(cut, shown)).factor
    value, digit = found
    return agrees(value * factor, grams, digit * factor)


# --- the file ----------------------------------------------------------------------------------------------


def _written(title: str, style: NumberStyle, cuts: Sequence[_Cut], moving: Sequence[_Cut], shown: str) -> str:
    states = _states(cuts[0], moving)
    part = _Parts(cuts, states)
    template = part.template()
    lines = [f"title = {_toml(title)}", 'kinds = ["scale"]', f"lines = [{_toml(template)}]"]
    if style.decimal_mark != ".":
        lines.append(f"decimal_mark = {_toml(style.decimal_mark)}")
    if style.grouping:
        lines.append(f"grouping = {_toml(style.grouping)}")
    unit = cuts[0].unit
    if not unit:
        lines.append(f"fixed_unit = {{ scale = {_toml(shown)} }}")
    elif unit not in SPELLINGS:
        lines += ["", "[units]", f"{_toml(unit)} = {_toml(shown)}"]
    if states:
        lines += ["", "[words.state]", *(f"{_toml(word)} = {_toml(means)}" for word, means in states.items())]
    for cut in (*cuts, *moving[:1]):
        if cut in moving and not states:
            continue
        lines += ["", "[[example]]", f"line = {_toml(part.line(cut))}", f"reads = {_toml(_reads(cut, style, shown, states))}"]  # fmt: skip
    return "\n".join(lines) + "\n"


def _states(still: _Cut, moving: Sequence[_Cut]) -> dict[str, str]:
    """The words that tell rest from motion, where exactly one word does; else nothing."""
    for cut in moving:
        pairs = list(zip((*still.before, *still.behind), (*cut.before, *cut.behind), strict=True))
        differ = [pair for pair in pairs if pair[0] != pair[1] and not any(_changes(word) for word in pair)]
        if len(differ) == 1 and cut.unit == still.unit:
            return {differ[0][0]: "stable", differ[0][1]: "moving"}
    return {}


def _changes(word: str) -> str:
    """The part of a template for what is not the same from line to line; "" for a word that stays."""
    if _DATE.fullmatch(word):
        return "{date}"
    if _TIME.fullmatch(word):
        return "{time}"
    return "{record}" if re.fullmatch("[0-9]{1,9}", word) else ""


class _Parts:
    """Puts a template together from lines that were cut alike."""

    def __init__(self, cuts: Sequence[_Cut], states: dict[str, str]) -> None:
        self._cuts, self._states = cuts, states
        shapes = {(len(cut.before), len(cut.behind), bool(cut.unit)) for cut in cuts}
        if len(shapes) > 1 or len({cut.unit for cut in cuts}) > 1:
            raise NoFormat(
                tr("Its lines have different shapes. Set it to send one kind of line, and try again.")
            )

    def template(self) -> str:
        before = self._words([cut.before for cut in self._cuts])
        behind = self._words([cut.behind for cut in self._cuts])
        first = self._cuts[0]
        parted = not any(cut.glued for cut in self._cuts)
        text = (
            before + (" " if before and parted else "") + "{value}" + (tr("{ }{unit}") if first.unit else "")
        )
        if behind:
            between = {cut.glued_behind for cut in self._cuts}
            text += ("" if between == {True} else " " if between == {False} else "{ }") + behind
        return text

    def _words(self, rows: Sequence[tuple[str, ...]]) -> str:
        return " ".join(self._word(column) for column in zip(*rows, strict=True))

    def _word(self, column: tuple[str, ...]) -> str:
        changes = {_changes(word) for word in column}
        if len(changes) == 1 and changes != {""}:
            return changes.pop()
        if len(set(column)) > 1:
            raise NoFormat(
                tr(
                    "Something in its lines changes that is no weight: {names}. Set it to leave that out.",
                    names=", ".join(column),
                )
            )
        if column[0] in self._states:
            return "{state}"
        if not all("!" <= sign <= "~" and sign not in "{}" for sign in column[0]):
            raise NoFormat(tr("{column!r} in its lines has signs that no format can name.", column=column[0]))
        return column[0]

    def line(self, cut: _Cut) -> str:
        """A line as it was cut, with single blanks."""
        before = " ".join(cut.before) + ("" if cut.glued or not cut.before else " ")
        behind = ("" if cut.glued_behind or not cut.behind else " ") + " ".join(cut.behind)
        return f"{before}{cut.number}{' ' + cut.unit if cut.unit else ''}{behind}"


def _reads(cut: _Cut, style: NumberStyle, shown: str, states: dict[str, str]) -> str:
    value, _ = _value(cut.number, style) or (0.0, 0.0)
    grams = value * conversion(_unit_of(cut, shown)).factor
    said = [states[word] for word in (*cut.before, *cut.behind) if word in states]
    return ", ".join([f"{grams:.6g} g", *said])


def _toml(text: str) -> str:
    return json.dumps(text, ensure_ascii=True)
