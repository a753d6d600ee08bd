"""What can be practised, and the goal of a scenario."""

from __future__ import annotations

from collections.abc import Callable, Set
from dataclasses import dataclass
from functools import partial

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.named_lines import NamedLine, led_by
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.sentence_rows import SentenceRows
from benchapp.service.training_facts import Practice, Practices

#: The row of a whole batch in which nothing is made to go wrong.
WHOLE = (
    tr_noop("A whole batch"),
    tr_noop("From the first step to the last; nothing goes wrong by itself. Begin here."),
)
#: What is said on every page before a rehearsal begins.
SIMULATED = tr_noop("On a simulated bench: nothing is real, and nothing is for sale.")


@dataclass(frozen=True, slots=True)
class PracticeLeads:
    """Where the list leads to."""

    pick: Callable[[Practice], None]
    whole_batch: Callable[[], None]
    competence: Callable[[], None]


def practice_page(
    sizes: Sizes, found: Practices, leads: PracticeLeads, paging: Paging, reached: Set[str] = frozenset()
) -> RowsPage:
    """Everything that can be practised: a whole batch, then each scenario with its goal, marked where that was ``reached``."""
    rows = [RowSpec(WHOLE[0], leads.whole_batch, WHOLE[1], broad=True, first=True)]
    rows += [
        RowSpec(
            translated(p.title),
            partial(leads.pick, p),
            translated(p.goal),
            mark="good" if p.title in reached else "",
        )
        for p in found.found
    ]
    said = [(SIMULATED, False), *((text, True) for text in found.broken)]
    more: list[ButtonSpec] = [(tr("Who may do what"), leads.competence, "plain")]
    return SentenceRows(sizes, "Practise", rows, paging, more, said)


def goal_page(sizes: Sizes, p: Practice, begin: Callable[[], None], back: Callable[[], None]) -> Page:
    """One scenario and its goal, before anything begins."""
    page = Page(sizes, tr("Practise: {title}", title=p.title))
    page.bottom([("Back", back, "plain"), ("Begin", begin, "main")])
    lines = [
        NamedLine(tr("How"), tr("Something goes wrong by itself. You put it right.")),
        NamedLine(tr("Where"), SIMULATED),
        NamedLine(tr("Steps"), step_kinds(p.teaches)),
    ]
    led_by(page, translated(p.goal), lines)
    return page
