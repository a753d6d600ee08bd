"""A procedure that was approved in the office and lies in no file of a bench: every command and page that takes a procedure's name takes it."""

from __future__ import annotations

from argparse import Namespace

import pytest
from one_command import command
from workshop_days import delivery

from benchapp import events as ev
from benchapp.commands.making import _chosen
from benchapp.recipes.errors import ChangeRefused
from benchapp.record.pins import hashed
from benchapp.runtime.settings import keep_server
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk
from benchapp.service.errors import CommandError
from benchapp.service.recipes import RecipeDesk
from procedures.reading import read_text

NAME = "eel-grass-lotion"


@pytest.fixture
def bench(benches, workshop, lotion):
    """East, where a procedure has arrived from the west."""
    east, west = benches("east"), benches("west")
    west.know()
    kept = hashed("4711", lambda n: b"0123456789abcdef"[:n])
    west.journal.append(
        ev.WORKSHOP,
        [ev.PersonEnrolled(at_s=0.0, who="Mara Lind", roles=("releaser",), pin=kept, by="Mara Lind")],
    )
    text = lotion.text.replace(lotion.name, "Eel grass lotion").replace("Sunflower oil", "Moonflower oil")
    assert "Moonflower oil" in text
    Desk(west.journal.everywhere).approve_master(
        read_text(text, f"{NAME}.toml").procedure, "", "Mara Lind", "4711"
    )
    for one in (west, east):
        one.sync()
    keep_server(east.folder, workshop.url("east"))
    east.know()
    return east


@pytest.mark.parametrize(
    "words",
    [
        ("check", NAME),
        ("plan", NAME),
        ("approve-label", NAME),
        ("needs", NAME),
        ("master", "list", NAME),
        ("master", "compare", NAME, f"{NAME}@1"),
        ("material", "take-over", NAME),
        ("recipe", "start-from", NAME),
        ("recipe", "list"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_a_command_that_takes_a_name_takes_one_that_arrived(bench, words):
    said = command(*words, "--data", str(bench.folder), keyed="4711\n")
    assert said.returncode == 0, said.stderr


def test_what_is_begun_on_the_glass_takes_one_that_arrived(bench):
    """``benchapp guide NAME`` and ``rehearse NAME`` where there is a display."""
    asked = Namespace(procedure=NAME, data=str(bench.folder), batch_size="500 g")
    assert _chosen(asked) == (NAME, 500.0)
    shop = BenchService(bench.journal, None, "Mara Lind", folder=bench.folder)
    assert shop.procedure(NAME).name == "Eel grass lotion"
    assert shop.procedure(NAME) is shop.procedure(NAME), "read once"
    assert NAME in shop.recipe_desk().procedures()
    assert "Moonflower oil" in dict(shop.materials()).values()
    assert shop.rehearse(NAME, 500.0).session.make.plan.procedure.name == "Eel grass lotion"
    shop.end()


def test_its_materials_are_known_where_a_delivery_is_received(bench):
    with pytest.raises(CommandError, match="no PIN on this bench"):  # and not that sunflower oil may be meant
        Desk(bench.journal.everywhere).receive(delivery("oil-1", "Moonflower oil"), "Mara Lind", "4711")


def test_one_that_arrived_can_be_changed_and_its_name_is_taken(bench):
    desk = RecipeDesk(
        bench.folder, {NAME: BenchService(bench.journal, None, "", folder=bench.folder).procedure(NAME).text}
    )
    with pytest.raises(ChangeRefused, match="There is a procedure eel-grass-lotion already"):
        desk.save(desk.start_from("oat-hand-lotion", "Eel grass lotion").key)
    key, _ = desk.save(desk.start_from(NAME).key)
    assert key == NAME
    assert desk.is_own(NAME)
