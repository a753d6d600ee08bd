"""Lines of a formula on the glass: a material, its share, its phase; changed, moved, swapped, removed."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.recipes.draft import LINE
from benchapp.screens.recipes.field_rows import FieldRows, fields_page
from benchapp.screens.recipes.material_controller import MaterialController
from benchapp.screens.recipes.recipe_requests import MOVE, REMOVE, RecipeRequests, moving
from benchapp.screens.recipes.share_pad import SharePad, ShareRequest
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging

if TYPE_CHECKING:
    from benchapp.service.recipe_facts import DraftFacts, FormulaLineFacts

NEW_PHASE = tr_noop("Another phase")
REST, AS_NEEDED = tr_noop("The rest"), tr_noop("As needed (acid, lye)")
#: Fields of a line that are called otherwise in a file.
_AS_SHOWN = {"percent": "share", "label": "told apart as", "material": "what it is", "name": "what it is"}
#: What the tolerance of a line is that says none.
BY_ROLE = tr_noop("as usual")


def _rest(facts: DraftFacts, act: Callable[[], None]) -> list[ButtonSpec]:
    """What makes a line the rest, unless one is."""
    return [] if facts.sum.rest is not None else [(REST, act, "plain")]


def _allowed(limit: str) -> str:
    """What the papers of a material allow of it, as a sentence; that nobody knows it, where nothing was entered."""
    return tr("Papers: at most {limit}.", limit=limit) if limit else tr("No upper limit is entered for it.")


class Addable(NamedTuple):
    """A material, how much of it its papers allow, and whether it may be weighed as much as it takes."""

    material: str
    limit: str
    as_needed: bool


class LineController:
    """``formula`` shows the recipe's lines."""

    def __init__(
        self, recipes: RecipeRequests, materials: MaterialController, formula: Callable[[str], None]
    ) -> None:
        self._recipes, self._materials, self._formula = recipes, materials, formula
        self._nav = recipes.nav

    # --- one more ----------------------------------------------------------------------------------------

    def add(self, key: str) -> None:
        """Which material, then how much of it; then the next one."""
        back = partial(self._formula, key)
        self._materials.pick(tr("What goes in?"), partial(self._ask_share, key), back)

    def _ask_share(self, key: str, material: str) -> None:
        def phased(found: tuple[DraftFacts, str, Addable]) -> None:
            self._share(found[0], found[2], found[1])

        self._recipes.ask(
            lambda desk: (
                desk.draft(key),
                desk.materials.phase_of(material),
                Addable(material, desk.materials.limit_of(material), desk.materials.as_needed(material)),
            ),
            phased,
            partial(self._formula, key),
        )

    def _share(self, facts: DraftFacts, of: Addable, phase: str) -> None:
        key, material = facts.key, of.material

        def put(share: str) -> None:
            self._recipes.ask(
                lambda desk: desk.add_line(key, material, share, phase),
                lambda _: self.add(key),
                partial(self._formula, key),
            )

        def other_phase(new: str) -> None:
            self._share(facts, of, new)

        again = partial(self._share, facts, of, phase)
        more: list[ButtonSpec] = [
            (
                tr("Change phase ({phase})", phase=phase),
                partial(self._phases, facts, other_phase, again),
                "plain",
            ),
            *_rest(facts, lambda: put("rest")),
        ]
        if of.as_needed:
            more.append((AS_NEEDED, partial(self._cap, put, again), "plain"))
        back = partial(self.add, key)
        self._nav.show(
            SharePad(
                self._nav.sizes,
                ShareRequest(
                    tr("How much {name}?", name=material),
                    " ".join(x for x in (_allowed(of.limit), facts.sum.sentence) if x),
                ),
                lambda value: put(f"{value:.10g}"),
                back,
                more,
            )
        )

    def _cap(self, put: Callable[[str], None], back: Callable[[], None]) -> None:
        request = ShareRequest(tr("As much as it needs, but never more than"), most=20.0)
        self._nav.show(SharePad(self._nav.sizes, request, lambda cap: put(f"as needed, {cap:.10g} %"), back))

    def _phases(self, facts: DraftFacts, done: Callable[[str], None], back: Callable[[], None]) -> None:
        phases = tuple(dict.fromkeys((*facts.phases, *self._usual())))

        def picked(choice: str) -> None:
            if choice == NEW_PHASE:
                self._nav.ask_text(tr("What is the phase called?"), done, back)
            else:
                done(choice)

        def show(number: int = 0) -> None:
            paging = Paging(back, show, number)
            self._nav.ask_choice(tr("Into which phase?"), (*phases, NEW_PHASE), picked, paging)

        show()

    @staticmethod
    def _usual() -> tuple[str, ...]:
        from benchapp.recipes.usual_phases import USUAL_PHASE

        return tuple(dict.fromkeys(USUAL_PHASE.values()))

    # --- one that is there -------------------------------------------------------------------------------

    def line(self, key: str, number: int) -> None:
        """What can be changed about it."""
        self._recipes.ask(
            lambda desk: desk.unchanged(key, LINE, number),
            lambda facts: self._line(facts, number),
            partial(self._formula, key),
        )

    def _line(self, facts: DraftFacts, number: int) -> None:
        key, line, back = facts.key, facts.lines[number], partial(self._formula, facts.key)
        again = partial(self.line, key, number)
        acts: dict[str, Callable[[], None]] = {
            "share": partial(self._change_share, facts, line), "phase": partial(self._change_phase, facts, line),
            "tolerance": partial(self._change_tolerance, facts, line), "told apart as": partial(self._change_label, facts, line),
            "swap for another": partial(self._swap, key, number), "what it is": partial(self._materials.of_line, key, line.row.name, again),
        }  # fmt: skip
        fields: list[tuple[str, str | None]] = [
            ("share", line.row.share),
            ("phase", line.row.phase),
            ("tolerance", line.row.tolerance or BY_ROLE),
            (tr_noop("told apart as"), line.row.label),
            (tr_noop("swap for another"), None),
            (tr_noop("what it is"), None),
        ]
        moves = moving(number, len(facts.lines), partial(self._move, key, number))
        moves.append((REMOVE, partial(self._remove, key, number), "serious"))
        more: list[ButtonSpec] = [(MOVE, partial(self._recipes.one_of, line.name, moves, again), "plain")]
        page = fields_page(
            self._nav.sizes,
            FieldRows(line.name, fields, line.faults, [_AS_SHOWN.get(x, x) for x in line.faulty]),
            lambda name: acts[name](),
            Paging(back),
            more,
        )
        self._nav.show(page)

    def _remove(self, key: str, number: int) -> None:
        back = partial(self._formula, key)
        self._recipes.change(lambda desk: desk.remove_line(key, number), back)

    def _move(self, key: str, number: int, by: int) -> None:
        self._recipes.ask(
            lambda desk: desk.move_line(key, number, by),
            lambda facts: self._line(facts, number + by),
            partial(self._formula, key),
        )

    def _change_share(self, facts: DraftFacts, line: FormulaLineFacts) -> None:
        key, number = facts.key, line.row.number
        again = partial(self.line, key, number)

        def put(share: str) -> None:
            self._recipes.ask(
                lambda desk: desk.set_share(key, number, share), lambda _: self._formula(key), again
            )

        more: list[ButtonSpec] = [
            *_rest(facts, lambda: put("rest")),
            (AS_NEEDED, partial(self._cap, put, again), "plain"),
        ]
        self._nav.show(
            SharePad(
                self._nav.sizes,
                ShareRequest(tr("How much {name}?", name=line.row.name), facts.sum.sentence),
                lambda value: put(f"{value:.10g}"),
                again,
                more,
            )
        )

    def _change_phase(self, facts: DraftFacts, line: FormulaLineFacts) -> None:
        key, number = facts.key, line.row.number
        again = partial(self.line, key, number)

        def put(phase: str) -> None:
            self._recipes.ask(
                lambda desk: desk.set_line(key, number, {"phase": phase}), lambda _: self._formula(key), again
            )

        self._phases(facts, put, again)

    def _change_tolerance(self, facts: DraftFacts, line: FormulaLineFacts) -> None:
        """How far it may be off, in percent of itself; nothing of its own where it is 0."""
        put, again = self._put(facts, line)
        ask = NumberRequest(
            tr("{name}: how far off may it be? 0 for {by_role}", name=line.row.name, by_role=BY_ROLE),
            "%",
            0,
            100,
            2,
            True,
        )
        self._nav.ask_number(ask, lambda n: put(tolerance=f"{n:.10g} %" if n else None), again)

    def _change_label(self, facts: DraftFacts, line: FormulaLineFacts) -> None:
        """What tells it from another line of the same material."""
        put, again = self._put(facts, line)
        asked = tr("{name}: which of several lines of it?", name=line.row.name)
        self._nav.ask_text(asked, lambda text: put(label=text or None), again, line.row.label)

    def _put(
        self, facts: DraftFacts, line: FormulaLineFacts
    ) -> tuple[Callable[..., None], Callable[[], None]]:
        """What writes fields of a line down, and the way back to it."""
        key, number = facts.key, line.row.number
        again = partial(self.line, key, number)

        def put(**fields: str | None) -> None:
            self._recipes.change(lambda desk: desk.set_line(key, number, fields), again)

        return put, again

    def _swap(self, key: str, number: int) -> None:
        again = partial(self.line, key, number)

        def swapped(found: tuple[DraftFacts, tuple[str, ...]]) -> None:
            look = found[1] or (tr("Nothing else changes."),)
            self._nav.tell(tr("What has to be looked at"), look, partial(self._formula, key))

        def picked(material: str) -> None:
            self._recipes.ask(lambda desk: desk.swap_line(key, number, material), swapped, again)

        self._materials.pick(tr("Which one instead?"), picked, again)
