"""Copies that make themselves: when one is due, that each restores and verifies, that they stay bounded, and what is said
where their place is missing or they are old."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from full_disk import UNREADABLE, room_for
from hypothesis import given
from hypothesis import strategies as st
from one_command import command
from workshop_days import a_month

from benchapp import events as ev
from benchapp.record.backups import MARK, MONTHS, BackupPlace, Copy, head_beside, surplus
from benchapp.record.errors import JournalUnavailable
from benchapp.record.heads import head_now, missing_of, parsed
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify
from benchapp.runtime.settings import backup_plan_in, head_file
from benchapp.service.bench_service import BenchService
from benchapp.service.safekeeping import begin_copies, copy_places

OPENED = ev.LotOpened(at_s=0.0, lot="W7", on="2026-03-01")


class Days:
    """A wall clock that is set by hand."""

    def __init__(self) -> None:
        self.day, self.time = "2026-03-01", "09:00:00"

    def __call__(self) -> str:
        return f"{self.day}T{self.time}.000+01:00"


@pytest.fixture
def days() -> Days:
    return Days()


@pytest.fixture
def shop(tmp_path, days):
    made = Journal(tmp_path / "data", days)
    a_month(made)
    made.wall = days
    yield made
    made.close()


@pytest.fixture
def place(tmp_path) -> BackupPlace:
    made = BackupPlace(tmp_path / "stick", keep=3)
    made.prepare()
    return made


def chain(journal: Journal) -> str:
    with journal.reading() as c:
        return str(c.exec_driver_sql("select hash from event where seq = 1").scalar())


def made_and_abandoned(journal: Journal, batch: str) -> None:
    first = next(
        s for s in journal.stored(journal.batches(1)[0].batch) if isinstance(s.event, ev.MakeStarted)
    )
    journal.append(batch, [first.event, ev.MakeAbandoned(at_s=9.0, reason="power")])


def test_a_copy_restores_and_verifies_against_its_own_head(shop, place, tmp_path, days):
    copy = place.keep_up(shop)
    kept = parsed(head_beside(copy).read_text())
    assert kept is not None
    shutil.copy(copy, (tmp_path / "restored").mkdir() or tmp_path / "restored" / "journal.sqlite")
    restored = Journal(tmp_path / "restored", days)
    try:
        found = verify(restored, head=head_beside(copy).read_text())
        assert found.sound
        assert (found.head, found.length) == (kept[1], kept[0])
        assert [b.batch for b in restored.batches()] == [b.batch for b in shop.batches()]
    finally:
        restored.close()


def test_one_is_due_each_day_on_which_something_was_recorded_and_after_each_batch(shop, place, days):
    assert place.keep_up(shop) is not None
    assert place.keep_up(shop) is None, "nothing new"
    shop.append(ev.WORKSHOP, [OPENED])
    assert place.keep_up(shop) is None, "the same day"
    days.time = "10:00:00"
    made_and_abandoned(shop, "b-of-today")
    days.time = "10:00:05"
    assert place.keep_up(shop) is not None, "a batch has ended"
    days.day = "2026-03-02"
    assert place.keep_up(shop) is None, "a day on which nothing happened"
    shop.append(ev.WORKSHOP, [OPENED])
    assert place.keep_up(shop) is not None


@pytest.mark.parametrize("back", ["2026-10-25T02:10:00.000+01:00", "2026-10-25T01:30:00.000+02:00"])
def test_a_batch_that_ended_after_the_clock_went_back_is_copied(shop, place, back):
    """In the hour that comes twice (DST), or by hand."""
    shop.wall = lambda: "2026-10-25T02:50:00.000+02:00"
    assert place.keep_up(shop) is not None
    shop.wall = lambda: back
    made_and_abandoned(shop, "b-of-the-second-hour")
    assert place.keep_up(shop) is not None
    assert place.keep_up(shop) is None


def test_they_stay_bounded_and_nobody_elses_file_is_touched(shop, place, days):
    others = [place.folder / "photo.jpg", place.folder / "journal-00000000-20250101T000000-7.sqlite"]
    for file in others:
        file.write_text("somebody's")
    for n in range(40):
        days.day = str(date(2026, 1, 1) + timedelta(days=10 * n))
        shop.append(ev.WORKSHOP, [OPENED])
        assert place.keep_up(shop) is not None
    copies = place.copies(chain(shop))
    assert place.keep <= len(copies) <= place.keep + MONTHS
    assert copies[-1].day == date.fromisoformat(days.day)
    assert all(head_beside(c.path).is_file() for c in copies)
    assert len(list(place.folder.iterdir())) == 2 * len(copies) + len(others) + 1
    assert all(file.read_text() == "somebody's" for file in others)


@given(days=st.lists(st.integers(0, 1200), unique=True, max_size=60).map(sorted), keep=st.integers(1, 20))
def test_the_newest_and_the_last_of_each_month_of_a_year_stay(days, keep):
    copies = [
        Copy(Path(str(n)), n, f"{date(2026, 1, 1) + timedelta(days=d):%Y%m%d}T090000")
        for n, d in enumerate(days)
    ]
    gone = surplus(copies, keep)
    left = [c for c in copies if c not in gone]
    assert left[-keep:] == copies[-keep:]
    assert len(left) <= keep + MONTHS
    older = [c for c in copies if c not in copies[-keep:]]
    last_months = sorted({c.taken[:6] for c in older})[-MONTHS:]
    assert {c.taken[:6] for c in left if c in older} == set(last_months)


def test_a_place_that_is_not_there_is_never_made_up_for_by_an_empty_folder(shop, place):
    place.keep_up(shop)
    shutil.rmtree(place.folder)
    place.folder.mkdir()  # where a stick was mounted, and is no more
    with pytest.raises(JournalUnavailable, match="is not there"):
        place.keep_up(shop)
    assert list(place.folder.iterdir()) == []


def test_copies_that_lack_events_for_days_are_said_to_be_old(shop, place, days):
    assert "No copy of this journal" in place.behind(shop)
    place.keep_up(shop)
    days.day = "2026-04-01"
    assert place.behind(shop) == "", "they still hold everything"
    shop.append(ev.WORKSHOP, [OPENED])
    assert place.behind(shop).startswith(
        f"The newest copy in {place.folder} is 31 days old, and 1 events came since."
    )


def test_a_copy_taken_while_the_clock_was_ahead_does_not_keep_that_it_is_old_to_itself(shop, place, days):
    days.day = "2031-03-01"
    place.keep_up(shop)
    days.day = "2026-04-01"
    assert place.behind(shop) == "", "it holds everything"
    shop.append(ev.WORKSHOP, [OPENED])
    assert "is dated 2031-03-01, which is still to come, and 1 events came since." in place.behind(shop)


def test_a_copy_that_fails_leaves_the_older_ones_and_no_half_of_itself(shop, place, days, monkeypatch):
    place.keep_up(shop)
    before = sorted(p.name for p in place.folder.iterdir())
    days.day = "2026-03-09"
    shop.append(ev.WORKSHOP, [OPENED])

    def full(to):
        raise JournalUnavailable("The disk is full; make room.")

    monkeypatch.setattr(shop.store, "backup", full)
    with pytest.raises(JournalUnavailable, match="full"):
        place.keep_up(shop)
    assert sorted(p.name for p in place.folder.iterdir()) == before


def test_what_a_power_cut_left_half_written_is_no_copy_and_goes_with_the_next(shop, place, days):
    whole = place.keep_up(shop)
    half = whole.with_name(f"journal-{chain(shop)[:8]}-20260302T090000-7.sqlite.unfinished")
    half.write_bytes(b"SQLite")
    assert len(place.copies(chain(shop))) == 1
    days.day = "2026-03-09"
    shop.append(ev.WORKSHOP, [OPENED])
    place.keep_up(shop)
    assert not half.exists()
    assert len(place.copies(chain(shop))) == 2


def test_the_bench_page_keeps_the_head_as_the_screen_of_a_tablet_is_never_closed(shop, tmp_path):
    service = BenchService(shop, None, "Mara Lind", folder=tmp_path / "data")
    service.facts()
    shop.append(ev.WORKSHOP, [OPENED])
    assert not any("head" in one.said for one in service.facts().matters)
    kept, unread = head_file().known()
    with shop.reading() as c:
        assert (kept[-1], unread) == (head_now(c, kept[-1].wall, kept[-1].folder), 0)
        assert (len(kept), missing_of(c, kept)) == (2, ())
    shutil.rmtree(head_file().path.parent)
    head_file().path.parent.write_text("a file where the folder ought to be")
    assert any("head is not kept" in one.said for one in service.facts().matters)


@pytest.mark.skipif(not UNREADABLE.exists(), reason="no file here refuses to be read")
def test_a_plan_that_cannot_be_read_is_said_on_every_page_and_made_anew(shop, tmp_path):
    """As where root wrote it: the bench page did not come up any more."""
    data, stick = tmp_path / "data", tmp_path / "stick"
    (data / "backups.json").symlink_to(UNREADABLE)
    said = [one.said for one in BenchService(shop, None, "Mara Lind", folder=data).facts().matters]
    assert any("backups.json cannot be read" in one for one in said)
    assert "backups.json cannot be read" in copy_places(shop, data).wrong
    assert "backups.json cannot be read" in command("batches", "--data", str(data)).stderr
    begin_copies(shop, data, stick)
    assert backup_plan_in(data).folder == copy_places(shop, data).now == str(stick)


def test_the_bench_page_copies_and_says_what_is_wrong(shop, tmp_path, days):
    data, stick = tmp_path / "data", tmp_path / "stick"
    service = BenchService(shop, None, "Mara Lind", folder=data)
    assert not any(one.settled_at == "copies" for one in service.facts().matters)
    said = command("backup", "--into", str(stick), "--data", str(data))
    assert said.returncode == 0, said
    plan = backup_plan_in(data)
    assert (plan.folder, plan.keep) == (str(stick), 14)
    days.day = "2026-03-20"
    shop.append(ev.WORKSHOP, [OPENED])
    before = len(list(stick.glob("*.sqlite")))
    service.facts()
    assert len(list(stick.glob("*.sqlite"))) == before + 1
    (stick / MARK).unlink()
    assert any("is not there" in one.said for one in service.facts().matters)
    assert "is not there" in command("batches", "--data", str(data)).stderr
    assert command("backup", "--no-more", "--data", str(data)).returncode == 0
    assert not any(one.settled_at == "copies" for one in service.facts().matters)


@pytest.mark.parametrize("words", [(), ("copy.sqlite", "--no-more"), ("--into", "x", "--keep", "0")])
def test_a_command_that_says_too_little_or_too_much_is_a_sentence(shop, tmp_path, words):
    assert command("backup", *words, "--data", str(tmp_path / "data")).returncode == 3


def test_a_copy_that_does_not_fit_takes_no_room_and_the_next_one_is_whole(shop, place):
    with room_for(20_000), pytest.raises(JournalUnavailable):
        place.keep_up(shop)
    assert [p.name for p in place.folder.iterdir()] == [MARK]
    copy = place.keep_up(shop)
    assert {p.name for p in place.folder.iterdir()} == {MARK, copy.name, head_beside(copy).name}
