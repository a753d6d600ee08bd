"""Each hazard has its notice at the step where it bites."""

import pytest
from procedure_edits import edited

from procedures import ghs
from procedures.cautions import cautions_for
from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped
from procedures.steps import Add, Blend, CleanUp, Combine, Cool, Heat, MeasurePh, Prepare, TopUp, Weigh
from procedures.walk import walk


@pytest.fixture(params=shipped())
def procedure(request):
    return read_procedure(find(request.param)).procedure


def lotion():
    return read_procedure(find("oat-hand-lotion")).procedure


def keys(step, procedure):
    return {c.key for c in cautions_for(step, procedure)}


def step_of(kind, procedure):
    return next(s for s in procedure.steps if isinstance(s, kind))


def picked_up(step, bench):
    """The lines a person takes from their own container in a step."""
    if isinstance(step, Weigh):
        return step.lines
    if isinstance(step, Add):
        return tuple(k for k in step.lines if not any(k in held for held in bench.contents.values()))
    if isinstance(step, MeasurePh):
        return (*step.raise_with, *step.lower_with)
    return ()


def test_every_hazard_is_told_where_it_is_first_picked_up(procedure):
    lines = {line.key: line for line in procedure.formula.lines}
    told = set()
    for step, bench in walk(procedure):
        for key in picked_up(step, bench):
            hazards = set(ghs.hazards(lines[key].material.statements))
            shown = {code for c in cautions_for(step, procedure) for code in c.statements}
            assert hazards <= shown
            word = {c.word for c in cautions_for(step, procedure) if set(c.statements) >= hazards and hazards}
            assert not hazards or lines[key].material.signal_word in word
            told.add(key)
    assert told == set(lines)


def test_every_powder_is_told_where_it_is_first_picked_up(procedure):
    lines = {line.key: line for line in procedure.formula.lines}
    for step, bench in walk(procedure):
        if any(lines[key].material.powder for key in picked_up(step, bench)):
            assert "powder" in keys(step, procedure)


def test_powder_wetted_in_its_beaker_raises_no_dust():
    p = lotion()
    weigh, disperse = (
        next(s for s in p.steps if s.title == t)
        for t in ("Weigh glycerin and gum", "Stir the gum into the water")
    )
    assert "powder" in keys(weigh, p)
    assert "powder" not in keys(disperse, p)


def test_heat_brings_hot_liquid_steam_dry_bath_and_glass():
    p = lotion()
    assert {"hot liquid", "steam", "dry bath", "glass in a bath", "fire"} <= keys(step_of(Heat, p), p)
    steel = read_text(
        edited("oat-hand-lotion", ('empty = "210 g"\nglass = true', 'empty = "210 g"'))
    ).procedure
    assert "glass in a bath" not in keys(step_of(Heat, steel), steel)
    plate = read_text(
        edited("oat-hand-lotion", ('hold = "10 min"', 'hold = "10 min"\nbath = false'))
    ).procedure
    assert not {"dry bath", "glass in a bath"} & keys(step_of(Heat, plate), plate)


@pytest.mark.parametrize(("kind", "serious"), [(TopUp, True), (Combine, True), (Blend, False), (Cool, False)])
def test_hot_liquid_is_told_while_it_is_hot(kind, serious):
    p = lotion()
    (hot,) = [c for c in cautions_for(step_of(kind, p), p) if c.key == "hot liquid"]
    assert (hot.word, hot.scheme, hot.sign, hot.serious) == ("WARNING", "physical", "W017", serious)


def test_cooled_batch_is_not_called_hot():
    p = lotion()
    assert "hot liquid" not in keys(step_of(Add, p), p)


def test_scald_follows_the_temperature_of_the_file():
    # Hot water: 68 °C scalds in about 1 s, 60 °C takes 3 s (published burn times, see the check values)
    p = read_procedure(find("winter-shore-cream")).procedure
    (hot,) = [c for c in cautions_for(step_of(Combine, p), p) if c.key == "hot liquid"]
    assert "80 °C" in hot.text


def test_gel_without_heat_speaks_of_no_heat_but_of_fire():
    p = read_procedure(find("tide-pool-gel")).procedure
    told = {key for step in p.steps for key in keys(step, p)}
    assert not {"hot liquid", "steam", "dry bath"} & told
    alcohol = next(s for s in p.steps if s.title == "Weigh the alcohol phase")
    (notice,) = [c for c in cautions_for(alcohol, p) if c.key == "chemical denatured-alcohol"]
    assert "W021" in (notice.sign, *notice.also)
    assert "hot plate" in notice.text


def test_flammable_sanitiser_is_told_at_once_and_again_before_heat():
    p = lotion()
    assert "fire" in keys(step_of(Prepare, p), p)
    water = read_text(
        edited("oat-hand-lotion", ("flammable_sanitiser = true", "flammable_sanitiser = false"))
    ).procedure
    assert "fire" not in keys(step_of(Prepare, water), water) | keys(step_of(Heat, water), water)


def test_blender_is_unplugged_before_it_is_scraped():
    p = lotion()
    (notice,) = [c for c in cautions_for(step_of(Blend, p), p) if c.key == "blender"]
    assert "Unplug" in notice.text
    assert notice.serious
    assert "unplug" in keys(step_of(CleanUp, p), p)


def test_eye_damage_asks_for_glasses_and_rinsing():
    # P305+P351+P338 and the medical help that goes with H318: UN GHS Annex 3
    p = lotion()
    boat = next(s for s in p.steps if s.title == "Weigh the cool-down ingredients")
    (notice,) = [c for c in cautions_for(boat, p) if c.key == "chemical preservative-blend"]
    assert (notice.word, notice.scheme, notice.sign, notice.serious) == ("Danger", "chemical", "M004", True)
    assert "Causes serious eye damage." in notice.text
    assert "2024-05-14" in notice.text
    assert (
        "rinse cautiously with water for several minutes. Remove contact lenses, if present and easy to do."
        " Continue rinsing."
    ) in notice.first_aid
    assert "medical help" in notice.first_aid


def test_sensitiser_asks_for_gloves():
    p = lotion()
    boat = next(s for s in p.steps if s.title == "Weigh the cool-down ingredients")
    (notice,) = [c for c in cautions_for(boat, p) if c.key == "chemical tide-line-fragrance"]
    assert (notice.word, notice.sign, notice.serious) == ("Warning", "M009", False)


def test_acid_and_base_are_told_at_the_ph_step():
    p = read_procedure(find("driftwood-conditioner")).procedure
    assert {"chemical lactic-acid-solution-10", "splash arginine-solution-10"} <= keys(
        step_of(MeasurePh, p), p
    )


def test_serious_notices_come_first_and_each_once(procedure):
    for step in procedure.steps:
        found = cautions_for(step, procedure)
        assert [c.serious for c in found] == sorted((c.serious for c in found), reverse=True)
        assert len({c.key for c in found}) == len(found)


def test_signal_words_of_the_two_schemes_are_not_mixed(procedure):
    for step in procedure.steps:
        for c in cautions_for(step, procedure):
            words = (
                ("Danger", "Warning", "")
                if c.scheme == "chemical"
                else ("DANGER", "WARNING", "CAUTION", "NOTICE")
            )
            assert c.word in words


def test_step_of_another_procedure_is_refused():
    p = lotion()
    other = read_procedure(find("winter-shore-cream")).procedure
    with pytest.raises(KeyError):
        cautions_for(other.steps[12], p)


def test_texts_of_the_published_statements():
    # UN GHS Annex 3 / CLP Annex III
    assert ghs.HAZARDS["H314"] == "Causes severe skin burns and eye damage"
    assert ghs.HAZARDS["H317"] == "May cause an allergic skin reaction"
    assert ghs.HAZARDS["H318"] == "Causes serious eye damage"


@pytest.mark.parametrize("code", ["H318", "H360FD", "H361d", "P280", "P305+P351+P338", "H302+H332", "EUH208"])
def test_known_codes(code):
    assert ghs.is_known(code)


@pytest.mark.parametrize("code", ["", "H", "H999", "h318", "H318 ", "P305+", "P305+H318", "H318a", "R36"])
def test_unknown_codes(code):
    assert not ghs.is_known(code)
