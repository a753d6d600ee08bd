"""The ways between the training pages: practise, how it went, who may do what."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from benchapp.screens.going import Going

if TYPE_CHECKING:
    from benchapp.rehearsal.debrief import Debrief
    from benchapp.screens.home import Labelled
    from benchapp.service.bench_facts import Recipe
    from benchapp.service.bench_service import BenchService
    from benchapp.service.training_facts import Competent, Practice

T = TypeVar("T")
#: What somebody can be enrolled as. The first person here has to be a releaser.
ROLES: dict[str, tuple[str, ...]] = {
    "Helper, who learns": ("helper",), "Maker": ("maker",), "Maker and releaser": ("maker", "releaser"),
    "Releaser": ("releaser",),
}  # fmt: skip


class TrainingWays(Going):
    """What the presses of the training pages do; the app is one."""

    if TYPE_CHECKING:  # what the app itself and its other ways do

        def home(self) -> None: ...
        def batch(self, batch: str) -> None: ...
        def practise(self, p: Practice, who: str = "") -> None: ...
        def rehearse(self, key: str, batch_g: float) -> None: ...

    # --- practise ------------------------------------------------------------------------------------

    def practices(self, number: int = 0) -> None:
        """Everything that can be practised."""
        from benchapp.screens import training

        self.fetch(lambda shop: shop.practices(),
                   lambda found: self.show(training.PracticePage(self.panel, self.sizes, found, self, number)))  # fmt: skip

    def practice(self, p: Practice) -> None:
        """One of them, and its goal."""
        from benchapp.screens import training

        self.show(training.goal_page(self.panel, self.sizes, p, self))

    def practise_by(self, p: Practice, number: int = 0) -> None:
        """Who practises? It speaks for nobody else. Where there is no choice, whoever makes here."""
        from benchapp.screens import desk

        def asked(people: tuple[str, ...]) -> None:
            if len(people) < 2:
                self.practise(p, *people)
            else:
                self.show(desk.choice_page(self.panel, self.sizes, "Who practises?", people, partial(self.practise, p),
                                           partial(self.practice, p), partial(self.practise_by, p), number))  # fmt: skip

        self.fetch(lambda shop: shop.desk().people(), asked)

    def practise_whole(self) -> None:
        """A whole batch of what?"""
        from benchapp.screens import desk

        def listed(recipes: tuple[Recipe, ...]) -> None:
            by_name = {r.name: r for r in recipes}
            self.show(desk.choice_page(self.panel, self.sizes, "Practise which batch?", tuple(by_name),
                                       lambda name: self.rehearse(by_name[name].key, by_name[name].usual_g), self.practices))  # fmt: skip

        self.fetch(lambda shop: shop.recipes(), listed, "Reading the shelf.")

    # --- how it went ---------------------------------------------------------------------------------

    def debrief(self, batch: str, after_it: bool = False) -> None:
        """How a rehearsal went; ``after_it``: it has ended just now, and the bench is where one goes from here."""
        back: Labelled = ("To the bench", self.home, "plain") if after_it else ("Back", partial(self.batch, batch), "plain")  # fmt: skip

        def told(found: tuple[Debrief | str, tuple[Practice, ...]]) -> None:
            how, known = found
            if isinstance(how, str):
                self.told(how, back[1])
                return
            key = next((p.key for p in known if p.title == how.title), "")
            self.debrief_page(how, key, back, 0)

        self.fetch(lambda shop: (shop.desk().debrief(batch), shop.practices().found), told)

    def debrief_page(self, found: Debrief, key: str, back: Labelled, number: int) -> None:
        """One page of it."""
        from benchapp.screens import training

        self.show(training.DebriefPage(self.panel, self.sizes, found, key, self, back, number))

    def practise_again(self, key: str) -> None:
        """The same once more: its goal first."""

        def found(p: Practice | None) -> None:
            if p is None:
                self.practices()
            else:
                self.practice(p)

        self.fetch(lambda shop: next((p for p in shop.practices().found if p.key == key), None), found)

    # --- who may do what -----------------------------------------------------------------------------

    def competence(self, number: int = 0) -> None:
        """Everybody."""
        from benchapp.screens import desk, training

        def listed(everybody: tuple[Competent, ...]) -> None:
            rows = [(training.summary(one), partial(self.person, one.who)) for one in everybody]
            self.show(desk.list_page(self.panel, self.sizes, "Who may do what", rows, self.practices, self.competence, number,
                                     "Nobody is enrolled, and nothing was practised yet.",
                                     [("Enrol somebody", self.enrol, "plain")]))  # fmt: skip

        self.fetch(lambda shop: shop.desk().competence(), listed)

    def enrol(self) -> None:
        """Somebody new: their name, what they may do, a releaser's signature, and their own PIN, twice."""
        from benchapp.screens.letters import LetterSheet

        self.show(LetterSheet(self.panel, self.sizes, "Who is it", self._enrol_as, self.competence))

    def _enrol_as(self, who: str) -> None:
        from benchapp.screens import desk

        def roles(picked: str) -> None:
            self.fetch(lambda shop: shop.desk().releasers(), partial(sign, ROLES[picked]))

        def sign(roles: tuple[str, ...], releasers: tuple[str, ...]) -> None:
            if releasers:
                self.sign(
                    releasers, f"{who} is enrolled", partial(self._new_pin, who, roles), self.competence
                )
            else:
                self._new_pin(who, roles, "", "")

        self.show(desk.choice_page(self.panel, self.sizes, f"{who} is a …", tuple(ROLES), roles, self.enrol))

    def _new_pin(self, who: str, roles: tuple[str, ...], by: str, by_pin: str) -> None:
        from benchapp.screens.signing import SignSheet

        def pad(meaning: str, done: Callable[[str, str], None]) -> None:
            self.show(SignSheet(self.panel, self.sizes, (who,), meaning, done, self.competence, "Enter"))

        def again(_: str, pin: str) -> None:
            pad("The same again.", partial(write, pin))

        def write(pin: str, _: str, same: str) -> None:
            if pin != same:
                self.told("Those were two different PINs. Nobody was enrolled.", self.competence)
                return
            self.fetch(lambda shop: shop.desk().enrol(who, roles, by, by_pin, pin),
                       lambda said: self.told(said, self.competence))  # fmt: skip

        pad("Their own, 4 to 12 digits. Nobody else looks.", again)

    def person(self, who: str, number: int = 0) -> None:
        """What one person holds."""
        from benchapp.screens import training

        def found(came: tuple[Competent | None, tuple[str, ...]]) -> None:
            one, granters = came
            if one is None:
                self.competence()
            else:
                self.show(training.PersonPage(self.panel, self.sizes, one, granters, self, number))

        def read(shop: BenchService) -> tuple[Competent | None, tuple[str, ...]]:
            desk = shop.desk()
            return next((c for c in desk.competence() if c.who == who), None), desk.granters(who)

        self.fetch(read, found)

    def grant(self, one: Competent, number: int = 0) -> None:
        """In which kind of step, which level, and who says so."""
        from benchapp.record.competence import LEVELS, STEP_KINDS
        from benchapp.screens import desk

        back = partial(self.person, one.who)

        def level_of(kind: str) -> None:
            self.show(desk.choice_page(self.panel, self.sizes, f"{one.who}, {kind}: which level?", LEVELS,
                                       partial(signed_by, kind), back))  # fmt: skip

        def signed_by(kind: str, level: str) -> None:
            def ask(granters: tuple[str, ...]) -> None:
                self.sign(granters, f"{one.who}: {kind}, {level}", partial(write, kind, level), back)

            self.fetch(lambda shop: shop.desk().granters(one.who), ask)

        def write(kind: str, level: str, who: str, pin: str) -> None:
            self.fetch(lambda shop: shop.desk().grant(one.who, kind, level, who, pin),
                       lambda said: self.told(said, back))  # fmt: skip

        self.show(desk.choice_page(self.panel, self.sizes, f"{one.who}: in which kind of step?", STEP_KINDS, level_of, back,
                                   partial(self.grant, one), number))  # fmt: skip
