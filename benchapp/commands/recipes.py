"""recipe: a recipe of one's own from its first line to a procedure."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import get_args

from rich.console import Console
from xlsxwriter.utility import xl_cell_to_rowcol

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Parser, Run, family, runs
from benchapp.commands.output import put
from benchapp.commands.recipe_shown import Answer, asked_recipes, recipes_in, show_change, show_draft
from benchapp.foundation.language import tr, translated
from benchapp.recipes.draft import BatchSizes
from benchapp.recipes.sheets.columns import MEANINGS
from benchapp.runtime.clocks import wall_now
from benchapp.service.errors import DONE, CommandError
from benchapp.service.matter import Sheet
from benchapp.service.recipe_facts import DraftFacts
from benchapp.service.recipe_sheets import SheetReading, as_table, bring_in, look_into, printed
from benchapp.service.recipes import RecipeDesk
from procedures.formula import Use


def recipe(one: Parser) -> None:
    """benchapp recipe list, begin, start-from, import, show, line, swap, undo, ask, write, step, save, sheet"""
    add = family(one)
    runs(add("list", tr("drafts, and what can be started from")), asked_recipes(_list))
    one = add("begin", tr("a new recipe, of which its name and use are known"))
    one.add_argument("name")
    _new(one)
    runs(one, asked_recipes(lambda desk, g: desk.begin(g.name, g.use, _sizes(g))))
    one = add("start-from", tr("a draft of a procedure: of your own to change it, of any with --name"))
    one.add_argument("procedure")
    one.add_argument("--name", default="", help=tr("the new recipe's name"))
    runs(one, asked_recipes(lambda desk, g: desk.start_from(g.procedure, g.name)))
    one = add("start-from-batch", tr("a draft of the procedure a past batch was made by"))
    one.add_argument("batch")
    one.add_argument("--name", required=True, help=tr("the new recipe's name"))
    runs(one, _from_batch)
    one = add("import", tr("what a spreadsheet (XLSX, ODS, CSV) says; with --name it becomes a draft"))
    one.add_argument("file")
    one.add_argument(
        "--sheet", default="", help=tr("which of its sheets; else the first with a formula in it")
    )
    one.add_argument(
        "--unit", choices=("percent", "grams", "parts"), default="", help=tr("what its amounts are")
    )
    one.add_argument("--column", action="append", default=[], metavar="WHAT=LETTER",
                     help=tr("which column holds it: name, amount, phase, inci or role; amount=D, or phase=none"))  # fmt: skip
    one.add_argument("--name", default="", help=tr("the recipe's name: what was understood is right"))
    _new(one)
    runs(one, asked_recipes(_import))
    one = _of_draft(add, "show", tr("a draft, its sum, its method, and what is wrong with it"))
    runs(one, asked_recipes(lambda desk, g: desk.draft(g.draft)))
    _lines(add)
    _method(add)
    one = _of_draft(add, "save", tr("make it a procedure of your own"))
    one.add_argument("--as", dest="name", default="", metavar="NAME", help=tr("under another name"))
    runs(one, asked_recipes(lambda desk, g: desk.save(g.draft, g.name)[1]))
    one = _of_draft(add, "sheet", tr("the formula as a sheet to print"))
    one.add_argument(
        "--batch-size", default="", metavar="SIZE", help=tr('such as "1 kg"; else the usual batch')
    )
    one.add_argument("--out", required=True, metavar="FILE", help=tr("a new file that ends in .xlsx or .csv"))
    runs(one, _sheet)
    one = _of_draft(add, "drop", tr("put a draft away"))
    runs(one, asked_recipes(lambda desk, g: desk.drop(g.draft)))


def _lines(add: Callable[[str, str], Parser]) -> None:
    one = _of_draft(add, "line", tr("add an ingredient, or change the one of that name"))
    one.add_argument("material", help=tr("its name on the shelf of materials"))
    one.add_argument("share", help=tr('7.5, rest, "as needed, 0.5 %%", "1 %% active"; remove takes it out'))
    one.add_argument("--phase", default="", help=tr("the usual one for its role if not given"))
    one.add_argument(
        "--tolerance", default="", help=tr('how far off it may be, "10 %%"; by its role if not given')
    )
    runs(one, _changed(_line))
    one = _of_draft(add, "swap", tr("another material in the place of one, and what has to be looked at"))
    one.add_argument("old")
    one.add_argument("new")
    runs(one, asked_recipes(_swap))
    one = _of_draft(add, "ph", tr("between which pH values the product has to be"))
    one.add_argument("low", type=float)
    one.add_argument("high", type=float)
    runs(one, _changed(lambda desk, g: desk.set_head(g.draft, ph=[g.low, g.high])))
    one = _of_draft(add, "size", tr("how much is made at a time: what is given is changed"))
    for name in ("usual", "smallest", "largest"):
        one.add_argument(f"--{name}", default="", metavar="SIZE")
    runs(one, _changed(_size))
    one = _of_draft(add, "undo", tr("take the last change back"))
    runs(one, _changed(lambda desk, g: desk.undo(g.draft)))
    one = _of_draft(add, "redo", tr("the last change taken back, again"))
    runs(one, _changed(lambda desk, g: desk.redo(g.draft)))
    one = _of_draft(add, "refresh", tr("its materials as the shelf has them now"))
    runs(one, _changed(lambda desk, g: desk.refresh(g.draft)))


def _method(add: Callable[[str, str], Parser]) -> None:
    one = _of_draft(
        add, "ask", tr("what has to be known before a method can be proposed, or an answer to the first")
    )
    one.add_argument("answer", nargs="?", default="")
    runs(one, asked_recipes(_ask))
    one = _of_draft(add, "write", tr("propose vessels, steps and release checks from the formula"))
    runs(one, asked_recipes(lambda desk, g: desk.propose(g.draft)))
    one = _of_draft(add, "vessel", tr("how large a vessel of the method is, brim-full"))
    one.add_argument("vessel", help=tr("its name"))
    one.add_argument("capacity", help=tr('such as "1500 ml"'))
    one.add_argument("--new", action="store_true", help=tr("one more vessel, of that name"))
    one.add_argument(
        "--kettles", default="", help=tr("how many there are of it, over which the batch is split")
    )
    runs(one, _changed(_vessel))
    one = _of_draft(add, "step", tr("change a step's field; or add, remove, move a step"))
    one.add_argument("number", type=int, help=tr("its number in the method, from 1"))
    one.add_argument("what", help=tr("a field, or: add, remove, up, down"))
    one.add_argument(
        "value", nargs="?", default="", help=tr("the field's new value, or the kind of step to add")
    )
    runs(one, _changed(_step))


# --- what they do ----------------------------------------------------------------------------------------


def _of_draft(add: Callable[[str, str], Parser], name: str, words: str) -> Parser:
    one = add(name, words)
    one.add_argument("draft", help=tr("its key; benchapp recipe list has them"))
    return one


def _new(one: Parser) -> None:
    sizes = BatchSizes()
    one.add_argument("--use", choices=get_args(Use), default="leave-on")
    one.add_argument("--usual", default=sizes.usual, metavar="SIZE", help=tr("the usual batch"))
    one.add_argument("--smallest", default=sizes.smallest, metavar="SIZE")
    one.add_argument("--largest", default=sizes.largest, metavar="SIZE")


def _sizes(given: argparse.Namespace) -> BatchSizes:
    return BatchSizes(given.usual, given.smallest, given.largest)


def _changed(change: Callable[[RecipeDesk, argparse.Namespace], DraftFacts]) -> Run:
    """A command that changes one thing of a draft and says what came of it."""

    def run(args: argparse.Namespace, console: Console) -> int:
        desk = recipes_in(args)
        before = desk.draft(args.draft)
        show_change(before, change(desk, args), console)
        return DONE

    return run


def _list(desk: RecipeDesk, _: argparse.Namespace) -> Sheet:
    rows = tuple((f.key, f.name, f.standing) for f in desk.listed())
    head = () if rows else (tr("No recipe is being written."),)
    return Sheet(
        head,
        (tr("key"), tr("recipe"), tr("where it stands")),
        rows,
        (tr("Procedures: {names}.", names=", ".join(desk.procedures())),),
    )


def _column(said: str) -> tuple[str, int]:
    """ "amount=D" as what it is and its number from 0; -1 for none."""
    meaning, _, letter = said.partition("=")
    if meaning in MEANINGS and (found := re.fullmatch(r"[A-Za-z]{1,2}", letter)):
        return meaning, xl_cell_to_rowcol(f"{found[0].upper()}1")[1]
    if meaning in MEANINGS and letter == "none":
        return meaning, -1
    raise CommandError(
        tr(
            "--column {said!r} is not understood. Write one of {names}, and its column, like amount=D.",
            said=said,
            names=", ".join(MEANINGS),
        )
    )


def _import(desk: RecipeDesk, given: argparse.Namespace) -> Answer:
    columns = tuple(_column(one) for one in given.column)
    facts = look_into(Path(given.file), SheetReading(given.sheet, given.unit, columns))
    if not given.name:
        table = as_table(facts)
        name = facts.understood.title or "NAME"
        then = tr('If that is right: --name "{name}" makes it a draft.', name=name)
        return replace(table, notes=(*table.notes, then))
    return bring_in(desk, facts, given.name, given.use, _sizes(given))[1]


def _from_batch(args: argparse.Namespace, console: Console) -> int:
    with desk_in(args, existing=True) as desk:
        text = desk.procedure_text(args.batch)
    show_draft(recipes_in(args).start_from_text(text, args.name), console)
    return DONE


def _number_of(desk: RecipeDesk, draft: str, name: str) -> int | None:
    lines = desk.draft(draft).lines
    return next((x.row.number for x in lines if x.row.name.casefold() == name.strip().casefold()), None)


def _in_formula(number: int | None, name: str) -> int:
    if number is None:
        raise CommandError(tr("{material} is not in the formula.", material=name))
    return number


def _line(desk: RecipeDesk, given: argparse.Namespace) -> DraftFacts:
    number = _number_of(desk, given.draft, given.material)
    if given.share == "remove":
        return desk.remove_line(given.draft, _in_formula(number, given.material))
    if number is None:
        facts = desk.add_line(given.draft, given.material, given.share, given.phase)
        number, given.phase = len(facts.lines) - 1, ""
    else:
        facts = desk.set_share(given.draft, number, given.share)
    rest = {k: v for k, v in (("phase", given.phase), ("tolerance", given.tolerance)) if v}
    return desk.set_line(given.draft, number, rest) if rest else facts


def _swap(desk: RecipeDesk, given: argparse.Namespace) -> Sheet:
    number = _in_formula(_number_of(desk, given.draft, given.old), given.old)
    _, look = desk.swap_line(given.draft, number, given.new)
    return Sheet((tr("{new} stands in the place of {old}.", new=given.new, old=given.old), *look))


def _ask(desk: RecipeDesk, given: argparse.Namespace) -> str:
    open_ones = desk.questions(given.draft)
    if given.answer and open_ones:
        desk.answer(given.draft, open_ones[0], given.answer)
        open_ones = desk.questions(given.draft)
    if not open_ones:
        return tr("Nothing is left to ask. benchapp recipe write proposes the method.")
    first = open_ones[0]
    choices = tr(" Or: {names}.", names=", ".join(map(translated, first.choices))) if first.choices else ""
    said = tr("{words} Answer with {value}.", words=first.words, value=translated(first.kind.value)) + choices
    left = len(open_ones) - 1
    return said + (tr(" {n} more after it.", n=left) if left else "")


def _size(desk: RecipeDesk, given: argparse.Namespace) -> DraftFacts:
    sizes = {name: getattr(given, name) for name in ("usual", "smallest", "largest") if getattr(given, name)}
    return desk.set_batch(given.draft, **sizes) if sizes else desk.draft(given.draft)


def _vessel(desk: RecipeDesk, given: argparse.Namespace) -> DraftFacts:
    vessels = desk.draft(given.draft).vessels
    number = next((v.number for v in vessels if v.name.casefold() == given.vessel.casefold()), None)
    if given.new:
        number = len(desk.add_vessel(given.draft, given.vessel).vessels) - 1
    if number is None:
        raise CommandError(
            tr(
                "There is no vessel {vessel!r}. There are: {names}.",
                vessel=given.vessel,
                names=", ".join(v.name for v in vessels) or tr("none yet"),
            )
        )
    more = {"kettles": given.kettles} if given.kettles else {}
    return desk.set_vessel(given.draft, number, {"capacity": given.capacity, **more})


def _step(desk: RecipeDesk, given: argparse.Namespace) -> DraftFacts:
    at, steps = given.number - 1, desk.draft(given.draft).steps
    if given.what == "add":
        return desk.add_step(given.draft, given.value, min(max(at, 0), len(steps)))
    if not 0 <= at < len(steps):
        raise CommandError(
            tr("There is no step {number}; the method has {count}.", number=given.number, count=len(steps))
        )
    if given.what == "remove":
        return desk.remove_step(given.draft, at)
    if given.what in ("up", "down"):
        return desk.move_step(given.draft, at, -1 if given.what == "up" else 1)
    return desk.set_step(given.draft, at, given.what, given.value)


def _sheet(args: argparse.Namespace, console: Console) -> int:
    kind = Path(args.out).suffix.casefold().removeprefix(".")
    if kind not in ("xlsx", "csv"):
        raise CommandError(tr("{out} ends neither in .xlsx nor in .csv.", out=args.out))
    text = recipes_in(args).text(args.draft)
    put(printed(text, args.batch_size, wall_now()[:10], kind), args.out, console)
    return DONE
