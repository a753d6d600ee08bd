"""The settings, by touch: what is chosen is shown at once, kept, and said by its own word."""

from __future__ import annotations

import pytest

from benchapp.runtime.settings import Preferences, preferences_in


def test_a_choice_in_the_settings_is_shown_at_once_and_kept(tmp_path, pilot):
    pilot.app.navigator.apply(Preferences())
    pilot.press("Settings")
    pilot.press("Text size")
    pilot.press("Numbers")
    assert {("Text size", "large"), ("Numbers", "12,5")} <= set(pilot.figures().items())
    while "Softer" not in pilot.presses():
        pilot.turn_page()
    pilot.press("Sound")
    pilot.press("Softer")
    assert {("Sound", "off"), ("Softer", "50\u00a0%")} <= set(pilot.figures().items())
    assert preferences_in(tmp_path) == Preferences(large_text=True, comma=True, sound=False, volume=50)


def test_what_is_read_and_what_is_written_have_a_language_each_by_touch(window, journal, tmp_path):
    from pilot import Pilot

    from benchapp.foundation.language import ENGLISH, speak, written

    (tmp_path / "languages").mkdir()
    (tmp_path / "languages" / "it.po").write_bytes(b'msgid "a"\nmsgstr "\xff"\n')  # one that cannot be read
    pilot = Pilot(journal, folder=tmp_path)
    pilot.app.navigator.data = tmp_path
    try:
        pilot.app.navigator.apply(Preferences())
        for words in ("Settings", "Language", "On the screen and spoken", "Deutsch"):
            pilot.press(words)
        for words in ("In Protokollen und auf Etiketten", "Français"):
            pilot.press(words)
        assert pilot.figures() == {
            "Auf dem Bildschirm und gesprochen": "Deutsch",
            "In Protokollen und auf Etiketten": "Français",
        }
        for words in ("In Protokollen und auf Etiketten", "it"):
            pilot.press(words)
        assert "it.po" in " ".join(w.text for w in pilot.page.texts)
        for words in ("Zurück", "Zurück"):
            pilot.press(words)
        assert {("Zahlen", "12,5"), ("Language", "Deutsch")} <= set(pilot.figures().items())
        assert preferences_in(tmp_path) == Preferences(language="de", comma=True, record_language="fr")
        assert written().sentence("in band") == "conforme"
    finally:
        pilot.close()
        speak(ENGLISH)


@pytest.mark.parametrize(
    ("code", "hand", "sound"), [("de", "die rechte", "ein"), ("fr", "la droite", "marche")]
)
def test_what_is_set_is_said_by_its_own_word_and_not_by_another_that_is_spelled_alike(
    glass, code, hand, sound
):
    from laid_out import Nobody

    from benchapp.foundation.catalogues import language_of
    from benchapp.foundation.language import speaking
    from benchapp.screens.bench.settings_pages import settings_page
    from benchapp.screens.widgets.pager import Paging

    def figures():
        for number in range(9):
            turn = Paging(print, print, number)
            page = settings_page(glass.navigator.sizes, Preferences(), print, Nobody(), turn)
            yield from (row.figure for row in page.rows_shown)

    with speaking(language_of(code)):
        assert {hand, sound} <= set(figures())


def test_a_dim_room_is_chosen_on_the_settings_page(glass):
    from benchapp.screens.bench.settings_controller import SettingsController
    from benchapp.screens.display import design as d

    nav = glass.navigator
    settings = SettingsController(nav)
    settings.settings()
    try:
        glass.press("Screen")
        assert nav.preferences.dim
        assert d.SAND == d.DIM.SAND
        glass.press("Screen")
        assert d.SAND == d.LIGHT.SAND
    finally:
        d.dress(d.LIGHT)


def test_what_heats_the_bath_is_told_on_the_settings_page(tmp_path, pilot):
    pilot.app.navigator.apply(Preferences(fahrenheit=True))
    pilot.press("Settings")
    while "Water bath" not in pilot.presses():
        pilot.turn_page()
    for kept in ("gets hotter", "thermostat"):
        pilot.press("Water bath")
        assert pilot.figures()["Water bath"] == kept
    while "Bath set to" not in pilot.presses():
        pilot.turn_page()
    for words in ("Bath set to", "1", "7", "6", "Enter"):
        pilot.press(words)
    assert pilot.figures()["Bath set to"] == "80\u00a0°C"  # drawn in °F
    kept_here = preferences_in(tmp_path)
    assert (kept_here.bath, kept_here.bath_c) == ("thermostat", pytest.approx(80.0))
