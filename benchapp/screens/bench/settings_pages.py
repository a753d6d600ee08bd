"""Settings: what is shown and heard. Nothing needs a keyboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from benchapp.foundation.catalogues import NAMES
from benchapp.foundation.language import tr
from benchapp.make.guidance_levels import LEVELS, Level
from benchapp.runtime.settings import Preferences
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page

#: How much louder or softer one press makes it, in percent.
LOUDER = 20


@dataclass(frozen=True, slots=True)
class SettingsLeads:
    """Where the settings lead."""

    languages: Callable[[], None]
    listen: Callable[[], None]
    upkeep: Callable[[], None]
    back: Callable[[], None]


def settings_page(
    sizes: Sizes,
    chosen: Preferences,
    change: Callable[..., None],
    leads: SettingsLeads,
) -> Page:
    """Each press changes one thing and says what it is now. ``change`` takes fields of the preferences."""
    page = Page(sizes, "Settings")
    room = (
        tr("Room: dim") if chosen.dim else tr("Room: bright"),
        partial(change, dim=not chosen.dim),
        "plain",
    )
    page.bottom(
        [
            ("Back", leads.back, "plain"),
            room,
            ("Upkeep", leads.upkeep, "plain"),
            (tr("Find devices"), leads.listen, "plain"),
        ]
    )

    buttons: list[ButtonSpec] = [
        (tr("Level: {guidance}", guidance=chosen.guidance), partial(change, guidance=after(chosen.guidance)), "plain"),
        (tr("Text: large") if chosen.large_text else tr("Text: normal"), partial(change, large_text=not chosen.large_text), "plain"),
        (tr("Hand: left") if chosen.left_handed else tr("Hand: right"), partial(change, left_handed=not chosen.left_handed), "plain"),
        (tr("Numbers: {how}", how='12,5' if chosen.comma else '12.5'), partial(change, comma=not chosen.comma), "plain"),
        (tr("Shown in {how}", how='°F' if chosen.fahrenheit else '°C'), partial(change, fahrenheit=not chosen.fahrenheit), "plain"),
        (tr("Shown in kg and g") if chosen.kilograms else tr("Shown in g"), partial(change, kilograms=not chosen.kilograms), "plain"),
        (tr("Sound: on") if chosen.sound else tr("Sound: off"), partial(change, sound=not chosen.sound), "plain"),
        (tr("Softer, now {volume}\u00a0%", volume=chosen.volume), partial(change, volume=max(chosen.volume - LOUDER, 0)), "plain"),
        ("Louder", partial(change, volume=min(chosen.volume + LOUDER, 100)), "plain"),
        (called(chosen.language), leads.languages, "plain"),
    ]  # fmt: skip
    page.grid(buttons, 2 if sizes.panel.portrait else 4, page.room)
    return page


def languages_page(
    sizes: Sizes, chosen: Preferences, pick: Callable[[str], None], back: Callable[[], None]
) -> Page:
    """What people read and hear, and what is written down: two choices. ``pick`` takes the field of the preferences."""
    page = Page(sizes, "Language")
    page.bottom([("Back", back, "plain")])
    read, record = called(chosen.language), called(chosen.record_language)
    page.stack(
        [
            (tr("Read and heard: {language}", language=read), partial(pick, "language"), "plain"),
            (tr("Written down: {language}", language=record), partial(pick, "record_language"), "plain"),
        ],
        long=True,
    )
    return page


def called(code: str) -> str:
    """What those who speak a language call it."""
    return NAMES.get(code, code)


def after(level: Level) -> Level:
    """The next level of guidance, after the last the first again."""
    return LEVELS[(LEVELS.index(level) + 1) % len(LEVELS)]
