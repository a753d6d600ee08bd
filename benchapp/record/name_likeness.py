"""Names that look alike: two people whose names nobody can tell apart on paper sign for each other.

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
#: A capital i, a one and a bar look like a small L, a nought like an o; only where capitals are told apart.
_STROKES = str.maketrans("I1|0", "lllO")


def look_alike(one: str, other: str) -> bool:
    """Whether two names differ at most in blanks, capitals, invisible signs and letters that look the same."""
    a, b = _letters(one), _letters(other)
    return _folded(a) == _folded(b) or a.translate(_STROKES) == b.translate(_STROKES)


def _letters(name: str) -> str:
    plain = unicodedata.normalize("NFKC", name)
    seen = (c for c in plain if not c.isspace() and unicodedata.category(c) not in ("Cf", "Cc", "Mn"))
    return unicodedata.normalize("NFKC", "".join(seen)).translate(_LETTERS)


def _folded(letters: str) -> str:
    return unicodedata.normalize("NFKC", letters.casefold())
