"""Who may do what: the people, what they hold, enrolling somebody, granting a level."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.record.competence import LEVELS, STEP_KINDS
from benchapp.screens.navigator import Navigator
from benchapp.screens.training.person_page import PersonPage, roles, summary
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.letter_pad import LetterPad
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.signature_pad import SignaturePad, SignatureText
from benchapp.service.training_facts import Competent, Grant

if TYPE_CHECKING:
    from benchapp.service.bench_service import BenchService

#: What somebody can be enrolled as. The first person here has to be a releaser.
ROLES: dict[str, tuple[str, ...]] = {
    "Helper, who learns": ("helper",), "Maker": ("maker",), "Maker and releaser": ("maker", "releaser"),
    "Releaser": ("releaser",),
}  # fmt: skip


class CompetenceController:
    """Everybody, one of them, a new one, and the levels they are granted."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def people(self, number: int = 0) -> None:
        """Everybody."""
        nav = self._nav
        paging = Paging(nav.routes.practices, self.people, number)

        def listed(found: tuple[tuple[Competent, ...], str]) -> None:
            everybody, here = found
            rows = [
                RowSpec(
                    tr("{who} (you)", who=one.who) if one.who == here else one.who,
                    partial(self.person, one.who),
                    summary(one),
                    roles(one),
                    broad=True,
                )
                for one in everybody
            ]
            none = [] if rows else [(tr("Nobody is enrolled, and nothing was practised yet."), False)]
            more: list[ButtonSpec] = [(tr("Enrol somebody"), self.enrol, "plain")]
            nav.show(RowsPage(nav.sizes, tr("Who may do what"), rows, paging, more, none))

        nav.fetch(lambda shop: (shop.desk().competence(), shop.maker), listed)

    # --- enrolling: a name, roles, a releaser's signature, and their own PIN, twice --------------------

    def enrol(self) -> None:
        """Somebody new."""
        self._nav.show(LetterPad(self._nav.sizes, tr("Who is it"), self._ask_roles, self.people))

    def _ask_roles(self, who: str) -> None:
        nav = self._nav

        def picked(role: str) -> None:
            nav.fetch(lambda shop: shop.desk().releasers(), partial(sign, ROLES[role]))

        def sign(roles: tuple[str, ...], releasers: tuple[str, ...]) -> None:
            done = partial(self._ask_pin, who, roles)
            if releasers:
                nav.ask_signature(releasers, tr("{who} is enrolled", who=who), done, self.people)
            else:
                done("", "")

        nav.ask_choice(tr("{who} is a …", who=who), tuple(ROLES), picked, Paging(self.enrol))

    def _ask_pin(self, who: str, roles: tuple[str, ...], by: str, by_pin: str) -> None:
        nav = self._nav

        def pad(meaning: str, done: Callable[[str, str], None]) -> None:
            nav.show(SignaturePad(nav.sizes, (who,), SignatureText(meaning), done, self.people, "Enter"))

        def again(_: str, pin: str) -> None:
            pad(tr("The same again."), partial(write, pin))

        def write(pin: str, _: str, same: str) -> None:
            if pin != same:
                nav.message(tr("Those were two different PINs. Nobody was enrolled."), self.people)
            else:
                nav.write(lambda shop: shop.desk().enrol(who, roles, by, by_pin, pin), self.people)

        pad(tr("Their own, 4 to 12 digits. Nobody else looks."), again)

    # --- one person ----------------------------------------------------------------------------------

    def person(self, who: str, number: int = 0) -> None:
        """What one person holds."""
        nav, paging = self._nav, Paging(self.people, partial(self.person, who), number)

        def found(came: tuple[Competent | None, tuple[str, ...]]) -> None:
            one, granters = came
            if one is None:
                self.people()
            else:
                nav.show(PersonPage(nav.sizes, one, granters, paging, partial(self.grant, one)))

        def read(shop: BenchService) -> tuple[Competent | None, tuple[str, ...]]:
            desk = shop.desk()
            return next((c for c in desk.competence() if c.who == who), None), desk.granters(who)

        nav.fetch(read, found)

    def grant(self, one: Competent, number: int = 0) -> None:
        """In which kind of step, which level, and who says so."""
        nav, back = self._nav, partial(self.person, one.who)

        def level_of(kind: str) -> None:
            title = tr("{who}, {kind}: which level?", who=one.who, kind=kind)
            nav.ask_choice(title, LEVELS, partial(signed_by, kind), Paging(back))

        def signed_by(kind: str, level: str) -> None:
            def ask(granters: tuple[str, ...]) -> None:
                nav.ask_signature(granters, f"{one.who}: {kind}, {level}", partial(write, kind, level), back)

            nav.fetch(lambda shop: shop.desk().granters(one.who), ask)

        def write(kind: str, level: str, who: str, pin: str) -> None:
            nav.write(lambda shop: shop.desk().give(Grant(one.who, kind, level), who, pin), back)

        paging = Paging(back, partial(self.grant, one), number)
        nav.ask_choice(tr("{who}: in which kind of step?", who=one.who), STEP_KINDS, level_of, paging)
