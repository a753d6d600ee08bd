"""What the procedures' own reading and rules say of a draft, each at the table it is about."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from benchapp.foundation.toml_places import Path, Places
from benchapp.recipes.draft import Draft
from benchapp.recipes.errors import ChangeRefused
from procedures.errors import Grade, Problem, ProcedureInvalid
from procedures.reading import PartlyRead, read_partly

#: What only helps somebody who writes the file: an assignment, brackets, quotes, a line or a heading of it.
_OF_A_FILE = re.compile(r"\w = |[\[{]|\bquotes\b|\bline\b|\bheading\b|\btable\b")
#: What a line sets.
_ASSIGNED = re.compile(r"\s*([a-z_]+)\s*=")
#: The name of a field of more than one word.
_FIELD = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")


@dataclass(frozen=True, slots=True)
class DraftFinding:
    """One thing wrong: the table it is in ((): the file as a whole), what it is and, where that is not how to write a
    file, what to do. ``field``: the field it is about, "" where it is about the table. ``lacks``: the kind of table
    that there is none of."""

    place: Path
    sentence: str
    rule: str
    grade: Grade
    field: str = ""
    lacks: str = ""


def read_draft(draft: Draft) -> PartlyRead:
    """What of it can be read, with every problem. Raises ChangeRefused where its text is no TOML."""
    return _read(draft.text)


@functools.lru_cache(maxsize=8)
def _read(text: str) -> PartlyRead:
    """Read once, as what is shown of a draft asks for it several times."""
    try:
        return read_partly(text, "draft.toml")
    except ProcedureInvalid as error:
        raise ChangeRefused(str(error)) from error


def findings_of(draft: Draft) -> tuple[DraftFinding, ...]:
    """Everything that is wrong with a draft, errors first, each in the order of the text."""
    headings, lines = Places(draft.text).headings, draft.text.splitlines()
    found = []
    for problem in read_draft(draft).problems:
        place: Path = ()
        for path, line in headings:
            if line <= problem.line:
                place = path
        if problem.lacks or ((problem.line, problem.column) == (1, 1) and headings[:1] != [(place, 1)]):
            place = ()
        written = _ASSIGNED.match(lines[problem.line - 1]) if problem.line <= len(lines) else None
        field = written[1] if written and not problem.lacks else ""
        said = _said(problem)
        found.append(DraftFinding(place, said, problem.rule, problem.grade, field, problem.lacks))
    return tuple(sorted(found, key=lambda x: x.grade == "warning"))


def _said(problem: Problem) -> str:
    """For somebody who changes fields and writes no file."""
    said = f"{problem.what}." if _OF_A_FILE.search(problem.instead) else f"{problem.what}. {problem.instead}."
    return _FIELD.sub(lambda found: found[0].replace("_", " "), said)


def about(findings: tuple[DraftFinding, ...], *places: Path) -> tuple[DraftFinding, ...]:
    """Those in one of these tables, or in what stands in them."""
    return tuple(x for x in findings if any(x.place[: len(p)] == p for p in places))


def of_formula(findings: tuple[DraftFinding, ...]) -> tuple[DraftFinding, ...]:
    """Those that the method has nothing to do with."""
    return about(findings, ("formula",), ("batch",), ("material",))
