"""All benches at a glance: the live step of each make, what is wrong, how long still, and what waits, from the chains alone."""

from __future__ import annotations

import sqlite3
from dataclasses import replace

import pytest
from acting import begun_rehearsal
from benches import add
from test_replication_office import exchanged
from workshop_days import FINISHED, filled, started

from benchapp import events as ev
from benchapp.service.bench_service import BenchService
from benchapp.service.desk import Desk

BATCH = "20261128-lotion-W-1"


@pytest.fixture
def three(benches, workshop):
    add(workshop, "office", "O")
    found = [benches(name) for name in ("east", "west", "office")]
    for bench in found:
        bench.know()
    exchanged(*found)
    return found


def step(key, at_s):
    return ev.StepBegan(at_s=at_s, step=key)


def seen(bench, role):
    """A bench as another's desk sees it."""
    (found,) = (one for one in Desk(bench.journal.everywhere).benches() if one.bench == role)
    return found


def test_the_live_step_of_a_make_on_another_bench_is_seen_with_what_is_wrong(three, workshop, lotion):
    _, west, office = three
    begun = ev.MakeStarted(
        **{**ev.to_fields(started(BATCH))[1], "procedure_text": lotion.text, "devices": ()}
    )
    keys = [s.key for s in lotion.steps]
    west.journal.append(BATCH, [begun, step(keys[0], 10.0), ev.StepFinished(at_s=60.0, step=keys[0])])
    west.journal.append(BATCH, [step(keys[1], 61.0)])
    exchanged(*three)
    for bench in three:
        one = seen(bench, workshop.role("west"))
        (make,) = one.makes
        assert (make.step, make.number, make.steps) == (lotion.steps[1].title, 2, len(keys))
        assert (make.batch, make.product, make.maker) == (BATCH, lotion.name, "Mara Lind")
        assert (make.until, make.left, one.wrong) == (None, "", ()), "no earlier make says how long it takes"
        assert make.as_of == west.wall.now
    alarm = ev.AlarmRaised(at_s=70.0, kind="too hot", text="The water pot is at 96 °C.", vessel="water pot")
    lost = ev.DeviceLost(at_s=71.0, device="big", fault="gone", text="The bench scale does not answer.")
    west.journal.append(BATCH, [alarm, lost, ev.MakeHeld(at_s=72.0, reason="the door")])
    exchanged(*three)
    assert seen(office, workshop.role("west")).wrong == (
        "The water pot is at 96 °C.", "The bench scale does not answer.", "Oat and sea-buckthorn hand lotion is held: the door",
    )  # fmt: skip
    west.journal.append(
        BATCH,
        [
            ev.AlarmCleared(at_s=80.0, kind="too hot", how="off the heat"),
            ev.DeviceReturned(at_s=81.0, device="big"), ev.HoldEnded(at_s=82.0, held_s=10.0),
        ],
    )  # fmt: skip
    exchanged(*three)
    assert seen(office, workshop.role("west")).wrong == ()


def test_the_bench_that_is_hottest_above_its_band_comes_first_and_one_that_is_silent_for_days_is_named(
    three, workshop
):
    east, west, office = three
    for bench, name, temps in ((east, "E", (86.0,)), (west, "W", (85.5, 91.0))):
        batch = f"20261128-lotion-{name}-1"
        begun = ev.ExcursionBegan(
            at_s=50.0, step="04-heat", vessel="pot", side="above", limit_c=75.0, temp_c=75.2
        )
        alarm = ev.AlarmRaised(at_s=60.0, kind="too hot", text="Hot.", vessel="pot")
        logged = [
            ev.TemperaturesLogged(at_s=60.0, step="04-heat", temps_c=(("pot", t),), source=ev.Source.MEASURED)
            for t in temps
        ]
        bench.journal.append(batch, [started(batch), step("04-heat", 40.0), begun, alarm, *logged])
    exchanged(*three)
    first, second, last = Desk(office.journal.everywhere).benches()
    assert (first.bench, second.bench) == (workshop.role("west"), workshop.role("east"))
    assert first.danger - second.danger == 5.0
    assert (first.worst.temp_c, second.worst.temp_c) == (91.0, 86.0), "as they were last read"
    assert (first.deed, second.deed, last.deed) == (
        "Turn the heat down, lift the pot out with a dry cloth",
    ) * 2 + ("",)
    assert not any(one.silent for one in (first, second, last))
    office.wall.now = "2099-12-01T10:43:00.000+01:00"  # the server hears by its own clock
    first, second, last = Desk(office.journal.everywhere).benches()
    assert (first.silent, second.silent, last.silent) == (True, True, False), "this bench hears itself"


def by_text(batch, lotion):
    """A make that anybody can read."""
    return replace(started(batch), procedure_text=lotion.text)


def whole_make(batch, lotion, heat_s):
    """From beginning to end: so long at the heat, 30 s in every other step, and signed an hour after that."""
    events, at_s = [by_text(batch, lotion)], 0.0
    for one in lotion.steps:
        events.append(step(one.key, at_s))
        at_s += heat_s if one.kind == "heat" else 3600.0 if one.kind == "finish" else 30.0
        events.append(ev.StepFinished(at_s=at_s, step=one.key))
    return [*events, ev.MakeFinished(at_s=at_s, product_g=480.0, yield_percent=96.0)]


def test_earlier_makes_anywhere_say_how_long_it_still_takes(three, workshop, lotion):
    east, west, office = three
    for n, heat_s in enumerate((600.0, 1000.0, 5000.0), 1):
        batch = f"20261127-lotion-E-{n}"
        east.journal.append(batch, whole_make(batch, lotion, heat_s))
    keys = [one.key for one in lotion.steps]
    n = next(n for n, one in enumerate(lotion.steps) if one.kind == "heat")
    heat, began_s, after_s = keys[n], 30.0 * n, 30.0 * (len(keys) - n - 2)
    west.journal.append(BATCH, whole_make(BATCH, lotion, 600.0)[: 2 * n + 2])
    west.journal.append(BATCH, [ev.Watched(at_s=began_s + 240.0, step=heat)])
    exchanged(*three)
    (make,) = seen(office, workshop.role("west")).makes
    until = make.until
    assert (until.early_s, until.middle_s, until.late_s) == (
        360.0 + after_s,
        760.0 + after_s,
        4760.0 + after_s,
    )
    assert make.left == "about 15 min–1 h 30 left"
    west.journal.append(
        BATCH, [ev.MakeHeld(at_s=began_s + 250.0, reason="the door"), ev.Watched(at_s=9_000.0, step=heat)]
    )
    exchanged(*three)
    (make,) = seen(office, workshop.role("west")).makes
    assert make.until.early_s == until.early_s - 10.0, "what is held is no time at the heat"
    west.journal.append(
        BATCH, [ev.HoldEnded(at_s=9_000.0, held_s=8600.0), ev.Watched(at_s=19_000.0, step=heat)]
    )
    exchanged(*three)
    (make,) = seen(office, workshop.role("west")).makes
    assert make.until.late_s == after_s, "the heat takes longer than ever, and the steps behind it no less"


def test_an_earlier_make_that_cannot_be_read_is_said_and_not_dropped(three, workshop, lotion):
    east, west, _ = three
    earlier = "20261127-lotion-E-1"
    east.journal.append(earlier, whole_make(earlier, lotion, 600.0))
    west.journal.append(BATCH, whole_make(BATCH, lotion, 600.0)[:4])
    exchanged(*three)
    with sqlite3.connect(east.journal.path) as raw:
        raw.execute("DROP TRIGGER event_no_update")
        raw.execute("UPDATE event SET text = '{' WHERE batch = ? AND kind = 'StepFinished'", (earlier,))
    raw.close()
    one = seen(east, workshop.role("west"))
    assert one.makes[0].until is None
    (said,) = one.unread
    assert f"{earlier} cannot be read and foretells nothing" in said
    assert said in "\n".join(Desk(east.journal.everywhere).overview_sheet().notes)


def test_in_the_last_step_it_takes_longer_than_usual_and_to_sign_takes_no_time(three, workshop, lotion):
    east, west, office = three
    east.journal.append("20261127-lotion-E-1", whole_make("20261127-lotion-E-1", lotion, 600.0))
    *most, clean, _ = lotion.steps
    walked = [
        one
        for one in whole_make(BATCH, lotion, 600.0)[1:]
        if getattr(one, "step", "") in {x.key for x in most}
    ]
    west.journal.append(BATCH, [by_text(BATCH, lotion), *walked, step(clean.key, 2000.0)])
    west.journal.append(BATCH, [ev.Watched(at_s=2100.0, step=clean.key)])
    exchanged(*three)
    (make,) = seen(office, workshop.role("west")).makes
    assert (make.until.makes, make.left) == (1, "longer than usual")
    west.journal.append(
        BATCH, [ev.StepFinished(at_s=2100.0, step=clean.key), step(lotion.steps[-1].key, 2100.0)]
    )
    exchanged(*three)
    assert seen(office, workshop.role("west")).makes[0].left == ""


def test_what_waits_and_what_never_came_stands_with_its_bench(three, workshop):
    _, west, office = three
    west.journal.append(BATCH, [started(BATCH), filled(1), FINISHED])
    exchanged(*three)
    one = seen(office, workshop.role("west"))
    assert (one.makes, one.waiting) == ((), (BATCH,))
    assert one.waits == "one batch waits for a decision, one check is due", "what it has to be cannot be read"
    assert one.heard.startswith("last heard just now, ")
    assert seen(office, workshop.role("office")).heard == "this bench"
    add(workshop, "south", "S")
    office.sync()
    assert seen(office, workshop.role("south")).heard == "no word yet"


def test_a_rehearsal_that_was_left_is_not_being_made(three, workshop, lotion):
    _, west, office = three
    rehearsal = begun_rehearsal(west.journal, lotion)
    batch = rehearsal.session.batch
    rehearsal.close()
    exchanged(*three)
    assert [make.batch for make in seen(office, workshop.role("west")).makes] == [batch]
    office.wall.now = "2026-11-28T13:42:00.000+01:00"
    assert seen(office, workshop.role("west")).makes == ()


def test_the_sheet_and_the_page_say_the_same(three, workshop):
    _, west, office = three
    west.journal.append(BATCH, [started(BATCH), step("04-heat", 50.0)])
    exchanged(*three)
    desk = Desk(office.journal.everywhere)
    sheet = desk.overview_sheet()
    row = next(row for row in sheet.rows if row[0].startswith(workshop.role("west")))
    assert row[1:3] == ("oat-hand-lotion, 500 g", "04-heat")
    shop = BenchService(
        office.journal, None, "Mara Lind", folder=office.folder, workshop=lambda: "Workshop: fine."
    )
    assert shop.standing() == ("Workshop: fine.", ())
    (make,) = seen(office, workshop.role("west")).makes
    assert (make.product, make.batch_g, make.maker, make.doing) == (
        "oat-hand-lotion",
        500.0,
        "Mara Lind",
        "04-heat",
    )


def test_a_bench_alone_has_no_others(benches):
    east = benches("east", joined=False)
    desk = Desk(east.journal.everywhere)
    assert desk.benches() == ()
    assert "stands alone" in desk.overview_sheet().head[0]
