"""Practising: which scenario, who practises, and how it went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.navigator import Navigator
from benchapp.screens.training.debrief_page import DebriefPage, TimelinePage
from benchapp.screens.training.practice_pages import PracticeLeads, goal_page, practice_page
from benchapp.screens.widgets.pager import Paging
from benchapp.service.training_facts import Practice, Practices

if TYPE_CHECKING:
    from benchapp.rehearsal.debrief import Debrief
    from benchapp.screens.widgets.button import ButtonSpec
    from procedures.model import Procedure


class PracticeController:
    """The scenarios, their goals, and their debriefs."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def practices(self, number: int = 0) -> None:
        """Everything that can be practised."""
        nav = self._nav
        paging = Paging(nav.routes.home, self.practices, number)

        leads = PracticeLeads(self.practice, self.whole_batch, nav.routes.competence)
        nav.open(
            lambda shop: (shop.practices(), shop.reached()),
            lambda found: practice_page(nav.sizes, found[0], leads, paging, found[1]),
        )

    def practice(self, p: Practice) -> None:
        """One of them, and its goal."""
        self._nav.show(goal_page(self._nav.sizes, p, partial(self._practise_by, p), self.practices))

    def _practise_by(self, p: Practice, number: int = 0) -> None:
        """Who practises? It speaks for nobody else. Where there is no choice, whoever makes here."""
        nav = self._nav
        paging = Paging(partial(self.practice, p), partial(self._practise_by, p), number)
        begin = partial(nav.routes.practise, p)

        def asked(people: tuple[str, ...]) -> None:
            if len(people) < 2:
                begin(people[0] if people else "")
            else:
                nav.ask_choice(tr("Who practises?"), people, begin, paging)

        nav.fetch(lambda shop: shop.desk().people(), asked)

    def whole_batch(self) -> None:
        """A whole batch of what?"""
        nav = self._nav

        def listed(recipes: tuple[Procedure, ...]) -> None:
            by_name = {r.name: r for r in recipes}

            def picked(name: str) -> None:
                nav.routes.rehearse(by_name[name].key, by_name[name].default_batch_g)

            nav.ask_choice(tr("Practise which batch?"), tuple(by_name), picked, Paging(self.practices))

        nav.fetch(lambda shop: shop.recipes(), listed, tr("Reading the shelf."))

    def debrief(self, batch: str) -> None:
        """How a rehearsal went."""
        self._debrief(batch, Paging(self._nav.routes.practised))

    def debrief_of_ended(self, batch: str) -> None:
        """The same, of what has ended just now: the bench is where one goes from here."""
        self._debrief(batch, Paging(self._nav.routes.home, back_label=tr("To the bench")))

    def _debrief(self, batch: str, paging: Paging) -> None:
        nav = self._nav

        def show(found: tuple[Debrief | str, Practices]) -> None:
            debrief, known = found
            if isinstance(debrief, str):
                nav.message(debrief, paging.back)
                return
            key = next((p.key for p in known.found if p.title == debrief.title), None)
            again: list[ButtonSpec] = (
                [(tr("Once more"), partial(self._again, key), "main")] if key is not None else []
            )
            self._debrief_page(debrief, again, paging)

        nav.fetch(lambda shop: (shop.desk().debrief(batch), shop.practices()), show)

    def _debrief_page(self, debrief: Debrief, more: Sequence[ButtonSpec], paging: Paging) -> None:
        def turn(number: int) -> None:
            self._debrief_page(debrief, more, replace(paging, number=number))

        def timeline(number: int = 0) -> None:
            nav.show(TimelinePage(nav.sizes, debrief, Paging(partial(turn, paging.number), timeline, number)))

        nav = self._nav
        happened: list[ButtonSpec] = [(tr("What happened"), timeline, "plain")] if debrief.timeline else []
        nav.show(DebriefPage(nav.sizes, debrief, replace(paging, turn=turn), [*happened, *more]))

    def _again(self, key: str) -> None:
        """The same once more: its goal first."""

        def found(p: Practice | None) -> None:
            if p is None:
                self.practices()
            else:
                self.practice(p)

        self._nav.fetch(lambda shop: next((p for p in shop.practices().found if p.key == key), None), found)
