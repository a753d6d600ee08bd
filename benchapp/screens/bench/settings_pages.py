"""Settings: what is shown and heard. Nothing needs a keyboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from benchapp.calculations.hot_bath import BATHS
from benchapp.foundation.catalogues import IN_EACH, NAMES
from benchapp.foundation.language import Name, tr, translated
from benchapp.make.guidance_levels import LEVELS
from benchapp.runtime.settings import Preferences
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

T = TypeVar("T")
#: How much louder or softer one press makes it, in percent.
LOUDER = 20


@dataclass(frozen=True, slots=True)
class SettingsLeads:
    """Where the settings lead."""

    languages: Callable[[], None]
    listen: Callable[[], None]
    upkeep: Callable[[], None]
    dial: Callable[[], None]
    back: Callable[[], None]


def settings_page(
    sizes: Sizes,
    chosen: Preferences,
    change: Callable[..., None],
    leads: SettingsLeads,
    paging: Paging,
) -> RowsPage:
    """A row for each choice with what it is now, and what there is to choose from; a press takes the next of these. ``change`` takes fields of the preferences."""

    def row(name: str, now: str, what: str, **fields: object) -> RowSpec:
        return RowSpec(name, partial(change, **fields), what, now, mark="turns", leads=False)

    rows = [
        row(tr("Guidance"), translated(chosen.guidance), _of(*map(translated, LEVELS)), guidance=after(LEVELS, chosen.guidance)),
        row(tr("Text size"), tr("large") if chosen.large_text else tr("normal"), _of(tr("normal"), tr("large")), large_text=not chosen.large_text),
        row(tr("Working hand"), tr("the left") if chosen.left_handed else tr("the right"), _of(tr("the right"), tr("the left")), left_handed=not chosen.left_handed),
        row(tr("Screen"), tr("dim") if chosen.dim else tr("bright"), _of(tr("bright"), tr("dim")), dim=not chosen.dim),
        row(tr("Numbers"), "12,5" if chosen.comma else "12.5", _of(tr("decimal point"), tr("decimal comma")), comma=not chosen.comma),
        row(tr("Temperatures"), "°F" if chosen.fahrenheit else "°C", tr("{choices}; in records always °C", choices=_of("°C", "°F")), fahrenheit=not chosen.fahrenheit),
        row(tr("Weights"), tr("kg and g") if chosen.kilograms else "g", tr("{choices}; in records always g", choices=_of("g", tr("kg and g"))), kilograms=not chosen.kilograms),
        RowSpec("Language", leads.languages, Name(IN_EACH), called(chosen.language)),
        row(tr("Sound"), tr("on") if chosen.sound else tr("off"), tr("{choices}: tones and spoken words", choices=_of(tr("on"), tr("off"))), sound=not chosen.sound),
        row(tr("Louder"), f"{chosen.volume}\u00a0%", tr("By {step}\u00a0%", step=LOUDER), volume=min(chosen.volume + LOUDER, 100)),
        row(tr("Softer"), f"{chosen.volume}\u00a0%", tr("By {step}\u00a0%", step=LOUDER), volume=max(chosen.volume - LOUDER, 0)),
        row(tr("Water bath"), translated(chosen.bath), _of(*map(translated, BATHS)), bath=after(BATHS, chosen.bath)),
    ]  # fmt: skip
    if chosen.bath == "thermostat":
        rows.append(
            RowSpec(tr("Bath set to"), leads.dial, tr("What its dial says"), f"{chosen.bath_c:.0f}\u00a0°C")
        )
    more: list[ButtonSpec] = [
        ("Upkeep", leads.upkeep, "plain"),
        (tr("Find devices"), leads.listen, "plain"),
    ]
    return RowsPage(sizes, "Settings", rows, paging, more)


def _of(*choices: str) -> str:
    """What there is to choose from."""
    return " · ".join(choices)


#: What each choice is about, for whoever reads none of the other languages.
_EACH_READ = " · ".join(("Screen and voice", "Bildschirm und Stimme", "Écran et voix"))
_EACH_RECORD = " · ".join(("Records, labels", "Protokolle, Etiketten", "Dossiers, étiquettes"))


def languages_page(
    sizes: Sizes, chosen: Preferences, pick: Callable[[str], None], back: Callable[[], None]
) -> RowsPage:
    """What people read and hear, and what is written down: two choices. ``pick`` takes the field of the preferences."""
    read, record = called(chosen.language), called(chosen.record_language)
    rows = [
        RowSpec(
            tr("On the screen and spoken"),
            partial(pick, "language"),
            Name(_EACH_READ),
            read,
        ),
        RowSpec(
            tr("In records and on labels"),
            partial(pick, "record_language"),
            Name(_EACH_RECORD),
            record,
        ),
    ]
    return RowsPage(sizes, Name(IN_EACH), rows, Paging(back))


def called(code: str) -> str:
    """What those who speak a language call it."""
    return NAMES.get(code, code)


def after(all_of_them: Sequence[T], now: T) -> T:
    """The next one, after the last the first again."""
    return all_of_them[(all_of_them.index(now) + 1) % len(all_of_them)]
