"""How large things have to be, against the figures published for eyes and hands."""

from __future__ import annotations

import pytest

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import PANELS, SEVEN_INCH, TEN_INCH, Sizes, arcmin, height_mm


@pytest.mark.parametrize(("minutes", "mm"), [(16, 4.65), (20, 5.82), (22, 6.40)])
def test_heights_at_one_metre(minutes, mm):
    """ISO 9241-3 as quoted: at 1 m 4.65 / 5.82 / 6.40 mm."""
    assert height_mm(minutes, 1.0) == pytest.approx(mm, abs=0.006)


def test_heights_across_the_bench():
    """22 arcmin is 19.2 mm at 3 m and 12.8 mm at 2 m."""
    assert height_mm(22, 3.0) == pytest.approx(19.2, abs=0.05)
    assert height_mm(22, 2.0) == pytest.approx(12.8, abs=0.05)
    assert arcmin(height_mm(22, 3.0) * TEN_INCH.px_per_mm, TEN_INCH.px_per_mm, 3.0) == pytest.approx(22.0)


def test_pixel_pitches_are_those_of_the_panels():
    """10.1-inch 1280×800 is 5.89 px/mm, 7-inch 1024×600 is 6.7 (from the diagonal)."""
    for panel, inches in ((TEN_INCH, 10.1), (SEVEN_INCH, 7.0)):
        diagonal = (panel.width**2 + panel.height**2) ** 0.5
        assert panel.px_per_mm == pytest.approx(diagonal / (inches * 25.4), rel=0.01)


@pytest.mark.parametrize("panel", PANELS, ids=lambda p: p.name)
def test_the_largest_text_is_larger_everywhere(panel):
    normal, large = Sizes.of(panel), Sizes.of(panel, large=True)
    assert large.reading > normal.reading
    assert large.instruction > normal.instruction
    assert large.note > normal.note
    assert large.action == normal.action


def contrast(one: d.RGB, other: d.RGB) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: d.RGB) -> float:
    """Relative luminance (WCAG 2.2)."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_contrast_is_the_published_one():
    """WCAG: on white #595959 is 7.00 and #767676 is 4.54."""
    assert contrast(d.rgb("#595959"), d.FOAM) == pytest.approx(7.00, abs=0.01)
    assert contrast(d.rgb("#767676"), d.FOAM) == pytest.approx(4.54, abs=0.01)


PALETTES = {"light": d.LIGHT, "dim": d.DIM}
TEXT = ("INK", "SLATE", "TIDE", "KELP", "MUSSEL", "CORAL")


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
@pytest.mark.parametrize("name", TEXT)
def test_every_text_colour_is_seven_to_one_on_the_ground_in_both_rooms(palette, name):
    colour = getattr(palette, name)
    assert contrast(colour, palette.SAND) >= 7.0
    assert contrast(colour, palette.SHELL) >= 7.0


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_words_on_filled_grounds_are_seven_to_one_in_both_rooms(palette):
    for ground in (palette.TIDE, palette.CORAL, palette.INK):
        assert contrast(palette.FOAM, ground) >= 7.0


@pytest.mark.parametrize("word", d.SIGNAL)
def test_signal_words_are_seven_to_one(word):
    ground, ink = d.SIGNAL[word]
    assert contrast(ground, ink) >= 7.0


@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_shapes_are_three_to_one_in_both_rooms(palette):
    for shape in (palette.DRIFT, palette.TIDE, palette.KELP, palette.MUSSEL, palette.CORAL):
        assert contrast(shape, palette.SAND) >= 3.0
    for filled in (palette.TIDE, palette.KELP, palette.CORAL, palette.MUSSEL, palette.DRIFT):
        assert contrast(filled, palette.WET_SAND) >= 3.0


def test_a_dim_room_is_dressed_as_a_whole_and_undressed_again():
    d.dress(d.DIM)
    try:
        assert (d.SAND, d.INK, d.standing("above")[0]) == (d.DIM.SAND, d.DIM.INK, d.DIM.CORAL)
        assert luminance(d.SAND) < 0.02
    finally:
        d.dress(d.LIGHT)
    assert (d.SAND, d.standing("above")[0]) == (d.LIGHT.SAND, d.LIGHT.CORAL)


def test_no_standing_is_told_by_colour_alone():
    shapes = {word: shape for word, (_, shape) in d.STANDING.items() if word}
    assert all(shapes.values())
    for word in ("below", "in band", "above", "far above"):
        assert [
            w
            for w, s in shapes.items()
            if s == shapes[word] and w in ("below", "in band", "above", "far above")
        ] == [word]
