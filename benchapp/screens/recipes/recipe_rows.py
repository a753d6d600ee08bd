"""Recipes, formulas, methods and materials as pages of rows."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n, translated
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.recipes.field_rows import as_read, under
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import ROOMY_PX
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.sentence_rows import SentenceRows, WholeRows

if TYPE_CHECKING:
    from benchapp.service.recipe_drafts import RecipeEntry
    from benchapp.service.recipe_facts import DraftFacts, FormulaLineFacts, MethodStepFacts
    from benchapp.service.recipe_materials import KnownMaterial

#: A name of so many signs has room on a press.
_SHORT = 18
Numbered = Callable[[int], None]


def drafts_page(
    sizes: Sizes,
    entries: Sequence[RecipeEntry],
    pick: Callable[[RecipeEntry], None],
    paging: Paging,
    more: Sequence[ButtonSpec],
) -> RowsPage:
    """The maker's own recipes, with where each stands."""
    rows = [
        RowSpec(e.name, partial(pick, e), e.standing, wrong=e.wrong, mark="open" if e.wrong else "")
        for e in entries
    ]  # fmt: skip
    none = tr("No recipe is being written. Begin one, or bring one in from a sheet.")
    said = [] if rows else [(none, False)]
    return RowsPage(sizes, tr("Your recipes"), rows, paging, more, said)


def formula_page(
    sizes: Sizes,
    facts: DraftFacts,
    pick: Numbered,
    about: Callable[[], None],
    paging: Paging,
    more: Sequence[ButtonSpec],
) -> RowsPage:
    """The formula: a row for each line with its share, and the sum over them all."""
    rows = [
        RowSpec(x.name, partial(pick, x.row.number), under(x.name, _first_sentence(x.faults[0])) if x.faults else x.row.phase, x.row.share, bool(x.faults), broad=bool(x.faults), first=bool(x.faults))
        for x in facts.lines
    ]  # fmt: skip
    rows.append(RowSpec(tr("About it"), about, about_words(facts), wrong=bool(facts.faults)))
    return RowsPage(sizes, facts.name, rows, paging, more, [(facts.sum.sentence, not facts.sum.whole)])


def about_words(facts: DraftFacts) -> str:
    """Use, size and pH in a line; where something is wrong with them, that."""
    if facts.faults and facts.lines:
        return facts.faults[0]
    ph = tr(", pH {ph}", ph=facts.ph) if facts.ph else ""
    return f"{facts.use}{ph}, {facts.batch[1]}"


def method_page(
    sizes: Sizes,
    facts: DraftFacts,
    pick: Numbered,
    vessels: Callable[[], None],
    paging: Paging,
    more: Sequence[ButtonSpec],
) -> RowsPage:
    """The method: a row for each step with what it does, on a small glass only its name; or what is wrong with it."""
    roomy = sizes.panel.height >= ROOMY_PX
    rows = []
    for step in facts.steps:
        said = step.faults[0] if step.faults else step.sentence if roomy else ""
        rows.append(
            RowSpec(step.heading, partial(pick, step.number), _first_sentence(said), wrong=bool(step.faults))
        )
    wrong = next((fault for v in facts.vessels for fault in v.faults), "")
    if facts.vessels:
        named = ", ".join(f"{v.name} {v.capacity}" for v in facts.vessels)
        rows.append(RowSpec("Vessels", vessels, wrong or named, wrong=bool(wrong)))
    standing = tr("No method yet.") if not rows else tr("It can be made.") if facts.ready else mending(facts)
    return (WholeRows if roomy else RowsPage)(
        sizes,
        tr("{name}: method", name=facts.name),
        rows,
        paging,
        more,
        [(standing, not facts.ready and bool(rows))],
    )


def mending(facts: DraftFacts) -> str:
    """How much keeps it from being made, wherever that is said."""
    n, steps = facts.to_mend, [x for x in facts.steps if x.faults]
    if steps and len(steps) == n:
        *others, last = (str(x.number + 1) for x in steps)
        named = tr("{names} and {last}", names=", ".join(others), last=last) if others else last
        return tr_n(
            "Step {steps} has to be mended.", "Steps {steps} have to be mended.", n=len(steps), steps=named
        )
    return (
        tr_n("One thing has to be mended.", "{n} things have to be mended.", n=n)
        if n
        else tr("Nothing has to be mended.")
    )


@dataclass(frozen=True, slots=True)
class CheckLeads:
    """Where what is wrong is mended: of the whole, of a line, of a step, of the vessels."""

    about: Callable[[], None]
    line: Numbered
    step: Numbered
    vessels: Callable[[], None]


def checks_page(
    sizes: Sizes,
    facts: DraftFacts,
    law: Sequence[str],
    leads: CheckLeads,
    paging: Paging,
) -> RowsPage:
    """What has to be mended, each leading to where that is done; then what may be left, and what the law says."""
    rows = [RowSpec(tr("The recipe"), leads.about, fault, wrong=True, broad=True) for fault in facts.faults]
    rows += [
        RowSpec(x.name, partial(leads.line, x.row.number), under(x.name, fault), wrong=True, broad=True) for x in facts.lines for fault in x.faults
    ]  # fmt: skip
    rows += [
        RowSpec(v.name, leads.vessels, fault, wrong=True, broad=True)
        for v in facts.vessels
        for fault in v.faults
    ]
    rows += [
        RowSpec(x.heading, partial(leads.step, x.number), _together(x.faults), wrong=True, broad=True) for x in facts.steps if x.faults
    ]  # fmt: skip
    rows = [replace(row, detail=as_read(row.detail), mark="open", calm=True) for row in rows]
    rows += [RowSpec(tr("Good to know"), leads.about, text, broad=True) for text in facts.warnings]
    rows += [RowSpec(tr("The law"), leads.about, text, broad=True) for text in law]
    said = [(mending(facts), facts.to_mend > 0)]
    return SentenceRows(
        sizes, tr("{name}: checks", name=facts.name), rows, paging, mend_first(facts, leads), said
    )


def _together(faults: Sequence[str]) -> str:
    """All that is wrong with one step; how several of them end alike, like what mends them, is said once."""
    parts = [_sentences(fault) for fault in faults]
    ends: list[str] = []
    while all(len(one) > 1 and one[-1] == parts[0][-1] for one in parts):
        ends.insert(0, parts[0][-1])
        parts = [one[:-1] for one in parts]
    return " ".join((*(x for one in parts for x in one), *ends))


def mend_first(facts: DraftFacts, leads: CheckLeads) -> list[ButtonSpec]:
    """What leads to the first thing that has to be mended; nothing where all is well."""
    line = next((x for x in facts.lines if x.faults), None)
    step = next((x for x in facts.steps if x.faults), None)
    if line is not None:
        return [mend_line(line, leads.line)]
    return [mend_step(step, leads.step)] if step is not None else []


def mend_line(line: FormulaLineFacts, lead: Numbered) -> ButtonSpec:
    """What leads to a line that has to be mended."""
    named = tr("Mend {name}", name=line.name) if len(line.name) <= _SHORT else tr("Mend the line")
    return named, partial(lead, line.row.number), "main"


def mend_step(step: MethodStepFacts, lead: Numbered) -> ButtonSpec:
    """What leads to a step that has to be mended."""
    return tr("Mend step {number}", number=step.number + 1), partial(lead, step.number), "main"


def vessels_page(
    sizes: Sizes, facts: DraftFacts, pick: Numbered, paging: Paging, more: Sequence[ButtonSpec]
) -> RowsPage:
    """The vessels of a method: how large each has to be."""
    rows = [
        RowSpec(
            v.name,
            partial(pick, v.number),
            v.faults[0]
            if v.faults
            else "brim-full"
            if v.kettles == 1
            else tr("brim-full, {kettles} of them", kettles=v.kettles),
            v.capacity,
            bool(v.faults),
        )
        for v in facts.vessels
    ]
    return RowsPage(sizes, tr("Which vessels have you got?"), rows, paging, more)


def materials_page(
    sizes: Sizes, title: str, known: Sequence[KnownMaterial], pick: Callable[[str], None], paging: Paging,
    more: Sequence[ButtonSpec] = (), mended: bool = False,
) -> RowsPage:  # fmt: skip
    """Materials to pick; ``mended``: how many have no safety data sheet is said over them, with what enters the first. A row
    says it only where it is the exception. What they are for stands beside them where one is picked."""
    lacking = [m for m in known if not m.hazards_known]
    told = 2 * len(lacking) <= len(known)
    rows = []
    for m in known:
        lacks = told and not m.hazards_known
        role = "" if mended else translated(m.role)
        said = ", ".join(x for x in (role, tr("no safety data sheet") if lacks else "") if x)
        rows.append(RowSpec(m.name, partial(pick, m.name), said, wrong=lacks and mended))
    over: list[tuple[str, bool]] = []
    if not rows:
        over = [(tr("The shelf is empty. Enter a material, or bring some in from a recipe."), False)]
    elif mended and lacking:
        n = len(lacking)
        over = [(tr_n("One material has no safety data sheet. It stands first, then A to Z.", "{n} materials have no safety data sheet. They stand first, then A to Z.", n=n), True)]  # fmt: skip
        first = lacking[0].name
        enter = (
            tr("Enter the sheet of {name}", name=first.replace(" ", "\u00a0"))
            if len(first) <= _SHORT
            else tr("Enter a sheet")
        )
        more = [*more, (enter, partial(pick, first), "main")]
    return RowsPage(sizes, title, rows, paging, more, over)


def _first_sentence(text: str) -> str:
    """The gist of a step or of a fault, for a list; all of it stands where the row leads to."""
    first = _sentences(as_read(text))[0]
    return first[:1].upper() + first[1:]


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=[.?!]) (?=[A-ZÀ-Þ])", text)
