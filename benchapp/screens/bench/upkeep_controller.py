"""Whether everything is in order, and the place for copies of the journal: a stick that is plugged in, chosen by touch."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.display.dates import in_words
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.rows_page import RowsPage, RowSpec
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow

if TYPE_CHECKING:
    from benchapp.runtime.removable_disks import Disk
    from benchapp.service.safekeeping import CopyPlaces
    from benchapp.service.upkeep import UpkeepFinding

NONE_PLUGGED_IN = tr_noop("No stick is plugged in. Plug one in, wait a moment, then look again.")
NO_PLACE = tr_noop("No copy is made by itself. If this machine is lost, so is every record.")


class UpkeepController:
    """What is in order and what is not; where copies go."""

    def __init__(self, navigator: Navigator, back: Callable[[], None]) -> None:
        self._nav, self._back = navigator, back

    def findings(self, number: int = 0) -> None:
        """Every matter; those that want something done first."""
        nav, paging = self._nav, Paging(self._back, self.findings, number)
        copies: list[ButtonSpec] = [("Copies", self.copies, "plain")]
        nav.open(
            lambda shop: shop.upkeep(),
            lambda found: findings_page(nav.sizes, found, paging, copies),
            tr("Looking at devices, disk, clock and copies."),
        )

    def copies(self, number: int = 0) -> None:
        """The place now, and the sticks that could be one."""
        nav, paging = self._nav, Paging(self.findings, self.copies, number)
        nav.open(
            lambda shop: shop.copy_places(),
            lambda places: copies_page(nav.sizes, places, paging, self._choose, self._more(places)),
        )

    def _more(self, places: CopyPlaces) -> list[ButtonSpec]:
        again: ButtonSpec = (tr("Look again"), self.copies, "plain")
        return [again, (tr("No more copies"), self._end, "plain")] if places.now else [again]

    def _choose(self, disk: Disk) -> None:
        self._nav.write(lambda shop: shop.begin_copies(disk), self.copies)

    def _end(self) -> None:
        self._nav.write(lambda shop: shop.end_copies(), self.copies)


def findings_page(
    sizes: Sizes, found: Sequence[UpkeepFinding], paging: Paging, more: Sequence[ButtonSpec] = ()
) -> TablePage:
    """A table: the matter, whether something has to be done, and the sentence about it."""
    wanting = sum(not one.fine for one in found)
    columns = [TableColumn("matter", 0.2), TableColumn("", 0.14), TableColumn("", 0.66)]
    rows = [
        TableRow((one.matter, "good" if one.fine else tr("to do"), in_words(one.text)))
        for one in sorted(found, key=lambda one: one.fine)
    ]
    title = (
        tr("To do: {wanting} of {count}", wanting=wanting, count=len(found))
        if wanting
        else tr("All is in order")
    )
    return TablePage(sizes, title, columns, rows, paging, more)


def copies_page(
    sizes: Sizes,
    places: CopyPlaces,
    paging: Paging,
    choose: Callable[[Disk], None],
    more: Sequence[ButtonSpec] = (),
) -> RowsPage:
    """What is copied where, and a row for each stick."""
    said = [(tr("Copies go to {now}.", now=places.now) if places.now else NO_PLACE, not places.now)]
    if places.wrong:
        said.append((places.wrong, True))
    if not places.disks:
        said.append((NONE_PLUGGED_IN, False))
    rows = [
        RowSpec(disk.name, partial(choose, disk), str(disk.folder), tr("{free_gb:.1f} GB free", free_gb=disk.free_gb))
        for disk in places.disks
    ]  # fmt: skip
    return RowsPage(sizes, tr("Copies of all records"), rows, paging, more, said)
