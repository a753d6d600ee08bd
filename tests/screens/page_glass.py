"""The pages of desk and training without a window: what is fetched comes at once, and the page that is shown is read."""

from __future__ import annotations

from types import SimpleNamespace

from benchapp.runtime.settings import Preferences
from benchapp.screens.bench.recipe_controller import RecipeController
from benchapp.screens.desk.batch_controller import BatchController
from benchapp.screens.desk.lot_controller import LotController
from benchapp.screens.desk.overview_controller import OverviewController
from benchapp.screens.desk.release_controller import ReleaseController
from benchapp.screens.navigator import Navigator
from benchapp.screens.training.competence_controller import CompetenceController
from benchapp.screens.training.practice_controller import PracticeController

PIN = "4826"


class Now(Navigator):
    """Waits for nothing."""

    def show(self, page):
        self.page = page

    def fetch(self, work, then, what=""):
        then(work(self._workshop()))


class PageGlass:
    """The controllers around one shop, and a finger; ``begun`` is what a make would have begun with."""

    def __init__(self, shop, sizes):
        nav = self.navigator = Now(sizes.panel, Preferences(), lambda: shop)
        nav.sizes = sizes
        self.shop, self.begun = shop, None
        self.batches, self.lots, self.releases = (
            BatchController(nav),
            LotController(nav),
            ReleaseController(nav),
        )
        self.practices, self.competence = PracticeController(nav), CompetenceController(nav)
        recipes = RecipeController(nav)
        self.now = 0.0
        self.overview = OverviewController(nav, now=lambda: self.now)
        nav.routes = SimpleNamespace(
            home=lambda: None, recipes=recipes.shelf, size=recipes.size, batches=self.batches.past, practised=self.batches.practised, batch=self.batches.batch,
            release=self.releases.release, undecided=self.releases.undecided, lots=self.lots.lots,
            own_recipes=recipes.shelf, settings=lambda: None, benches=self.overview.overview, practices=self.practices.practices, competence=self.competence.people, debrief=self.practices.debrief,
            begin=self._begin, practise=lambda p, who: self._begin(p.key, who),
        )  # fmt: skip

    def _begin(self, *what):
        self.begun = what

    @property
    def page(self):
        return self.navigator.page

    def labels(self):
        from benchapp.screens.widgets.button import TouchButton

        return {w.label: w for w in self.page.walk() if isinstance(w, TouchButton)}

    def press(self, label):
        found = [w for text, w in self.labels().items() if text == label or text.startswith(label)]
        assert found, f"{label!r} is not on the glass: {sorted(self.labels())}"
        found[0].act()

    def turn_page(self):
        """To the next page of what takes several."""
        self.press(next(label for label in ("Next page", "First page") if label in self.labels()))

    def words(self):
        return words_on(self.page)

    def keys(self, digits, enter="Enter"):
        for digit in digits:
            self.press(digit)
        self.press(enter)

    def type_pin(self, pin=PIN):
        self.keys(pin, "Sign")

    def write(self, text):
        """On the letters, a key at a time."""
        for sign in text:
            self.press("Space" if sign == " " else sign.upper())
        self.press("Enter")


def words_on(page):
    """Every word on a page."""
    from benchapp.screens.widgets.text_label import TextLabel

    return " ".join(w.text for w in page.walk() if isinstance(w, TextLabel))
