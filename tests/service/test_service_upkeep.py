"""The state of machine and bench: each thing that can be wrong is found by itself, with what to do."""

from __future__ import annotations

import os
from types import SimpleNamespace

import pytest
from one_command import command

from benchapp import events as ev
from benchapp.record.backups import BackupPlace
from benchapp.record.journal import Journal
from benchapp.runtime.removable_disks import disks_among
from benchapp.runtime.settings import BackupPlan, close_to_others, head_file, keep_backup_plan
from benchapp.service.upkeep import Upkeep, in_order
from drivers.bench_file import read_bench
from drivers.errors import PortBusy, PortMissing

BENCH = '[[device]]\nname = "big scale"\nkind = "scale"\nport = "/dev/ttyUSB7"\nformat = "number-unit"\n'
OPENED = ev.LotOpened(at_s=0.0, lot="W7", on="2026-03-01")


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """A workshop in which everything is in order: its journal, its bench, the place for its copies."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    folder, stick = tmp_path / "data", tmp_path / "stick"
    folder.mkdir(mode=0o700)
    journal = Journal(folder, lambda: "2026-03-01T09:00:00.000+01:00")
    journal.append(ev.WORKSHOP, [OPENED])
    place = BackupPlace(stick)
    place.prepare()
    keep_backup_plan(folder, BackupPlan(str(stick), 14))
    place.keep_up(journal)
    (tmp_path / "bench.toml").write_text(BENCH)
    monkeypatch.setattr("benchapp.service.safekeeping.same_disk", lambda one, other: False)
    (tmp_path / "timesync").mkdir()
    (tmp_path / "timesync" / "synchronized").touch()
    yield SimpleNamespace(
        journal=journal, folder=folder, stick=stick, bench=read_bench(tmp_path / "bench.toml"), at=tmp_path
    )
    journal.close()


def looked(shop, open_port=lambda device: None):
    return Upkeep(shop.journal, shop.bench, open_port, shop.at / "timesync").findings()


def wrong(found):
    return {f.matter: f"{f.text} {f.detail}".strip() for f in found if not f.fine}


def test_where_all_is_well_each_matter_has_its_sentence(shop):
    found = looked(shop)
    assert wrong(found) == {}
    assert in_order(found)
    assert [f.matter for f in found] == ["disk", "copies", "clock", "privacy", "big scale", "due", "versions"]
    assert all(f.text.endswith(".") for f in found)


def test_a_full_disk(shop, monkeypatch):
    monkeypatch.setattr("benchapp.service.upkeep.shutil.disk_usage", lambda path: SimpleNamespace(free=12e6))
    assert "Only 12 MB are free" in wrong(looked(shop))["disk"]


def test_a_clock_behind_what_was_recorded_and_one_that_nobody_confirmed(shop):
    (shop.at / "timesync" / "synchronized").unlink()
    assert "nobody on the network has confirmed" in wrong(looked(shop))["clock"]
    shop.journal.wall = lambda: "2025-01-01T00:00:00.000+01:00"
    assert wrong(looked(shop))["clock"].endswith("Set the clock.")


@pytest.mark.skipif(os.name != "posix", reason="other systems keep rights otherwise")
def test_rights_of_others(shop):
    shop.folder.chmod(0o755)
    heads = head_file().path  # kept outside the folder, so that nobody takes both
    heads.parent.mkdir(parents=True, exist_ok=True)
    heads.touch(0o644)
    heads.chmod(0o644)
    assert wrong(looked(shop))["privacy"].endswith(f"chmod -R go= {shop.folder} {heads.parent}")
    close_to_others(shop.folder)
    assert "privacy" not in wrong(looked(shop))
    assert shop.folder.stat().st_mode & 0o777 == 0o700


def test_a_device_that_is_not_there_and_one_that_is_only_in_use(shop):
    def missing(device):
        raise PortMissing(f"There is no {device.port}.")

    def busy(device):
        raise PortBusy("held")

    assert wrong(looked(shop, missing)) == {"big scale": "There is no /dev/ttyUSB7."}
    assert wrong(looked(shop, busy)) == {}


def test_copies_that_are_old_missing_or_on_the_same_disk(shop, monkeypatch):
    shop.journal.wall = lambda: "2026-03-09T09:00:00.000+01:00"
    shop.journal.append(ev.WORKSHOP, [OPENED])
    assert "8 days old" in wrong(looked(shop))["copies"]
    BackupPlace(shop.stick).keep_up(shop.journal)
    monkeypatch.setattr("benchapp.service.safekeeping.same_disk", lambda one, other: True)
    assert "on the same disk" in wrong(looked(shop))["copies"]
    for file in shop.stick.iterdir():
        file.unlink()
    assert "is not there" in wrong(looked(shop))["copies"]
    keep_backup_plan(shop.folder, None)
    assert "No copy is made by itself" in wrong(looked(shop))["copies"]


def test_what_is_due(shop):
    plan = ev.CarePlanned(at_s=0.0, equipment="blender", task="cleaning", every_days=7, by="Mara Lind")
    shop.journal.append(ev.WORKSHOP, [plan])
    assert wrong(looked(shop))["blender: cleaning"].startswith("due since ")


def test_the_command_ends_with_its_own_code_and_changes_nothing(shop):
    before = shop.journal.head()
    said = command("upkeep", "--data", str(shop.folder), "--bench", shop.bench.source)
    assert said.returncode == 7
    assert "There is no /dev/ttyUSB7" in said.stdout
    assert shop.journal.head() == before
    assert command("upkeep", "--data", str(shop.at / "nowhere")).returncode == 3


def test_sticks_among_all_partitions(tmp_path):
    def partition(mountpoint: str, opts: str = "rw") -> SimpleNamespace:
        return SimpleNamespace(mountpoint=mountpoint, opts=opts)

    stick = tmp_path / "STICK"
    stick.mkdir()
    (found,) = disks_among([
        partition("/"),
        partition("/boot/firmware"),
        partition(str(stick), "ro,removable"),
        partition("/media"),
        partition("/media/was-pulled-out"),
        partition(str(stick), "rw,removable"),
    ])  # fmt: skip
    assert (found.name, found.folder) == ("STICK", stick)
    assert found.free_gb > 0
