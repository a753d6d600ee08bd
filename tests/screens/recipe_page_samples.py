"""The pages of recipes, with as much on them as there can be: made up for the tests of their layout."""

from __future__ import annotations

import functools
import tempfile
from pathlib import Path


@functools.cache
def recipe_samples():
    from benchapp.service.recipes import RecipeDesk

    return RecipeSamples(RecipeDesk(Path(tempfile.mkdtemp(prefix="recipes-"))))


class RecipeSamples:
    """A recipe in which everything is wrong, and a sheet like a notebook's."""

    def __init__(self, desk):
        from benchapp.service.recipe_sheets import SheetReading, columns_in, look_into

        self.wrong = desk.start_from("oat-hand-lotion", "A lotion in which everything is wrong")
        for n, share in ((0, "99"), (8, "5"), (10, "1.3")):
            self.wrong = desk.set_share(self.wrong.key, n, share)
        heat = next(x.number for x in self.wrong.steps if x.kind == "heat")
        desk.set_step(self.wrong.key, heat, "band", "40 to 45")
        self.wrong = desk.move_step(self.wrong.key, 0, 4)
        self.fields = [(x.field.name, x.value) for x in desk.step_fields(self.wrong.key, heat)]
        for key in ("oat-hand-lotion", "winter-shore-cream"):
            desk.materials.take_over(key)
        self.known = desk.materials.known()
        desk.sheets_folder.mkdir(exist_ok=True)
        path = desk.sheets_folder / "notebook.csv"
        lines = [f"{name.name};{n},5" for n, name in enumerate(self.known)]
        path.write_text("Ingredient;Percent\n" + "\n".join(lines) + "\nSand;7-8\n", encoding="utf-8")
        self.sheet, self.columns = look_into(path), columns_in(path, SheetReading())


def recipe_pages(sizes, samples):
    """A recipe in which everything is wrong, on each of its pages."""
    from benchapp.screens.recipes import recipe_rows as rows
    from benchapp.screens.recipes.field_rows import FieldRows, fields_page
    from benchapp.screens.recipes.share_pad import SharePad, ShareRequest
    from benchapp.screens.recipes.sheet_controller import ColumnsShown, columns_page, sheet_page
    from benchapp.screens.widgets.pager import Paging
    from benchapp.screens.widgets.text_pad import TextPad
    from benchapp.service.recipe_sheets import SheetReading

    undo, add = ("Undo", print, "plain"), ("Add", print, "plain")
    facts, paging = samples.wrong, Paging(print, print)
    yield rows.formula_page(sizes, facts, print, print, paging, (undo, ("Method", print, "main"), add))
    yield rows.method_page(sizes, facts, print, print, paging, (undo, add, ("Save", print, "main")))
    yield rows.materials_page(
        sizes, "What goes in?", samples.known, print, paging, [("New material", print, "plain")]
    )
    moves = [("More", print, "plain")]
    heat = FieldRows("4. Heat both phases together", samples.fields, facts.lines[8].faults, ["band"])
    yield fields_page(sizes, heat, print, paging, moves)
    right = (("Change columns", print, "plain"), ("Take it", print, "main"))
    yield sheet_page(sizes, samples.sheet, Paging(print, print, 1), right)
    wrong = 'In the sheet "Formula" it has to be said which column holds the names and which the amounts.'
    for more, why in (((("Other sheet", print, "plain"), ("In percent", print, "plain")), ""), ((), wrong)):
        shown = ColumnsShown(Path("notebook.csv"), SheetReading(), samples.columns * 4, print, more, why)
        yield columns_page(sizes, shown, print, paging)
    more = [
        ("Change phase (cool-down)", print, "plain"),
        ("The rest", print, "plain"),
        ("As needed (acid, lye)", print, "plain"),
    ]
    yield SharePad(
        sizes,
        ShareRequest(
            "How much Sodium hydroxide solution 10 %?", f"Papers: at most 2 %. {facts.sum.sentence}"
        ),
        print,
        print,
        more,
    )
    yield TextPad(
        sizes, "What is it called on its container?", print, print, "Winter cream of the long shore"
    )
