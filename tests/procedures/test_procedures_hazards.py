"""Each hazard of a workshop stands in a shipped procedure, at the kinds of step where it bites, with its first aid."""

from __future__ import annotations

from collections import defaultdict

import pytest

from procedures.cautions import cautions_for
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

#: By the caution's key or by the statement of the ingredient: the kinds of step that have to tell of it.
WHERE = {
    "hot liquid": {"heat", "combine", "blend", "cool", "top up"},
    "steam": {"heat"},
    "dry bath": {"heat"},
    "glass in a bath": {"heat"},
    "H318": {"weigh", "combine", "add"},
    "H319": {"weigh", "add"},
    "H317": {"weigh", "add"},
    "H314": {"measure ph"},
    "splash": {"measure ph"},
    "powder": {"weigh", "disperse"},
    "blender": {"blend"},
    "hot splash": {"blend"},
    "alcohol vapour": {"prepare"},
    "unplug": {"clean up"},
    "fire": {"prepare", "heat"},
    "H225": {"weigh"},
    "waste": {"clean up"},
}


@pytest.fixture(scope="module")
def told():
    """Every caution of every shipped procedure by its key and by its statements: (kind of step, caution)."""
    found = defaultdict(list)
    for name in shipped():
        procedure = read_procedure(find(name)).procedure
        for step in procedure.steps:
            for caution in cautions_for(step, procedure):
                key = "splash" if caution.key.startswith("splash") else caution.key
                for name_of in (key, *caution.statements):
                    found[name_of].append((step.kind, caution))
    return found


@pytest.mark.parametrize("hazard", WHERE)
def test_the_hazard_is_told_at_the_steps_where_it_bites(told, hazard):
    assert WHERE[hazard] <= {kind for kind, _ in told[hazard]}


@pytest.mark.parametrize("hazard", [h for h in WHERE if h != "waste"])
def test_first_aid_stands_beside_it(told, hazard):
    assert all(caution.first_aid for _, caution in told[hazard])


@pytest.mark.parametrize(("key", "words"), [
    ("unplug", "Dry your hands"), ("blender", "dry hands"), ("hot splash", "Head right down first"),
    ("alcohol vapour", "sprayed"), ("chemical lactic-acid-solution-10", "never water onto it"),
    ("chemical sodium-hydroxide-solution-10", "never water onto it"), ("splash", "never water onto it"),
])  # fmt: skip
def test_the_words_that_keep_a_hand_whole(told, key, words):
    found = [c for _, c in told[key]] or [c for all_of in told.values() for _, c in all_of if c.key == key]
    assert found
    assert all(words in c.text for c in found)


def test_a_blender_in_something_cold_tells_of_no_hot_splash():
    gel = read_procedure(find("tide-pool-gel")).procedure
    assert not any(c.key == "hot splash" for step in gel.steps for c in cautions_for(step, gel))


def test_a_cationic_emulsifier_that_damages_eyes_is_told_as_danger(told):
    found = [c for _, c in told["H318"] if c.key == "chemical cationic-emulsifier"]
    assert found
    assert {(c.word, c.serious) for c in found} == {("Danger", True)}
