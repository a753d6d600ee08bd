"""A batch begins, resumes and is rehearsed in one place under every face; a real make never meets simulated devices."""

from __future__ import annotations

import os
import sqlite3
import tty
from dataclasses import replace

import pytest
from full_disk import room_for

from benchapp import events as ev
from benchapp.calculations.hot_bath import HotBath
from benchapp.cli import main
from benchapp.make.inputs import Skip
from benchapp.runtime.device_checks import Check
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from benchapp.runtime.settings import Preferences, keep_preferences, last_bench, remember_bench
from benchapp.service.bench_service import BenchService
from benchapp.service.errors import CommandError
from benchapp.service.makes import Order
from drivers.bench_file import read_bench
from drivers.simulated import DEFAULT_DEVICES


@pytest.fixture
def left(journal, lotion):
    """A make begun on real devices and left unfinished."""
    facts = [facts_of(d) for d in DEFAULT_DEVICES]
    begin(journal, BatchOrder(lotion, 500.0, facts, "Mara Lind", "real-1"), lambda: 1.0).close()
    return "real-1"


@pytest.fixture
def bench_file(tmp_path):
    """A bench file with one scale on a real port nobody writes to."""
    far, near = os.openpty()
    file = tmp_path / "bench.toml"
    file.write_text(
        f'[[device]]\nname = "bench scale"\nkind = "scale"\nport = "{os.ttyname(near)}"\nformat = "labelled"\n'
        'capacity = "3000 g"\nreadability = "0.1 g"\n'
    )
    yield file
    os.close(far)
    os.close(near)


def test_a_real_make_is_not_gone_on_with_on_a_simulated_bench(journal, left, tmp_path):
    before = journal.events(left)
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    try:
        with pytest.raises(CommandError, match="benchapp resume --bench FILE"):
            shop.resume(left)
        assert shop.makes.simulated is None
    finally:
        shop.end()
    assert journal.events(left) == before, "nothing was measured, nothing was resumed"


def test_a_real_make_goes_on_with_the_bench_file_used_last(journal, left, tmp_path, bench_file):
    remember_bench(tmp_path, bench_file)
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    try:
        runner = shop.resume(left)
        assert shop.makes.simulated is None
        assert not runner.session.rehearsing
        assert isinstance(journal.last(left).event, ev.MakeResumed)
    finally:
        shop.end()


OUNCES = b"Gross: 12.36 oz\r\n"


def test_a_make_goes_on_after_the_bench_file_was_brought_to_the_unit_the_scale_shows(journal, left, tmp_path):
    """Lines in ounces against a bench file in grams are refused; both ways out that the sentence names are real."""
    far, near = os.openpty()
    tty.setraw(near)
    file = tmp_path / "bench.toml"

    def resumed(readability):
        file.write_text(
            f'[[device]]\nname = "bench scale"\nkind = "scale"\nport = "{os.ttyname(near)}"\nformat = "labelled"\n'
            f'capacity = "3000 g"\nreadability = "{readability}"\n'
        )
        shop = BenchService(journal, read_bench(file), "Mara Lind", folder=tmp_path)
        session = shop.resume(left).session
        (scale,) = session._devices
        assert scale.port.wait_open(5.0)
        while session.make.state.step != "02-weigh":
            session.put(Skip(session.clock(), session.view().prompt, "not part of this test"))
        sent = os.write(far, 2 * OUNCES)  # the first line after opening may be half a line, and is left
        assert scale.wait_received(sent, 5.0)
        session.poll()
        return shop, session

    shop, session = resumed("0.1 g")
    said = session.make.watch.complaint("bench scale", session.clock())
    assert "Set it back to g on the scale; or end the program" in said
    assert 'write readability = "0.01 oz" in the bench file, and resume' in said
    assert "bench scale" not in session.make.watch.scales
    shop.end()
    shop, session = resumed("0.01 oz")
    assert session.make.watch.scales["bench scale"].motion.latest_g == pytest.approx(
        12.36 * 28.349523125, abs=0.01
    )
    assert kinds_of(journal.events(left)).count("MakeResumed") == 2
    shop.end()
    os.close(far)
    os.close(near)


def kinds_of(events):
    return [type(e).__name__ for e in events]


def test_both_views_refuse_with_the_same_sentence(journal, left, tmp_path, capsys):
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    with pytest.raises(CommandError) as refused:
        shop.resume(left)
    journal.close()
    assert main(["resume", "--data", str(journal.path.parent)]) == 3
    assert capsys.readouterr().err.strip() == str(refused.value)


def test_a_rehearsal_goes_on_on_simulated_devices_even_beside_a_real_bench(
    journal, lotion, tmp_path, bench_file
):
    bench = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    batch = bench.rehearse(lotion.key, 500.0).session.batch
    bench.end()
    bench = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    try:
        assert bench.resume(batch).session.rehearsing
        assert bench.makes.simulated is not None
    finally:
        bench.end()


def test_a_make_on_a_real_bench_is_remembered_signed_and_stocked_alike(journal, lotion, tmp_path, bench_file):
    """What the terminal did and the glass did not: the bench file is remembered, and a PIN can be proved."""
    bench = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    try:
        session = bench.begin(lotion.key, 500.0).session
        assert last_bench(tmp_path) == bench_file
        assert "enrolled" in session.sign_with("no prompt", "Jo Tern", "1234")
        assert session.sign_with("no prompt", "Jo Tern", "1234").startswith("Jo Tern is not enrolled here")
    finally:
        bench.end()


@pytest.mark.parametrize("begins", ["begin", "rehearse"])
def test_neither_view_begins_what_cannot_be_made(journal, lotion, tmp_path, bench_file, begins):
    bench = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    _, problems, law = bench.plan(lotion.key, 90000.0)
    assert law[-1].startswith("Nothing in it is over a limit known here. Your own market's law decides.")
    with pytest.raises(CommandError) as refused:
        getattr(bench, begins)(lotion.key, 90000.0)
    assert str(refused.value).splitlines()[0] == problems[0]
    assert journal.batches() == []


def test_a_check_of_a_simulated_device_says_nothing_of_a_real_one(journal, tmp_path, bench_file):
    check = Check("bench scale", "500 g", 500.0, 500.0, 0.2, "g", "2026-03-01T09:00:00+01:00", "Mara Lind")
    simulated = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    real = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    simulated.keep_check(check)
    assert simulated.checked() == {"bench scale": check.at}
    assert real.checked() == {}
    real.keep_check(replace(check, found=501.0))
    assert simulated.checked() == {"bench scale": check.at}


def test_the_newest_check_of_a_channel_counts_whether_it_was_of_that_channel_or_of_the_whole_device(
    journal, tmp_path, bench_file
):
    shop = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    (channel,) = next(d for d in shop.devices() if d.name == "bench scale").channels
    whole = Check("bench scale", "500 g", 500.0, 500.0, 0.2, "g", "2026-03-02T09:00:00+01:00", "Mara Lind")
    shop.keep_check(replace(whole, found=501.0, at="2026-03-01T09:00:00+01:00", channel=channel))
    shop.keep_check(whole)
    assert shop.last_checks() == {("bench scale", channel): whole}


def test_a_real_make_is_told_of_the_benchs_bath_and_a_rehearsal_is_not(journal, lotion, tmp_path, bench_file):
    keep_preferences(tmp_path, Preferences(bath="thermostat", bath_c=78.0))
    shop = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    try:
        begun = shop.makes.begin(Order(lotion, 500.0, "Mara Lind")).session
        assert begun.make.watch.bath == HotBath(78.0)
        assert shop.rehearse("oat-hand-lotion", 500.0).session.make.watch.bath is None
    finally:
        shop.end()


def test_a_rehearsal_foretells_its_waits_by_the_one_before(journal, lotion, walked, tmp_path):
    """The curves of a whole rehearsal are in the hands of the next one's forecasts, step by step and vessel by vessel."""
    earlier = walked("oat-hand-lotion").stored
    journal.append("b1", [s.event for s in earlier])
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    try:
        past = shop.rehearse("oat-hand-lotion", 500.0).session.make.watch.past
    finally:
        shop.end()
    assert {("06-heat", "water-pot"), ("06-heat", "oil-pot"), ("10-cool", "water-pot")} <= set(past)
    (cooling,) = past["10-cool", "water-pot"]
    assert cooling[0][1] > 60.0 > 42.0 > cooling[-1][1]


def test_a_rehearsal_knows_by_the_one_before_how_long_it_takes_and_a_real_make_does_not(
    journal, lotion, walked, tmp_path, bench_file
):
    journal.append("b1", [s.event for s in walked("oat-hand-lotion").stored])
    shop = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    try:
        assert shop.makes.begin(Order(lotion, 500.0, "Mara Lind")).session.make.watch.past_makes == ()
        session = shop.rehearse("oat-hand-lotion", 500.0).session
        until = session.poll().until_done
        assert (until.makes, until.late_s) == (1, pytest.approx(6222.6, abs=60.0))
        batch = session.batch
        assert shop.resume(batch).session.view().until_done.makes == 1, (
            "a make that is taken up again knows it too"
        )
        assert shop.rehearse("oat-hand-lotion", 600.0).session.poll().until_done is None, "of another size"
    finally:
        shop.end()


def test_a_full_disk_is_a_sentence_and_what_was_kept_stands(journal, tmp_path, bench_file):
    """On the glass every CommandError is shown as it is; anything else is a failure of the display."""
    remember_bench(tmp_path, tmp_path / "old.toml")
    check = Check("scale", "200 g", 200.0, 200.0, 0.1, "g", "2026-03-01T08:00:00+01:00", "Mara Lind")
    shop = BenchService(journal, read_bench(bench_file), "Mara Lind", folder=tmp_path)
    try:
        with room_for(5):
            with pytest.raises(CommandError, match=r"preferences\.json cannot be written"):
                shop.keep_preferences(Preferences(volume=1))
            with pytest.raises(CommandError, match=r"bench-checks\.json cannot be written"):
                shop.keep_check(check)
            with pytest.raises(CommandError, match=r"last-bench\.json cannot be written"):
                shop.makes._remember(read_bench(bench_file))
        assert shop.keep_check(check) == ""
        assert last_bench(tmp_path) == (tmp_path / "old.toml").resolve()
    finally:
        shop.end()


def test_an_earlier_make_that_cannot_be_read_is_said_before_the_next_is_begun(
    journal, left, lotion, tmp_path
):
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    journal.append(
        left, [ev.StepBegan(at_s=2.0, step="01-prepare"), ev.StepFinished(at_s=3.0, step="01-prepare")]
    )
    journal.append(left, [ev.MakeFinished(at_s=4.0, product_g=480.0, yield_percent=96.0)])
    assert shop.makes.unread_before(lotion.key, 500.0, False) == ()
    with sqlite3.connect(journal.path) as raw:
        raw.execute("DROP TRIGGER event_no_update")
        raw.execute("UPDATE event SET text = '{' WHERE kind = 'StepFinished'")
    raw.close()
    (said,) = shop.makes.unread_before(lotion.key, 500.0, False)
    assert f"The earlier batch {left} cannot be read" in said
    assert shop.makes.unread_before(lotion.key, 500.0, True) == (), "a rehearsal is foretold by rehearsals"


def test_an_earlier_make_that_cannot_be_read_stands_on_the_bench_page_beside_the_unfinished_one(
    journal, left, lotion, tmp_path
):
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path)
    journal.append(
        left, [ev.StepBegan(at_s=2.0, step="01-prepare"), ev.StepFinished(at_s=3.0, step="01-prepare")]
    )
    journal.append(left, [ev.MakeFinished(at_s=4.0, product_g=480.0, yield_percent=96.0)])
    facts = [facts_of(d) for d in DEFAULT_DEVICES]
    begin(journal, BatchOrder(lotion, 500.0, facts, "Mara Lind", "real-2"), lambda: 1.0).close()
    assert "cannot be read" not in str(shop.facts().matters)
    with sqlite3.connect(journal.path) as raw:
        raw.execute("DROP TRIGGER event_no_update")
        raw.execute("UPDATE event SET text = '{' WHERE kind = 'StepFinished'")
    raw.close()
    said = shop.facts()
    assert said.unfinished.batch == "real-2"
    (one,) = (m for m in said.matters if "cannot be read" in m.what)
    assert one.what == f"The earlier batch {left} cannot be read and foretells nothing"
