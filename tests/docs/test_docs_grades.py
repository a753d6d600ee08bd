"""The table of grades: every kind a make or the record notes stands in it once, and the page says the same."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from benchapp.events.grades import GRADES, NOTE, UNCHECKED, Grading, grade_of, unchecked_device

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "grades.md"


def table():
    """The page's table as it has to be."""
    rows = [f"| {kind} | {' or '.join(map(str, g.grades))} | {g.why} |" for kind, g in GRADES.items()]
    return "\n".join(["| kind | grade | why |", "|---|---|---|", *rows])


def test_the_page_has_the_table():
    assert table() in PAGE.read_text("utf-8")


def noted():
    """(file, line, grade, kind) of each deviation that is written in the make with its kind and grade in plain words."""
    for path in sorted((ROOT / "benchapp" / "make").rglob("*.py")):
        for call in (n for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)):
            if isinstance(call.func, ast.Attribute) and call.func.attr == "deviation":
                grade, kind = call.args[1], call.args[2]
                if (
                    isinstance(kind, ast.Call)
                    and isinstance(kind.func, ast.Name)
                    and kind.func.id == "tr_noop"
                ):
                    kind = kind.args[0]
                if isinstance(kind, ast.Constant):
                    plain = grade.attr.lower() if isinstance(grade, ast.Attribute) else ""
                    yield pytest.param(plain, kind.value, id=f"{path.name}:{call.lineno}")


def grading(kind: str) -> Grading | None:
    """The row of a kind; those that name a device ("unchecked big", "overload: big") share one."""
    shared = UNCHECKED if kind.startswith(f"{UNCHECKED} ") else kind.partition(":")[0]
    return GRADES.get(kind) or GRADES.get(shared)


@pytest.mark.parametrize(("grade", "kind"), [*noted()])
def test_what_a_make_notes_is_graded_as_in_the_table(grade, kind):
    found = grading(kind)
    assert found is not None
    plain = grade in ("note", "minor", "major")
    assert grade in map(str, found.grades) if plain else len(found.grades) > 1 or grade_of(kind)


def test_the_scan_sees_the_calls():
    assert len(list(noted())) > 20


@pytest.mark.parametrize(
    ("kind", "row"), [("unchecked big", "unchecked"), ("open probe: thermometer", "open probe"), ("late drop", "late drop")]
)  # fmt: skip
def test_a_kind_that_names_a_device_has_the_row_of_all_devices(kind, row):
    assert grading(kind) is GRADES[row]


def test_an_unchecked_device_keeps_a_batch_here():
    assert grade_of("unchecked") is not NOTE
    assert (unchecked_device("unchecked big"), unchecked_device("late drop")) == ("big", "")
    assert grading("nothing of the kind") is None
