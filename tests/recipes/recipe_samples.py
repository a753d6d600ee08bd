"""Formulas and materials of the invented workshop, for the tests of recipes."""

import re
import tomllib

from benchapp.recipes.draft import Draft, materials_of
from procedures.building import slug
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text
from procedures.shelf import find, shipped


def text_of(key):
    return find(key).read_text(encoding="utf-8")


def bare_formula(key):
    """A shipped procedure without vessels, steps, release checks and reasons."""
    return re.split(r"^# ---- What it is made in", text_of(key), flags=re.M)[0]


def draft_of(text):
    return Draft(text)


def errors_of(text):
    """(rule, sentence) of every error the procedures' own reading finds."""
    try:
        read_text(text, "mine.toml")
    except ProcedureInvalid as invalid:
        return [(p.rule, str(p)) for p in invalid.problems if p.grade == "error"]
    return []


MATERIALS = {
    slug(m["name"]): m for key in shipped() for m in materials_of(tomllib.loads(text_of(key)))
}  # fmt: skip
