"""Tables on a terminal: columns where they fit, and where they do not, each row as lines that can be read."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from benchapp.commands.output import say_all, show

TITLES = ("lot", "material", "left", "supplier", "not usable")
ROWS = [("oil-1", "sunflower-oil", "1 965.0 g", "Harbour Oils of the Outer Pier", ""),
        ("water-9", "water", "20 000.0 g", "", "expired \x1b[31m[bold]")]  # fmt: skip


def drawn(width: int, rows: list[tuple[str, ...]] = ROWS) -> list[str]:
    out = io.StringIO()
    show(Console(file=out, width=width, force_terminal=True, color_system=None), TITLES, rows)
    return out.getvalue().splitlines()


def test_columns_stand_under_their_titles_where_they_fit():
    lines = drawn(100)
    assert lines[0].split() == ["lot", "material", "left", "supplier", "not", "usable"]
    assert lines[0].index("left") == lines[2].index("1 965.0 g") == lines[3].index("20 000.0 g")


@pytest.mark.parametrize("width", [40, 25])
def test_on_a_narrow_terminal_each_row_is_lines_of_its_own(width):
    lines = drawn(width)
    assert max(map(len, lines)) <= width
    assert lines[0] == "oil-1"
    assert "  material: sunflower-oil" in lines
    words = " ".join(" ".join(lines).split())
    assert "supplier: Harbour Oils of the Outer Pier" in words
    assert "\x1b" not in words
    assert "[bold]" in words, "what a cell holds is no markup"


def test_a_column_in_which_nothing_stands_is_left_out_before_the_table_is_given_up():
    rows = [("CA-1", "citric-acid-solution-10", "100.0 g", "", "")]
    assert [line.split() for line in drawn(42, rows)] == [
        ["lot", "material", "left"], ["----", "-" * 23, "-------"], ["CA-1", "citric-acid-solution-10", "100.0", "g"]
    ]  # fmt: skip


def test_a_long_cell_goes_over_several_lines_and_no_name_or_amount_is_broken():
    lines = drawn(64, [ROWS[0]])
    assert max(map(len, lines)) <= 64
    assert lines[2] == "oil-1  sunflower-oil  1 965.0 g  Harbour Oils of the Outer Pier"
    assert drawn(50, [ROWS[0]])[2:] == [
        "oil-1  sunflower-oil  1 965.0 g  Harbour Oils of", " " * 33 + "the Outer Pier"
    ]  # fmt: skip


def test_a_long_line_of_a_record_goes_on_where_its_words_began():
    out = io.StringIO()
    console = Console(file=out, width=40, force_terminal=True, color_system=None)
    say_all(console, ["! Verdict        not decided; 2 deviations still open", "head 0123456789"])
    assert out.getvalue().splitlines() == [
        "! Verdict        not decided; 2", " " * 17 + "deviations still open", "head 0123456789"
    ]  # fmt: skip


def test_ten_thousand_rows_are_drawn_whole():
    rows = [(f"oil-{n}", "oil", "1 g", "", "") for n in range(10_000)]
    lines = drawn(80, rows)
    assert len(lines) == 10_002
    assert lines[-1].startswith("oil-9999")
