"""The commands, from a server that was never prepared to three benches; and a bench alone, that pays nothing for any of it."""

from __future__ import annotations

import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

from benches import on_server
from one_command import command

from benchapp.record.journal import Journal
from benchapp.runtime.settings import server_in
from benchapp.service.several_benches import replicating

WALL = "2026-11-28T10:42:00.000+01:00"


def lot(folder: Path, name: str) -> str:
    said = command(
        "lot",
        "receive",
        name,
        "sunflower-oil",
        "5 kg",
        "--by",
        "Mara Lind",
        "--new-material",
        "--data",
        str(folder),
    )
    assert said.returncode == 0, said.stderr
    return said.stdout


def test_from_an_empty_server_to_two_benches(database, tmp_path):
    east, west = tmp_path / "east", tmp_path / "west"
    lot(east, "oil-1")
    asked = command("workshop", "join", database.url("east"), "--data", str(east))
    assert asked.returncode == 3
    assert "benchapp workshop prepare" in asked.stderr
    assert command("workshop", "prepare", database.owner).returncode == 0
    for bench, short in (("east", "E"), ("west", "W")):
        out = tmp_path / f"{bench}.pgpass"
        said = command(
            "workshop",
            "add",
            database.role(bench),
            "--short",
            short,
            "--server",
            database.owner,
            "--out",
            str(out),
        )
        assert said.returncode == 0, said.stderr
        host, port, name, role, password = out.read_text().strip().split(":")
        assert (host, int(port), name, role) == (
            "127.0.0.1",
            database.cluster.port,
            "workshop",
            database.role(bench),
        )
        assert len(password) > 20
        assert password not in said.stdout + said.stderr
        assert stat.S_IMODE(out.stat().st_mode) == 0o600
    said = command("workshop", "join", database.url("east"), "--data", str(east))
    assert said.returncode == 0, said.stderr
    assert f"the bench {database.role('east')} (E) from now on. " in said.stdout
    assert "The server has it up to entry 2." in said.stdout
    assert "Lot E-oil-2:" in lot(east, "oil-2")
    assert command("workshop", "join", database.url("west"), "--data", str(west)).returncode == 0
    assert "Lot W-oil-2:" in lot(west, "oil-2")
    said = command("workshop", "status", "--data", str(east))
    assert "One entry of this bench is not sent yet." in said.stdout
    said = command("workshop", "sync", "--data", str(east))
    assert "The server has it up to entry 4." in said.stdout
    assert len(on_server(database, "east")) == 4, "how far west had come among them"
    assert len(on_server(database, "west")) == 2
    for folder in (east, west):
        for file in folder.iterdir():
            assert stat.S_IMODE(file.stat().st_mode) & 0o077 == 0, file
    said = command("workshop", "leave", "--data", str(east))
    assert said.stdout.strip().endswith("its journal holds everything it made. The server has all of it.")
    assert len(on_server(database, "east")) == 5
    assert server_in(east) == ""
    assert command("verify", "--data", str(east)).returncode == 0
    assert "stands alone" in command("workshop", "status", "--data", str(east)).stdout
    assert command("workshop", "sync", "--data", str(east)).returncode == 3
    assert command("workshop", "leave", "--data", str(east)).returncode == 3


def test_the_office_asks_all_benches_from_the_command_line(workshop, tmp_path):
    east, office = tmp_path / "east", tmp_path / "office"
    lot(east, "oil-1")
    for folder, bench in ((east, "east"), (office, "west")):
        assert command("workshop", "join", workshop.url(bench), "--data", str(folder)).returncode == 0
    said = command("trace", "oil-1", "--data", str(office))
    assert said.stdout.startswith("Lot oil-1: sunflower-oil"), said.stderr
    said = command("workshop", "benches", "--data", str(office))
    assert said.returncode == 0, said.stderr
    assert f"{workshop.role('east')} (E)" in said.stdout
    assert "nothing is being made" in said.stdout
    said = command("workshop", "benches", "--data", str(tmp_path / "nowhere"))
    assert said.returncode == 3, "a mistyped folder is no workshop"


def test_a_password_in_an_address_is_kept_nowhere(database, tmp_path):
    lot(tmp_path, "oil-1")
    url = database.url("east").replace("@", ":secret@")
    said = command("workshop", "join", url, "--data", str(tmp_path))
    assert said.returncode == 3
    assert "secret" not in said.stderr
    assert not (tmp_path / "workshop.json").exists()


def test_the_bench_page_says_how_it_stands(workshop, tmp_path):
    lot(tmp_path, "oil-1")
    assert command("workshop", "join", workshop.url("east"), "--data", str(tmp_path)).returncode == 0
    journal = Journal(tmp_path, lambda: WALL)
    with replicating(journal, tmp_path) as sentence:
        assert sentence().startswith(
            ("This bench has sent and received everything.", "Everything is sent. The other benches ")
        )
    journal.close()


def test_a_server_file_that_will_not_do_keeps_nothing_from_being_made(tmp_path):
    (tmp_path / "workshop.json").write_text('{"server": "no address"}')
    journal = Journal(tmp_path, lambda: WALL)
    with replicating(journal, tmp_path) as sentence:
        assert sentence().startswith("Workshop: nothing is sent or received. That is no address of a server.")
    journal.close()


ALONE = """
import pathlib, sys
from argparse import Namespace
from benchapp.commands.opening import bench_service
folder = pathlib.Path(sys.argv[1])
with bench_service(Namespace(data=str(folder))) as (shop, journal):
    assert shop.facts().workshop == ""
loaded = [m for m in sys.modules if m.startswith(("psycopg", "benchapp.replication.")) and m != "benchapp.replication.errors"]
assert not loaded, loaded
assert not {"others.sqlite", "workshop.json"} & {file.name for file in folder.iterdir()}
"""


def test_a_bench_alone_loads_nothing_of_it(tmp_path):
    done = subprocess.run([sys.executable, "-c", ALONE, str(tmp_path)], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_what_was_altered_here_is_said_where_the_others_file_cannot_be_read(tmp_path):
    lot(tmp_path, "oil-1")
    with sqlite3.connect(tmp_path / "journal.sqlite") as raw:
        raw.execute("DROP TRIGGER event_no_update")
        raw.execute("UPDATE event SET text = replace(text, '5000', '9000') WHERE kind = 'LotReceived'")
    raw.close()
    (tmp_path / "others.sqlite").write_bytes(b"no database" * 1000)
    said = command("verify", "--data", str(tmp_path))
    assert said.returncode == 6
    assert "ALTERED" in said.stdout
    assert "others.sqlite is damaged" in said.stdout + said.stderr
