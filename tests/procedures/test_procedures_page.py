"""The page for makers says what the reader does: every field, kind and rule, in its own words."""

import re
from pathlib import Path

import pytest
from procedure_edits import edited, problems
from pydantic import BaseModel
from test_procedures_rules import CASES

from procedures import quantities, schema
from procedures.checks import RULES
from procedures.steps import STEP_TABLES

PAGE = (Path(__file__).parents[2] / "docs" / "your-own-procedure.md").read_text(encoding="utf-8")
EXPLAINED = re.findall(r"^\*\*`([a-z-]+)`\*\*( \(may be overruled\))?\n\n> (.*)\n", PAGE, re.M)


def test_every_field_is_on_the_page():
    tables = [t for t in vars(schema).values() if isinstance(t, type) and issubclass(t, BaseModel)]
    tables += STEP_TABLES.values()
    fields = {info.alias or name for table in tables for name, info in table.model_fields.items()}
    parts = {"label", "phase", "percent", "inci", "name", "expect"}  # shown inside an example
    assert {f for f in fields - parts if f"`{f}`" not in PAGE} == set()


def test_every_kind_of_step_is_on_the_page():
    assert {kind for kind in STEP_TABLES if f"| `{kind}` |" not in PAGE} == set()


def test_every_unit_is_on_the_page():
    kinds = [k for k in vars(quantities).values() if isinstance(k, quantities.Kind)]
    assert {unit for kind in kinds for unit in kind.units if f"`{unit}`" not in PAGE} == set()


def test_every_rule_is_on_the_page_with_whether_it_may_be_overruled():
    names = {name for name, _, _ in EXPLAINED}
    assert names >= {rule.name for rule in RULES} | {case[0] for case in CASES}
    may = {name for name, choice, _ in EXPLAINED if choice}
    assert may == {rule.name for rule in RULES if rule.by_choice}


@pytest.mark.parametrize(("rule", "sentence"), [(name, sentence) for name, _, sentence in EXPLAINED])
def test_the_sentence_on_the_page_is_the_one_it_prints(rule, sentence):
    printed = {
        f"{p.what}. {p.instead}"
        for case in CASES
        if case[0] == rule
        for p in problems(edited(case[3], *case[4:]))
    }
    assert sentence in printed
