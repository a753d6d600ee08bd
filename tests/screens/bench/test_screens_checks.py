"""The bench check on the glass, what a device may be off, and that later makes know of it."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.runtime.device_checks import Check, checks_in, keep, passed_at, weight_allowed_g


@pytest.mark.parametrize(
    ("load_g", "readability_g", "capacity_g", "allowed_g"),
    [(200.0, 0.1, 3000.0, 0.1), (1000.0, 0.1, 3000.0, 0.2), (2500.0, 0.1, 3000.0, 0.3),
     (100.0, 0.01, 200.0, 0.02), (100.0, 1.0, 5000.0, 1.0), (1000.0, 1.0, 5000.0, 2.0)],
)  # fmt: skip
def test_what_a_scale_in_service_may_be_off(load_g, readability_g, capacity_g, allowed_g):
    """OIML R 76-1: 0.5 e up to 5,000 e (II) or 500 e (III), 1 e up to 20,000 e or 2,000 e, 1.5 e above; twice in service."""
    assert weight_allowed_g(load_g, readability_g, capacity_g) == pytest.approx(allowed_g)


def test_only_the_newest_check_of_a_device_counts(tmp_path):
    good = Check(
        "fine scale", "weight 100 g", 100.0, 100.01, 0.02, "g", "2026-03-01T09:00:00+01:00", "Mara Lind"
    )
    bad = Check(
        "fine scale", "weight 100 g", 100.0, 100.09, 0.02, "g", "2026-03-02T09:00:00+01:00", "Mara Lind"
    )
    keep(tmp_path, good)
    assert passed_at(tmp_path) == {"fine scale": good.at}
    keep(tmp_path, bad)
    assert passed_at(tmp_path) == {}


def test_half_a_line_after_a_power_cut_is_left_out(tmp_path):
    good = Check(
        "fine scale", "weight 100 g", 100.0, 100.01, 0.02, "g", "2026-03-01T09:00:00+01:00", "Mara Lind"
    )
    keep(tmp_path, good)
    with (tmp_path / "bench-checks.json").open("a") as file:
        file.write('{"device": "fine sc')
    assert passed_at(tmp_path) == {"fine scale": good.at}


def test_a_checked_scale_is_checked_in_the_make_that_follows(journal, pilot):
    pilot.press("Check the bench")
    pilot.press("bench scale")
    pilot.press("500 g")
    pilot.press("Type the weight")
    for key in "500.1":
        pilot.press(key)
    pilot.press("Enter")
    assert pilot.page.texts[0].text == "Passed"
    pilot.press("To the bench")
    pilot.begin()
    (line,) = journal.batches()
    started = journal.events(line.batch)[0]
    assert isinstance(started, ev.MakeStarted)
    assert {f.name: bool(f.checked) for f in started.devices} == {
        "bench scale": True, "fine scale": False, "thermometer": False,
    }  # fmt: skip


def test_a_device_is_checked_by_what_it_reads_when_it_is_at_rest(tmp_path, pilot):
    pilot.press("Check the bench")
    pilot.press("thermometer, probe 1")
    pilot.press("Ice in water")
    until_offered(pilot, "Take this reading")  # the simulated probe hangs in the air of the room
    pilot.press("Take this reading")
    assert pilot.page.texts[0].text == "Not passed"
    (check,) = checks_in(tmp_path, simulated=True)
    assert (check.expected, check.source) == (0.0, "measured")
    assert 18 < check.found < 25


def test_an_empty_pan_is_never_taken_for_a_weight(tmp_path, pilot):
    pilot.press("Check the bench")
    pilot.press("bench scale")
    pilot.press("20 g")
    until_offered(pilot, "Not on yet")
    page = pilot.page
    pilot.press("Not on yet")
    assert pilot.page is page
    assert not checks_in(tmp_path, simulated=True)
    pilot.press("Type the weight")  # a scale that is as far off as that
    for key in ("0", "Enter"):
        pilot.press(key)
    (check,) = checks_in(tmp_path, simulated=True)
    assert (check.found, check.source, check.passed) == (0.0, "stated", False)


def until_offered(pilot, words):
    """Wait until what a device says offers this press."""
    for _ in range(400):
        pilot.frame()
        if words in pilot.presses():
            return
        with pilot.app.bench.monitor.heard:
            pilot.app.bench.monitor.heard.wait(0.2)
    raise AssertionError(f"{words} is never offered")


def test_each_probe_is_checked_by_itself(tmp_path):
    def check(probe, found, day):
        at = f"2026-03-{day:02d}T09:00:00+01:00"
        keep(
            tmp_path,
            Check("thermometer", "ice in water", 0.0, found, 1.0, "°C", at, "Mara Lind", "stated", probe),
        )

    both = {"thermometer": ("probe 1", "probe 2")}
    check("probe 1", 0.2, 1)
    assert passed_at(tmp_path, both) == {}
    check("probe 2", 0.4, 2)
    assert passed_at(tmp_path, both) == {"thermometer": "2026-03-01T09:00:00+01:00"}
    check("probe 1", 2.4, 3)
    assert passed_at(tmp_path, both) == {}


def buffer_check(expected, found, day="01", device="ph meter"):
    return Check(
        device,
        f"buffer {expected:g}",
        expected,
        found,
        0.1,
        "pH",
        f"2026-03-{day}T09:00:00+01:00",
        "Mara Lind",
    )


@pytest.mark.parametrize(
    ("checks", "said"),
    [
        ([buffer_check(7.0, 7.0)], ""),
        ([buffer_check(7.0, 7.0), buffer_check(7.0, 7.02)], ""),
        ([buffer_check(7.0, 7.0, "01"), buffer_check(4.0, 4.0, "02")], ""),  # not of one day
        ([buffer_check(7.0, 7.0), buffer_check(4.0, 4.0)], "Electrode: slope 100 %, offset 0 mV (computed from two buffers)."),
        ([buffer_check(7.0, 7.0), buffer_check(4.0, 4.6)], "slope 80 %, usual is 90 to 105 %"),
    ],
)  # fmt: skip
def test_two_buffers_of_one_day_say_how_the_electrode_is(checks, said):
    """A slope of 80 %: three pH apart, shown as 2.4 apart (Nernst; the limits are usual acceptance, secondary source)."""
    from benchapp.runtime.device_checks import electrode

    found = electrode(checks, "ph meter")
    assert said.lower() in found.lower()
    assert bool(said) == bool(found)


def test_boiling_water_at_known_pressures():
    """Against the iapws library's own saturation line (IAPWS-IF97)."""
    from iapws.iapws97 import _TSat_P

    from benchapp.service.references import boiling_at_height, boiling_at_pressure

    for hpa in (1013.25, 1000.0, 800.0, 650.0):
        assert boiling_at_pressure(hpa).expected == pytest.approx(_TSat_P(hpa / 1e4) - 273.15, abs=0.005)
    assert boiling_at_height(0.0).expected == pytest.approx(99.97, abs=0.02)


@pytest.mark.parametrize(
    ("reads", "lies", "right"),
    [(0.0, False, False), (100.05, True, True), (101.0, True, False), (None, False, False)],
)
def test_the_weight_is_drawn_where_it_is(window, reads, lies, right):
    """Over the pan until the scale feels it, then on it; nothing is drawn where nothing is read."""
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.screens.bench.check_pages import ComparisonPage
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.service.references import CheckSubject, ReferenceValue
    from drivers.readings import Quantity, Reading
    from drivers.simulated import DEFAULT_DEVICES

    device = DEFAULT_DEVICES[0]
    subject, reference = (
        CheckSubject(device, "mass", "Mara Lind", lambda: ""),
        ReferenceValue("weight 100 g", 100.0, 0.1, 1),
    )
    page = ComparisonPage(Sizes.of(TEN_INCH), subject, reference, print, ("Type it", print, "plain"), print)
    reading = (
        None if reads is None else Reading(device.name, "mass", Quantity.MASS, reads, 0.0, resolution=0.1)
    )
    page.live([ChannelStatus(device, "mass", reading, 0.1, reads, "" if reading else "It is not there.")])
    picture, _, _ = page._drawing._drawn
    assert (picture.lies, picture.right) == (lies, right)
    assert bool(page._drawing.canvas.children) is (reading is not None)


def test_the_drawing_of_a_check_goes_by_the_same_limits_as_the_check(window):
    """What reads as the limit is the limit: 0.8 − 0.1 is 0.7000000000000001 in floats, and 0.7 lies within it."""
    from benchapp.runtime.device_checks import Check
    from benchapp.screens.drawings.reference_drawing import ReferencePicture

    for found in (0.6, 0.7, 0.8, 0.9, 1.0):
        check = Check("fine scale", "weight", 0.8, found, 0.1, "g", "2026-03-01T09:00:00+01:00", "Mara Lind")
        drawn = ReferencePicture(True, "0.8 g", "g", 0.8 - 0.1, 0.8 + 0.1, 1, found, True)
        assert drawn.right == check.passed, found
    assert not 0.8 - 0.1 <= 0.7, "or this shows nothing"
