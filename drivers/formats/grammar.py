"""Line templates such as ``{status},{value}{ }{unit}`` compiled to patterns that cannot backtrack.

A template is closed: it names every sign of the line, and a line with anything else in it does not fit. It is
literal text with parts in braces:

    {value}    a number; a sign and blanks before it allowed
    {unit}     the unit as the device writes it
    {pounds}, {ounces}   a weight of two parts, in place of value and unit
    {channel}  the number of the channel that speaks, counted from 1
    {name}     one of the words listed under [words.name]
    {record}, {date}, {time}, {temperature}   what may stand beside the value and is not read
    {rest}     anything, to the end of a line that holds no value; not read
    { }        blanks or none; a plain blank in the template is one or more blanks

Something that is no digit has to stand between two numbers, else nobody could say where one ends.

A template with fixed columns gives the width, {value:9} (right-justified) or {unit:3}; then every plain blank
is one column, and blanks missing at the end of the line do not matter.

Every piece is possessive or atomic and bounded, so a match takes time linear in a bounded line.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from benchapp.foundation.language import tr

_PART = re.compile(r"\{([^{}]*)\}")
_NAME = re.compile(r"(value|unit)(?::([1-9][0-9]?))?| |[a-z_]{1,20}")
#: Parts that begin and end with a digit.
_NUMBERS = frozenset({"value", "pounds", "ounces", "channel", "record", "date", "time"})

_BLANK = r"[ \t]"
_PATTERNS = {
    " ": f"{_BLANK}{{0,32}}+",
    "rest": r"[^\r\n]{0,256}+",
    "unit": r"(?P<unit>[A-Za-z%°Âµ/]{1,8}+)",
    "channel": r"(?P<channel>[0-9]{1,2}+)",
    "pounds": rf"(?P<pounds>[+-]?+{_BLANK}{{0,16}}+[0-9]{{1,6}}+)",
    "record": r"[0-9]{1,9}+",
    "date": r"[0-9]{1,4}+(?:[-./][0-9]{1,4}+){2}",
    "time": rf"[0-9]{{1,2}}+:[0-9]{{2}}(?::[0-9]{{2}})?+(?:\.[0-9]{{1,3}}+)?+(?:{_BLANK}?+[AaPp][Mm])?+",
    "temperature": rf"[+-]?+[0-9]{{1,3}}+(?:[.,][0-9]{{1,3}}+)?+{_BLANK}{{0,4}}+\xc2?+\xb0?+[CFK]",
}


class BadTemplate(ValueError):
    """A template this grammar cannot read; the text says which part."""


@dataclass(frozen=True, slots=True)
class NumberStyle:
    """How a format writes numbers. Never guessed from a line."""

    decimal_mark: str = "."
    grouping: str = ""
    exponent: bool = False
    reversed: bool = False  # the last digit comes first, and the sign last

    def pattern(self) -> str:
        """The number, with an optional sign and blanks before it, as an atomic pattern."""
        if self.reversed:
            digits = f"[0-9]{{1,12}}+(?:{re.escape(self.decimal_mark)}[0-9]{{1,12}}+)?+"
            return f"(?>{digits}{_BLANK}{{0,16}}+[+-]?+{_BLANK}{{0,16}}+)"
        whole = "[0-9]{1,12}+"
        if self.grouping:
            whole = f"(?>[0-9]{{1,3}}(?:{re.escape(self.grouping)}[0-9]{{3}}){{1,4}}+|{whole})"
        fraction = f"(?:{re.escape(self.decimal_mark)}[0-9]{{1,12}}+)?+"
        exponent = "(?:[eE][+-]?+[0-9]{1,3}+)?+" if self.exponent else ""
        return f"(?>{_BLANK}{{0,16}}+[+-]?+{_BLANK}{{0,16}}+{whole}{fraction}{exponent})"

    def number(self, text: str) -> tuple[float, int]:
        """The number and the power of ten of its last digit, of a text this style's pattern matched."""
        plain = text[::-1] if self.reversed else text
        plain = plain.replace(self.grouping, "") if self.grouping else plain
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

    def places(self, text: str) -> int:
        """How many digits stand behind the decimal mark."""
        return len(re.split("[eE]", text.partition(self.decimal_mark)[2].strip())[0])


@dataclass(frozen=True, slots=True)
class Template:
    """A compiled template. ``words`` names its parts with words, in the order they stand."""

    text: str
    pattern: re.Pattern[str]
    words: tuple[str, ...]
    has_value: bool
    has_unit: bool
    has_channel: bool
    two_parts: bool  # pounds and ounces
    columns: int  # the width of a template of fixed columns; 0: not of fixed columns

    def match(self, line: str) -> re.Match[str] | None:
        """The parts of a whole line, or None where it has another shape."""
        return self.pattern.fullmatch(line.ljust(self.columns) if self.columns else line)


def compile_template(text: str, style: NumberStyle, words: Mapping[str, Mapping[str, str]]) -> Template:
    """Raises BadTemplate naming the part that cannot be read."""
    return _Compiler(style, words, fixed=bool(re.search(r"\{(value|unit):", text))).compile(text)


class _Compiler:
    def __init__(self, style: NumberStyle, words: Mapping[str, Mapping[str, str]], *, fixed: bool) -> None:
        self.style = style
        self.words = words
        self.fixed = fixed
        self.columns = 0
        self.pieces: list[str] = []
        self.parts: list[str] = []
        self.open_digits = False  # whether what stands before this place may end with a digit

    def compile(self, text: str) -> Template:
        """Raises BadTemplate naming the part that cannot be read."""
        place = 0
        for match in _PART.finditer(text):
            self._literal(text[place : match.start()])
            place = match.end()
            self._part(match[1], last=place == len(text))
        self._literal(text[place:])
        self._check_parts()
        if not self.fixed:
            self.pieces.insert(0, f"{_BLANK}{{0,32}}+")
        return Template(
            text,
            re.compile("".join(self.pieces) + f"{_BLANK}{{0,32}}+"),
            tuple(part for part in self.parts if part in self.words),
            has_value="value" in self.parts or "ounces" in self.parts,
            has_unit="unit" in self.parts,
            has_channel="channel" in self.parts,
            two_parts="ounces" in self.parts,
            columns=self.columns if self.fixed else 0,
        )

    def _part(self, written: str, *, last: bool) -> None:
        name = _NAME.fullmatch(written)
        if name is None:
            raise BadTemplate(
                tr(
                    "{{{written}}} is no part; use {{value}}, {{unit}}, {{channel}}, {{pounds}}, "
                    "{{ounces}}, {{record}}, {{date}}, {{time}}, {{temperature}}, {{rest}}, {{ }} or a "
                    "name of [words]",
                    written=written,
                )
            )
        part, width = name[1] or name[0], int(name[2] or 0)
        if part in self.parts:
            raise BadTemplate(tr("{{{part}}} stands twice", part=part))
        if part == "rest" and not last:
            raise BadTemplate(tr("{rest} must stand at the end"))
        if part in _NUMBERS and self.open_digits and not width:
            raise BadTemplate(
                tr("{{{part}}} follows a number; something has to stand between them", part=part)
            )
        if part != " ":
            self.parts.append(part)
        self.columns += width
        self.pieces.append(self._pattern(part, width))
        self.open_digits = self._may_end_with_a_digit(part)

    def _may_end_with_a_digit(self, part: str) -> bool:
        if part == " ":
            return self.open_digits
        if part in self.words:
            ends = [word[-1:] for word in self.words[part]]
            return any(end.isdigit() for end in ends) or ("" in ends and self.open_digits)
        return part in _NUMBERS

    def _check_parts(self) -> None:
        if "rest" in self.parts and not {"value", "pounds", "ounces"}.isdisjoint(self.parts):
            raise BadTemplate(tr("{rest} could hide what belongs to the value; name what stands there"))
        if ("pounds" in self.parts) != ("ounces" in self.parts):
            raise BadTemplate(tr("{pounds} and {ounces} go together"))
        if "ounces" in self.parts and ("value" in self.parts or "unit" in self.parts):
            raise BadTemplate(tr("{pounds} and {ounces} stand in place of {value} and {unit}"))

    def _pattern(self, part: str, width: int) -> str:
        if width:
            return f"(?P<{part}>[^\r\n]{{{width}}})"
        if part in _PATTERNS:
            return _PATTERNS[part]
        if part == "value":
            return f"(?P<value>{self.style.pattern()})"
        if part == "ounces":
            fraction = f"(?:{re.escape(self.style.decimal_mark)}[0-9]{{1,6}}+)?+"
            return f"(?P<ounces>[0-9]{{1,2}}+{fraction})"
        if part not in self.words:
            raise BadTemplate(tr("{{{part}}} has no table [words.{part}]", part=part))
        longest_first = sorted(self.words[part], key=len, reverse=True)
        return f"(?P<{part}>(?>{'|'.join(re.escape(word) for word in longest_first)}))"

    def _literal(self, text: str) -> None:
        if "{" in text or "}" in text:
            raise BadTemplate(tr("a brace without its partner"))
        self.columns += len(text)
        for run in re.findall(r" +|[^ ]+", text):
            self.open_digits = run[-1].isdigit() and run[0] != " "
            if run[0] == " ":
                self.pieces.append(re.escape(run) if self.fixed else f"{_BLANK}{{1,32}}+")
            elif all(" " < sign <= "~" or sign in "\x02\x03" for sign in run):
                self.pieces.append(re.escape(run))
            else:
                raise BadTemplate(
                    tr("{run!r} has signs outside printable ASCII; only units may have them", run=run)
                )
