"""An ingredient replaced for one batch: worked out with the other one, refused where a rule or the law speaks against it,
signed, and asked about at release. Invented for the demo."""

from __future__ import annotations

import os

import pytest
from procedure_edits import edited
from substitutes import keep_a_shelf

from benchapp import events as ev
from benchapp.calculations.limits import DEFAULT_LAW
from benchapp.make.law import label_lines
from benchapp.record.drawing_up import record_of
from benchapp.record.pins import hashed
from benchapp.record.release import standing_of, why_not
from benchapp.runtime.session_start import plan_of
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.substitution import shelf_names, substituted
from drivers.bench_file import read_bench
from procedures.cautions import cautions_for
from procedures.reading import read_procedure, read_text
from procedures.shelf import find

PIN = "4826"
GLYCERIN_APART = (
    ('[[formula.ingredient]]\nname = "Glycerin"\ninci = "Glycerin"\nrole = "humectant"\ndensity = "1.26 g/ml"\n',
     '[[material]]\nname = "Glycerin"\ninci = "Glycerin"\nrole = "humectant"\ndensity = "1.26 g/ml"\n\n'
     '[[formula.ingredient]]\nmaterial = "Glycerin"\nlabel = "second"\nphase = "water"\npercent = 1.0\n\n'
     '[[formula.ingredient]]\nmaterial = "Glycerin"\n'),
)  # fmt: skip


@pytest.fixture
def shelf(tmp_path):
    keep_a_shelf(tmp_path)
    return tmp_path


@pytest.fixture
def people(journal):
    """Mara makes and releases, Jo only helps."""
    pin = hashed(PIN, lambda n: b"0123456789abcdef"[:n])
    for who, roles in (("Mara Lind", ("maker", "releaser")), ("Jo Tern", ("helper",))):
        journal.append(
            ev.WORKSHOP, [ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=pin, by="Mara Lind")]
        )


@pytest.fixture
def service(journal, shelf):
    """On one real port, so that a make is a real one."""
    far, near = os.openpty()
    file = shelf / "bench.toml"
    file.write_text(
        f'[[device]]\nname = "bench scale"\nkind = "scale"\nport = "{os.ttyname(near)}"\nformat = "labelled"\n'
        'capacity = "3000 g"\nreadability = "0.1 g"\n'
    )
    yield BenchService(journal, read_bench(str(file)), "Mara Lind", folder=shelf)
    os.close(far)
    os.close(near)


def replaced(lotion, shelf, old, new):
    return substituted(lotion, old, new, shelf, DEFAULT_LAW)


def test_what_is_on_the_shelf_may_take_its_place(shelf):
    assert shelf_names(shelf)[:2] == ("Rapeseed oil", "Sour preservative")


def test_everything_is_worked_out_with_the_other_one(lotion, shelf):
    found = replaced(lotion, shelf, "Sunflower oil", "Rapeseed oil")
    assert found.substitution.words == "Rapeseed oil in place of Sunflower oil"
    listed = label_lines(found.made)[0]
    assert "Brassica Campestris Seed Oil" in listed
    assert listed.index("Brassica Campestris Seed Oil") < listed.index("Glycerin")
    assert any("label changes" in sentence for sentence in found.to_look_at)
    assert [x.percent for x in found.made.formula.lines] == [x.percent for x in lotion.formula.lines]
    assert found.master is lotion


def test_what_is_described_apart_is_replaced_wherever_it_stands(shelf):
    cream = read_procedure(find("winter-shore-cream")).procedure
    found = replaced(cream, shelf, "Lavender oil", "Stinging oil")
    assert found.substitution.words == "Stinging oil in place of Lavender oil"
    line = next(x for x in found.made.formula.lines if x.material.name == "Stinging oil")
    was = next(x for x in cream.formula.lines if x.material.name == "Lavender oil")
    assert (line.phase, line.percent) == (was.phase, was.percent)
    assert "Lavender oil" not in {m.name for m in found.made.materials.values()}
    assert any("H318" in sentence for sentence in found.to_look_at)


def test_two_lines_of_one_material_are_both_replaced(shelf):
    """A gel with its glycerin described apart, in two parts."""
    apart = read_text(edited("tide-pool-gel", *GLYCERIN_APART)).procedure
    made = replaced(apart, shelf, "Glycerin", "Rapeseed oil").made
    assert [x.name for x in made.formula.lines if x.material.name == "Rapeseed oil"] == [
        "Rapeseed oil (second)", "Rapeseed oil",
    ]  # fmt: skip
    named = next(s for s in made.steps if s.kind == "disperse")
    assert "rapeseed-oil" in named.lines


def test_a_step_that_melts_it_names_the_other_one(shelf):
    balm = read_procedure(find("sand-bar-balm")).procedure
    made = replaced(balm, shelf, "Shea butter", "Rapeseed oil").made
    weigh = next(s for s in made.steps if s.title == "Weigh the fats")
    assert weigh.melt == ("rapeseed-oil",)


def test_its_cautions_come_with_it(lotion, shelf):
    made = replaced(lotion, shelf, "Sunflower oil", "Stinging oil").made
    step = next(s for s in made.steps if s.title == "Weigh the oil phase")
    assert any(c.key == "chemical stinging-oil" and c.serious for c in cautions_for(step, made))


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("Sunflower oil", "Tallow-like wax", "melts at 80 °C, and the limits here begin at 70 °C"),
        ("Preservative blend", "Sour preservative", "works from pH 2 to 4"),
        ("Sunflower oil", "Nothing like it", 'There is no material "Nothing like it" on the shelf'),
        ("No such thing", "Rapeseed oil", 'has no ingredient "No such thing"'),
    ],
)  # fmt: skip
def test_what_a_rule_speaks_against_is_refused(lotion, shelf, old, new, says):
    with pytest.raises(CommandError, match=says):
        replaced(lotion, shelf, old, new)


def test_a_ceiling_that_only_the_substitute_passes_is_refused(lotion, shelf):
    more = lotion.text.replace('use_limit = "1.1 %"', 'use_limit = "1.4 %"').replace(
        "percent = 0.9\n", "percent = 1.3\n"
    )
    strong = read_text(more, "oat-hand-lotion.toml").procedure
    with pytest.raises(CommandError, match=r"a ceiling is passed:\n.*[Pp]henoxyethanol"):
        replaced(strong, shelf, "Preservative blend", "Strong preservative")


def test_it_wants_a_reason_and_a_releaser(lotion, shelf, journal, people):
    found = replaced(lotion, shelf, "Sunflower oil", "Rapeseed oil")
    with pytest.raises(CommandError, match="Say why: Rapeseed oil in place of Sunflower oil"):
        found.approved(journal, " ", "Mara Lind", PIN)
    with pytest.raises(CommandError, match="This takes a releaser"):
        found.approved(journal, "not to be had", "Jo Tern", PIN)
    said = found.approved(journal, "not to be had", "Mara Lind", PIN).substitution
    assert (said.reason, said.by, said.proof) == ("not to be had.", "Mara Lind", "pin")


def begun(service, journal, reason="not to be had"):
    found = service.substituted("oat-hand-lotion", "Sunflower oil", "Rapeseed oil")
    service.substitute(found, reason, "Mara Lind", PIN)
    batch = service.begin("oat-hand-lotion", 500.0).session.batch
    service.end()
    return batch


def test_the_batch_keeps_its_version_and_says_what_was_replaced(service, journal, people, lotion):
    Desk(journal).approve_master(lotion, "", "Mara Lind", PIN)
    stored = journal.stored(begun(service, journal))
    started, noted, signed = (s.event for s in stored[:3])
    assert started.version == 1
    assert 'name = "Rapeseed oil"' in started.procedure_text
    assert "rapeseed-oil" in plan_of(started).weighings
    assert (noted.kind, noted.grade) == ("ingredient substituted", ev.Grade.MINOR)
    assert noted.text == "Rapeseed oil in place of Sunflower oil: not to be had. Approved by Mara Lind."
    assert (signed.who, signed.meaning, signed.proof) == (
        "Mara Lind", "approved: Rapeseed oil in place of Sunflower oil", "pin",
    )  # fmt: skip
    record = record_of(stored)
    assert [d["kind"] for d in record.deviations] == ["ingredient substituted"]
    assert record.signatures[0]["meaning"].startswith("approved: Rapeseed oil")


def test_release_asks_about_it(service, journal, people):
    standing = standing_of(journal.stored(begun(service, journal)))
    against = why_not("released", None, standing, ())
    assert any(
        "Deviation 1 (minor) is open: Rapeseed oil in place of Sunflower oil" in why for why in against
    )


def test_it_counts_for_one_batch_alone(service, journal, people):
    begun(service, journal)
    assert service.substitution("oat-hand-lotion") is None
    again = service.begin("oat-hand-lotion", 500.0).session.batch
    service.end()
    assert "Rapeseed oil" not in journal.at(again, 1).event.procedure_text


def test_said_and_taken_back_nothing_is_replaced(service, people):
    found = service.substituted("oat-hand-lotion", "Sunflower oil", "Rapeseed oil")
    service.substitute(found, "not to be had", "Mara Lind", PIN)
    assert "rapeseed-oil" in service.plan("oat-hand-lotion", 500.0)[0].weighings
    service.as_it_says("oat-hand-lotion")
    assert "sunflower-oil" in service.plan("oat-hand-lotion", 500.0)[0].weighings


def test_a_make_taken_up_again_numbers_its_deviations_on(service, journal, people):
    batch = begun(service, journal)
    session = service.resume(batch).session
    assert [d.number for d in session.make.state.deviations][:1] == [1]
    assert session.make.state.deviations[0].kind == "ingredient substituted"
    service.end()
