"""Text that is no text: half a character from outside must not stop the journal, nor reach a screen."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.cli import main
from benchapp.record.verifying import verify


def test_half_a_character_is_kept_exactly_and_the_chain_holds(journal):
    said = "half \udcff a character, and a whole one: é 中"
    journal.append("b1", [ev.MakeHeld(at_s=0.0, reason=said)])
    (held,) = journal.events("b1")
    assert held.reason == said
    assert verify(journal).sound


def test_a_command_line_with_one_is_refused_in_words(tmp_path, capsys):
    code = main(["rehearse", "--maker", "Mara \udcff Lind", "--data", str(tmp_path), "--terminal"])
    assert code == 3
    assert capsys.readouterr().err.startswith("maker: Mara ")
