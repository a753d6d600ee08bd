"""Rules about names: nobody can tell two apart that look the same, and a ceiling is found by the letters of an INCI name."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from benchapp.foundation.language import tr
from benchapp.foundation.name_likeness import likeness, unseen

from ..building import ProcedureDraft
from .rule import INGREDIENTS, Finding, Rule

#: Greek letters that stand before the names of isomers; they are read as their words.
_ISOMERS = "αβγδ"


def look_alike(sheet: ProcedureDraft) -> Iterator[Finding]:
    """No two materials, lines, vessels or phases have names that differ in capitals, blanks or unseen signs alone."""
    bought = {x.key: x.name for x in sheet.procedure.materials.values()}
    lines = {x.key: x.whole_name for x in sheet.procedure.formula.lines}
    same_table = {k for k in lines if k in bought and sheet.path("line", k) == sheet.path("material", k)}
    firsts = {x.whole_phase: x.key for x in reversed(sheet.procedure.formula.lines)}
    for what, field, named in (
        ("material", "name", bought),
        ("line", "name", {k: name for k, name in lines.items() if k not in same_table}),
        ("vessel", "name", {x.key: x.whole_name for x in sheet.procedure.vessels.values()}),
        ("line", "phase", {key: name for name, key in reversed(firsts.items())}),
    ):
        seen: dict[str, str] = {}
        for key, name in named.items():
            other = seen.setdefault(likeness(name), name)
            if other != name:
                yield Finding(
                    sheet.path(what, key, field),
                    tr('"{name}" looks the same as another name here', name=name),
                    tr("Give one of the two another name or a label"),
                )


def inci_letters(sheet: ProcedureDraft) -> Iterator[Finding]:
    """INCI names are written in Latin letters (the glossary of Regulation (EC) No 1223/2009, article 33; from memory): one
    with others, or with unseen signs, is found in no list of the law."""
    for key, material in sheet.procedure.materials.items():
        field = "composition" if len(material.composition) > 1 else "inci"
        for substance in material.composition:
            if unseen(substance.inci) or any(map(_foreign, substance.inci)):
                yield Finding(
                    sheet.path("material", key, field),
                    tr(
                        '"{inci}" holds a letter that is not Latin, or a sign that cannot be seen',
                        inci=substance.inci,
                    ),
                    tr("Type the name anew: the ceilings of the law are found by its letters"),
                )


def _foreign(sign: str) -> bool:
    return sign.isalpha() and sign not in _ISOMERS and not unicodedata.name(sign, "").startswith("LATIN")


RULES = (
    Rule("look-alike", look_alike, INGREDIENTS),
    Rule("inci-letters", inci_letters, INGREDIENTS),
)
