"""What a maker calls things stays as it is called, in whatever language the make speaks."""

from __future__ import annotations

from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import Name, speaking, translated
from procedures.reading import read_text
from procedures.shelf import find


def test_a_vessel_and_an_ingredient_keep_their_names(tmp_path):
    text = find("sand-bar-balm").read_text(encoding="utf-8").replace('"fat pot"', '"pot"')
    procedure = read_text(text, "balm.toml").procedure
    vessel = next(v for v in procedure.vessels.values() if v.name == "pot")
    with speaking(language_of("de")):
        assert translated("pot") != "pot"  # else the word would be no test
        assert translated(vessel.name) == "pot"
    assert all(isinstance(m.name, Name) for m in procedure.materials.values())
