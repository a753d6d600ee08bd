"""A device that was not checked before the make, and was afterwards, or never. Invented for the demo."""

from __future__ import annotations

import shutil
from dataclasses import replace

import pytest
from desk_commands import BATCH, THEN, sign
from workshop_days import FINISHED, started

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.runtime.device_checks import Check, keep


@pytest.fixture
def unchecked(desk, template, tmp_path, lotion):
    """The batch with an unchecked scale and an unchecked thermometer of two probes noted in it."""
    shutil.copytree(template, tmp_path, dirs_exist_ok=True)
    devices = (
        ev.DeviceFacts("bench scale", "scale", ("mass",), 0.1, 3000.0),
        ev.DeviceFacts("thermo", "thermometer", ("probe 1", "probe 2")),
    )
    noted = [
        ev.DeviationNoted(at_s=1.0, number=n, grade=ev.Grade.MINOR, kind=f"unchecked {d.name}", step="", text=f"The {d.name}")
        for n, d in enumerate(devices, 1)
    ]  # fmt: skip
    journal = Journal(tmp_path, lambda: THEN)
    journal.append(
        "b-9",
        [
            replace(started("b-9", maker="Jonas"), devices=devices, procedure_text=lotion.text),
            *noted,
            FINISHED,
        ],
    )
    journal.close()
    return desk


def checked(folder, found, at="2024-03-02T08:00:00.000+01:00", **more):
    usual = {
        "device": "bench scale",
        "against": "weight 100 g",
        "expected": 100.0,
        "allowed": 0.1,
        "unit": "g",
    }
    keep(folder, Check(**(usual | more), found=found, at=at, maker="Mara"))


CLOSE = ("close-deviation", "b-9", "1")


def test_a_scale_checked_afterwards_closes_its_deviation_with_device_and_result(unchecked, tmp_path):
    code, said = sign(unchecked, *CLOSE, "--checked-afterwards")
    assert (code, "not checked since b-9 was begun" in said, "benchapp bench-check" in said) == (
        3,
        True,
        True,
    )
    checked(tmp_path, 100.0, at="2024-02-01T08:00:00.000+01:00")  # before the make: says nothing of it
    assert sign(unchecked, *CLOSE, "--checked-afterwards")[0] == 3
    checked(tmp_path, 100.4)
    assert "failed its check" in sign(unchecked, *CLOSE, "--checked-afterwards")[1]
    checked(tmp_path, 100.1)
    code, said = sign(unchecked, *CLOSE, "--checked-afterwards")
    assert code == 0, said
    for words in ("bench scale", "weight 100 g: 100.1 g for 100", "passed; Mara, 2024-03-02 08:00"):
        assert words in said
    assert "checked afterwards: bench scale" in unchecked("release", "b-9")[1]


def test_a_deviation_is_said_with_its_number_its_grade_and_whether_it_is_open(unchecked):
    said = unchecked("release", "b-9")[1]
    assert said.count("Deviation 1") == said.count("Deviation 1 (minor) is open: The bench scale") == 1
    sign(unchecked, *CLOSE, "--reason", "the weights were away")
    assert "Deviation 1, minor: The bench scale (accepted by Mara" in unchecked("release", "b-9")[1]


def test_every_probe_of_a_thermometer_has_to_pass(unchecked, tmp_path):
    ice = {"device": "thermo", "against": "ice in water", "expected": 0.0, "allowed": 1.0, "unit": "°C"}
    checked(tmp_path, 0.3, channel="probe 1", **ice)
    assert "thermo, probe 2 was not checked" in sign(unchecked, *CLOSE[:2], "2", "--checked-afterwards")[1]
    checked(tmp_path, -0.2, channel="probe 2", **ice)
    assert sign(unchecked, *CLOSE[:2], "2", "--checked-afterwards")[0] == 0


def test_or_it_is_signed_why_it_was_not_checked(unchecked):
    code, said = sign(unchecked, *CLOSE, "--reason", "the weights were away for calibration")
    assert (code, "not checked, because the weights were away" in said) == (0, True)


def test_only_a_device_can_have_been_checked_afterwards(finished):
    code, said = sign(finished, "close-deviation", BATCH, "1", "--checked-afterwards")
    assert (code, "is about no unchecked device" in said) == (3, True)
