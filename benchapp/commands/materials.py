"""material: the shelf of materials that recipes are written from."""

from __future__ import annotations

import argparse
from pathlib import Path

from benchapp.commands.options import Parser, family, runs
from benchapp.commands.recipe_shown import asked_recipes
from benchapp.foundation.language import tr
from benchapp.service.errors import CommandError
from benchapp.service.matter import Sheet
from benchapp.service.recipes import RecipeDesk


def material(one: Parser) -> None:
    """benchapp material list, show, set, take-over, touches"""
    add = family(one)
    runs(add("list", tr("the shelf")), asked_recipes(lambda desk, g: desk.materials.listed()))
    one = add("show", tr("everything that is known of one"))
    one.add_argument("material")
    runs(one, asked_recipes(lambda desk, g: desk.materials.shown(g.material)))
    one = add("touches", tr("the procedures that use one"))
    one.add_argument("material")
    runs(one, asked_recipes(_touches))
    one = add("set", tr("enter a material, or change what is known of it"))
    one.add_argument("material", help=tr("its name"))
    one.add_argument(
        "fields",
        nargs="+",
        metavar="FIELD=VALUE",
        help=tr('such as "melts=60 degC"; an empty value takes it out'),
    )
    runs(one, asked_recipes(lambda desk, g: desk.materials.put(g.material, _pairs(g.fields))))
    one = add("import", tr("every material of a spreadsheet that the shelf has not"))
    one.add_argument("file", type=Path)
    runs(one, asked_recipes(lambda desk, g: desk.materials.bring_in(g.file)))
    one = add("take-over", tr("every material of a procedure that the shelf has not"))
    one.add_argument("procedure")
    runs(one, asked_recipes(lambda desk, g: desk.materials.take_over(g.procedure)))


def _touches(desk: RecipeDesk, given: argparse.Namespace) -> Sheet:
    name = given.material
    return Sheet(desk.materials.touched_by(name) or (tr("No procedure uses {name}.", name=name),))


def _pairs(fields: list[str]) -> dict[str, str]:
    pairs = dict(field.partition("=")[::2] for field in fields)
    wrong = next((field for field in fields if "=" not in field), None)
    if wrong is not None:
        raise CommandError(
            tr('{wrong!r} is no field with a value. Write it like "melts=60 degC".', wrong=wrong)
        )
    return {key.strip(): value.strip() for key, value in pairs.items()}
