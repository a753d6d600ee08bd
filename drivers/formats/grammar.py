"""Line templates such as ``{status},{value}{ }{unit}`` compiled to patterns that cannot backtrack.

A template is literal text with parts in braces:

    {value}   a number, blanks and a sign before it allowed     {value:9}  the same in exactly 9 columns
    {unit}    the unit as the device writes it                  {unit:3}   the same in exactly 3 columns
    {name}    one of the words listed under [words.name]
    {rest}    anything, to the end of the line; not read
    { }       blanks or none; a plain blank in the template is one or more blanks

Every piece is possessive or atomic and bounded, so a match takes time linear in a bounded line.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_PART = re.compile(r"\{([^{}]*)\}")
_NAME = re.compile(r"(value|unit)(?::([1-9][0-9]?))?|rest| |[a-z_]{1,20}")

_BLANK = r"[ \t]"
_UNIT = r"[A-Za-z%°Âµ/]{1,8}+"


class BadTemplate(ValueError):
    """A template this grammar cannot read; the text says which part."""


@dataclass(frozen=True, slots=True)
class NumberStyle:
    """How a format writes numbers. Never guessed from a line."""

    decimal_mark: str = "."
    grouping: str = ""
    exponent: bool = False

    def pattern(self) -> str:
        """The number, with an optional sign and blanks before it, as an atomic pattern."""
        whole = "[0-9]{1,12}+"
        if self.grouping:
            whole = f"(?>[0-9]{{1,3}}(?:{re.escape(self.grouping)}[0-9]{{3}}){{1,4}}+|{whole})"
        fraction = f"(?:{re.escape(self.decimal_mark)}[0-9]{{1,12}}+)?+"
        exponent = "(?:[eE][+-]?+[0-9]{1,3}+)?+" if self.exponent else ""
        return f"(?>{_BLANK}{{0,16}}+[+-]?+{_BLANK}{{0,16}}+{whole}{fraction}{exponent})"

    def number(self, text: str) -> tuple[float, int]:
        """The number and the power of ten of its last digit, of a text this style's pattern matched."""
        plain = text.replace(self.grouping, "") if self.grouping else text
        if " " in plain or "\t" in plain:
            plain = plain.replace(" ", "").replace("\t", "")
        if self.decimal_mark != ".":
            plain = plain.replace(self.decimal_mark, ".")
        last = 0
        digits = plain
        if self.exponent:
            digits, _, power = plain.lower().partition("e")
            last = int(power) if power else 0
        point = digits.find(".")
        if point >= 0:
            last -= len(digits) - point - 1
        return float(plain), last


@dataclass(frozen=True, slots=True)
class Template:
    """A compiled template. ``words`` names its parts with words, in the order they stand."""

    text: str
    pattern: re.Pattern[str]
    words: tuple[str, ...]
    has_value: bool
    has_unit: bool
    value_width: int | None


def compile_template(text: str, style: NumberStyle, words: Mapping[str, Mapping[str, str]]) -> Template:
    """Raises BadTemplate naming the part that cannot be read."""
    pieces: list[str] = []
    seen: dict[str, int | None] = {}
    place = 0
    for match in _PART.finditer(text):
        pieces.append(_literal(text[place : match.start()]))
        place = match.end()
        name = _NAME.fullmatch(match[1])
        if name is None:
            raise BadTemplate(
                f"{match[0]} is no part; use {{value}}, {{unit}}, {{rest}}, {{ }} or a [words] name"
            )
        part, width = name[1] or name[0], int(name[2]) if name[2] else None
        if part in seen:
            raise BadTemplate(f"{{{part}}} stands twice")
        if part == "rest" and place != len(text):
            raise BadTemplate("{rest} must stand at the end")
        if part != " ":
            seen[part] = width
        pieces.append(_piece(part, width, style, words))
    pieces.append(_literal(text[place:]))
    fixed = any(width is not None for width in seen.values())
    before = "" if fixed else f"{_BLANK}{{0,32}}+"
    pattern = re.compile(before + "".join(pieces) + f"{_BLANK}{{0,32}}+")
    spoken = tuple(part for part in seen if part in words)
    return Template(text, pattern, spoken, "value" in seen, "unit" in seen, seen.get("value"))


def _piece(part: str, width: int | None, style: NumberStyle, words: Mapping[str, Mapping[str, str]]) -> str:
    if part == " ":
        return f"{_BLANK}{{0,32}}+"
    if part == "rest":
        return r"[^\r\n]{0,256}+"
    if part in ("value", "unit"):
        if width is not None:
            return f"(?P<{part}>[^\\r\\n]{{{width}}})"
        return f"(?P<{part}>{style.pattern() if part == 'value' else _UNIT})"
    if part not in words:
        raise BadTemplate(f"{{{part}}} has no table [words.{part}]")
    longest_first = sorted(words[part], key=len, reverse=True)
    return f"(?P<{part}>(?>{'|'.join(re.escape(word) for word in longest_first)}))"


def _literal(text: str) -> str:
    if "{" in text or "}" in text:
        raise BadTemplate("a brace without its partner")
    out = []
    for run in re.findall(r" +|[^ ]+", text):
        if run[0] == " ":
            out.append(f"{_BLANK}{{1,32}}+")
        elif all(" " < sign <= "~" or sign in "\x02\x03" for sign in run):
            out.append(re.escape(run))
        else:
            raise BadTemplate(f"{run!r} has signs outside printable ASCII; only units may have them")
    return "".join(out)
