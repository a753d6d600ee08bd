"""The plan: grams that add up, bands inside the law, and a way out where a scale is too coarse."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchapp.calculations.limits import Law, limit_from
from benchapp.events import DeviceFacts
from benchapp.make.law import limit_lines, passed_by
from benchapp.make.plan_making import make_plan
from procedures.reading import read_procedure, read_text
from procedures.shelf import find, shipped

OWN = limit_from({"inci": "Glycerin", "percent": 0.1}, (), "")
COARSE = DeviceFacts("only scale", "scale", ("mass",), 0.1, 3000.0)
FINE = DeviceFacts("fine scale", "scale", ("mass",), 0.01, 200.0)


def plan(name="oat-hand-lotion", batch_g=None, devices=(COARSE, FINE)):
    procedure = read_procedure(find(name)).procedure
    return make_plan(procedure, batch_g or procedure.default_batch_g, devices)


@pytest.mark.parametrize("name", shipped())
def test_the_grams_add_up_to_the_batch(name):
    found = plan(name)
    assert sum(w.target_g for w in found.weighings.values()) == pytest.approx(found.batch_g, abs=1e-6)


@pytest.mark.parametrize("name", shipped())
def test_no_band_passes_a_ceiling(name):
    found = plan(name)
    for w in found.weighings.values():
        limit = w.line.material.use_limit_percent
        if limit is not None:
            assert w.target.band.high <= limit * found.batch_g / 100 + 1e-9, w.line.key


def test_small_amounts_go_to_the_finer_scale():
    found = plan()
    assert found.weighings["xanthan-gum"].device == FINE
    assert found.weighings["purified-water"].device == COARSE


def test_a_scale_that_is_too_coarse_is_said_with_a_way_out():
    (gum,) = [w for w in plan(devices=(COARSE,)).warnings if w.startswith("Xanthan gum")]
    assert "1.5 g on a 0.1 g scale" in gum
    assert "Use a scale that shows" in gum
    assert "first" not in gum, "a gum would set"


@pytest.mark.parametrize(
    ("name", "carrier"),
    [("Vitamin E", "Sunflower oil"), ("Tide-line fragrance", "Sunflower oil"),
     ("Chelator solution", "Purified water")],
)  # fmt: skip
def test_too_little_is_thinned_only_in_what_it_mixes_with(name, carrier):
    coarser = replace(COARSE, readability_g=0.2 if name == "Chelator solution" else 0.1)
    (found,) = [w for w in plan(devices=(coarser,)).warnings if w.startswith(name)]
    assert f"g of {carrier} first" in found


@pytest.mark.parametrize("readability_g", [1.0, 5.0, 100.0])
@pytest.mark.parametrize("name", shipped())
def test_what_a_scale_cannot_show_is_little_and_not_nothing(name, readability_g):
    found = plan(name, devices=(DeviceFacts("kitchen scale", "scale", ("mass",), readability_g, 5000.0),))
    assert all(w.target.band.low > 0.0 for w in found.weighings.values())
    assert any("well enough" in said for said in found.warnings)


def test_of_what_nobody_knows_how_to_thin_nothing_is_said():
    (found,) = [
        w
        for w in plan(devices=(replace(COARSE, readability_g=0.2),)).warnings
        if w.startswith("Preservative")
    ]
    assert "first" not in found


def test_without_a_scale_everything_is_weighed_by_hand():
    assert all(w.device is None for w in plan(devices=()).weighings.values())


def test_a_batch_of_nothing_is_refused():
    with pytest.raises(ValueError, match="more than 0 g"):
        plan(batch_g=-5.0)


def test_a_ceiling_that_an_over_pour_passes_is_said():
    """1.0 % of phenoxyethanol in 500 g (Annex V entry 29), with 3 % of the water lost: 7.6 g of a blend with 64 % pass."""
    procedure = plan(batch_g=500.0).procedure
    grams = {w.line.key: w.target_g for w in plan(batch_g=500.0).weighings.values()}
    assert passed_by(procedure, grams) == ()
    said, own = passed_by(procedure, {**grams, "preservative-blend": 7.8})
    assert said.startswith("Phenoxyethanol: up to 1.0")
    assert "ABOVE 1 %" in said
    assert "ABOVE 1.1 % (the material's own limit)" in own


@pytest.mark.parametrize(("area", "ceilings"), [("", ["0.05 %"]), ("body", ["0.05 %"]), ("face", [])])
def test_the_area_of_a_product_decides_where_the_law_asks(area, ceilings):
    """Retinol 0.1 %: 0.05 % in body lotions, 0.3 % in others (Annex III entry 376)."""
    of = "[formula]\n" + (f'area = "{area}"\n' if area else "")
    text = find("oat-hand-lotion").read_text("utf-8").replace("[formula]\n", of, 1)
    changed = text.replace(
        'inci = "Glycerin"',
        'composition = [{ inci = "Glycerin", percent = [98, 100] }, { inci = "Retinol", percent = [0, 2] }]',
        1,
    )
    said = [t for t in limit_lines(read_text(changed).procedure) if "ABOVE" in t]
    assert [c for c in ("0.05 %", "0.3 %") if any(c in t for t in said)] == ceilings


def test_what_the_plan_passes_already_is_not_said_of_an_over_pour():
    procedure = plan(batch_g=500.0).procedure
    grams = {w.line.key: w.target_g for w in plan(batch_g=500.0).weighings.values()}
    assert passed_by(procedure, grams, law=Law(own=(OWN,))) == ()
    assert passed_by(procedure, {**grams, "glycerin": grams["glycerin"] + 1}, law=Law(own=(OWN,))) == ()


POURED_INTO_A_BOAT = """
[formula]
name = "Rinse"
use = "rinse-off"
[batch]
usual = "300 g"
smallest = "200 g"
largest = "400 g"
[accept]
fill-missing = "It goes on as a whole batch."
""" + "".join(
    f'[[formula.ingredient]]\nname = "{name}"\ninci = "{name}"\nrole = "oil"\nphase = "{phase}"\npercent = {percent}\n'
    for name, phase, percent in (("Canola", "pot", 80.0), ("Jojoba", "boat", 10.0), ("Neem", "late", 10.0))
) + "".join(f'[[vessel]]\nname = "{name}"\nphase = "{name}"\ncapacity = "900 ml"\nempty = "60 g"\n' for name in ("pot", "boat")) + "".join(
    f'[[step]]\ntitle = "T{n}"\n{fields}\n'
    for n, fields in enumerate((
        'kind = "prepare"\ntasks = ["Wash."]', 'kind = "weigh"\nphase = "pot"', 'kind = "weigh"\nphase = "boat"\nscale = "fine"',
        'kind = "add"\nvessel = "boat"\npour = "pot"', 'kind = "add"\nvessel = "boat"\ningredients = ["Neem"]', 'kind = "finish"',
    ))
)  # fmt: skip


def test_what_was_poured_into_a_boat_stands_on_its_scale_too():
    """The boat alone is light enough for the fine scale; with the batch in it that shows nothing."""
    procedure = read_text(POURED_INTO_A_BOAT).procedure
    found = make_plan(procedure, 300.0, (COARSE, FINE))
    assert found.scale_for("boat").name == "only scale"
    assert make_plan(procedure, 30.0, (COARSE, FINE)).scale_for("boat").name == "fine scale"
