"""Names that look alike: two people whose names nobody can tell apart on paper sign for each other, and of two vessels or scales
so named nobody knows which one is meant.

The pairs are those of Unicode Technical Standard 39 (confusables) between Latin, Cyrillic and Greek letters, as far as
they look the same in a usual sans serif typeface; written down from memory.
"""

from __future__ import annotations

import unicodedata

_CYRILLIC = dict(
    zip("АВЕЅІЈКМНОРСТУХԌԚԜҮЅаеѕіјорсухһӏԁԛԝгпкмнтвүёЁїЇ",
        "ABESIJKMHOPCTYXGQWYSaesijopcyxhldqwrnkmhtbyëËïÏ", strict=True)
)  # fmt: skip
_GREEK = dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧαγικνορτυωϲϳ", "ABEZHIKMNOPTYXayikvoptuwcj", strict=True))
_LATIN = dict(zip("ıɑɡʟɩ", "iagli", strict=True))
_LETTERS = str.maketrans(_CYRILLIC | _GREEK | _LATIN)
#: Kinds of sign that show nothing or change how others are shown: controls, direction marks, surrogates, private and
#: unassigned ones, odd ends of lines.
UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
#: A capital i, a one and a bar look like a small L, a nought like an o; only where capitals are told apart.
_STROKES = str.maketrans("I1|0", "lllO")


def look_alike(one: str, other: str) -> bool:
    """Whether two names differ at most in blanks, capitals, invisible signs and letters that look the same."""
    a, b = _letters(one), _letters(other)
    return likeness(one) == likeness(other) or a.translate(_STROKES) == b.translate(_STROKES)


def likeness(name: str) -> str:
    """What is one and the same for all names that differ only in blanks, capitals, invisible signs and letters that look the same."""
    return unicodedata.normalize("NFKC", _letters(name).casefold())


def unseen(name: str) -> bool:
    """Whether nothing of it can be seen, or something that is in it can't."""
    return not name.strip() or any(unicodedata.category(c) in UNSEEN for c in name)


def _letters(name: str) -> str:
    plain = unicodedata.normalize("NFKC", name)
    seen = (c for c in plain if not c.isspace() and unicodedata.category(c) not in ("Cf", "Cc", "Mn"))
    return unicodedata.normalize("NFKC", "".join(seen)).translate(_LETTERS)
