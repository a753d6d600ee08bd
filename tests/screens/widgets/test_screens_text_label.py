"""Our own label against Kivy's: the same words come out the same, pixel by pixel."""

from __future__ import annotations

import pytest

from benchapp.screens.display import design as d

WORDS = ("Pour 20.00 g", "The office fills five flasks of affogato", "Größe: −3,5 °C", "a\n\nb", "x" * 60)


@pytest.fixture
def theirs(window):
    """Kivy's label with the same words, placed likewise."""
    from kivy.uix.label import Label

    def make(words, size, bold, width):
        label = Label(
            text=words, font_size=size, bold=bold, color=(*d.INK, 1), halign="left", valign="top",
            size_hint=(None, None), line_height=1.0, text_size=(width, None),
        )  # fmt: skip
        label.texture_update()
        return label

    return make


@pytest.mark.parametrize("width", [None, 140])
@pytest.mark.parametrize(("size", "bold"), [(17, False), (34, True)])
@pytest.mark.parametrize("words", WORDS)
def test_it_looks_as_kivys_own(theirs, words, size, bold, width):
    from benchapp.screens.widgets.text_label import TextLabel

    own, known = TextLabel(words, size, d.INK, bold), theirs(words, size, bold, width)
    if width is None:
        own.natural()
    else:
        own.place(10, 500, width)
    assert tuple(own.texture_size) == tuple(known.texture_size)
    assert own._drawn.texture.pixels == known.texture.pixels


def test_what_is_said_later_is_drawn_before_the_next_frame(window):
    from kivy.clock import Clock

    from benchapp.screens.widgets.text_label import TextLabel

    label = TextLabel("9.98 g", 30)
    label.natural()
    before = label._drawn.texture.pixels
    label.text = "10.02 g"
    assert label._drawn.texture.pixels == before
    Clock.tick()
    assert label._drawn.texture.pixels != before
    label.color = (*d.CORAL, 1)
    coloured = label._drawn.texture.pixels
    Clock.tick()
    assert label._drawn.texture.pixels != coloured


def test_without_words_nothing_is_drawn(window):
    from benchapp.screens.widgets.text_label import TextLabel

    label = TextLabel("Hold it", 30)
    label.natural()
    label.text = " "
    assert label.natural() == (0.0, 0.0)
    assert tuple(label._drawn.size) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("words", "width", "lines"),
    [
        (
            "Turn the heat down and lift it out with a dry cloth and hand.",
            300,
            ["Turn the heat down and lift", "it out with a dry cloth", "and\xa0hand."],
        ),
        ("One line\nOnly near their date", 200, ["One line", "Only near", "their\xa0date"]),
        ("Past batches", 110, ["Past", "batches"]),  # the two have no room beside each other
    ],
)
def test_no_short_word_stands_alone_on_the_last_line(window, words, width, lines):
    from benchapp.screens.widgets.text_label import TextLabel, wrapped_high

    label = TextLabel(words, 24, bold=True)
    assert label.height_at(width) == wrapped_high(words, 24, True, width)
    assert [line.words[0].text for line in label._core._cached_lines] == lines
    assert label.text == words
