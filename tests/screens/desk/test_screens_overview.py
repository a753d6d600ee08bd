"""All benches on the glass: what is wrong first, looked at again by itself, and the way to one of them and its batch."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchapp import events as ev
from benchapp.record.elsewhere import BenchElsewhere, Conflict, Elsewhere
from benchapp.record.journal import Journal

BATCH = "20260301-tide-pool-gel-W-1"


class Others(Elsewhere):
    """What a workshop of two benches knows, as far as the overview asks for it; one make is on the way."""

    shared = True

    def __init__(self):
        self.lacking = 0

    def benches(self):
        west = BenchElsewhere(
            "west", "W", False, "2026-03-01T08:00:00.000+00:00", self.lacking, "", (BATCH,), ()
        )
        return (BenchElsewhere("office", "O", True, "", 0, "", (), ()), west)

    def conflicts(self):
        return (
            Conflict("Lot E-oil-1: 4 g more went out than came in.", "E-oil-1"),
            Conflict("Count it again."),
        )


@pytest.fixture
def journal(journal):
    from procedures.reading import read_procedure
    from procedures.shelf import find

    gel = read_procedure(find("tide-pool-gel")).procedure
    started = ev.MakeStarted(
        at_s=0.0, batch=BATCH, maker="Jo Tern", procedure=gel.key, procedure_sha256=gel.sha256, procedure_text=gel.text,
        batch_g=500.0, devices=(),
    )  # fmt: skip
    journal.append(BATCH, [started, ev.StepBegan(at_s=1.0, step=gel.steps[2].key)])
    journal.elsewhere = Others()
    return journal


def rows(glass):
    from benchapp.screens.widgets.row_button import RowButton

    found = [w for w in glass.page.walk() if isinstance(w, RowButton)]
    return [tuple(x.replace("\u00a0", " ") for x in (w.caption.text, w._said, w.figure.text)) for w in found]


def test_every_bench_has_a_row_with_the_step_it_is_at(glass, journal):
    glass.overview.overview()
    conflict, second, (west, said, _), (office, idle, heard) = rows(glass)[:4]
    assert (west, office) == ("west", "office"), "where something is made comes first"
    assert ": 3 of " in said
    assert idle == "Nothing is being made"
    assert heard == "this bench"
    assert (conflict[:2], second[0]) == (
        ("Lot E-oil-1", "4 g more went out than came in."),
        "Count it again",
    )


def test_it_is_looked_at_again_by_itself_and_changes_only_where_something_did(glass, journal):
    from benchapp.screens.desk.overview_controller import AGAIN_S

    glass.overview.overview()
    page = glass.page
    page.live(())
    glass.now += AGAIN_S
    page.live(())
    assert glass.page is page, "nothing changed, nothing moves"
    alarm = ev.AlarmRaised(at_s=2.0, kind="hot", text="The gel pot is at 60 °C.", vessel="gel-pot")
    journal.append(BATCH, [alarm])
    page.live(())
    assert glass.page is page, "not before it is time"
    glass.now += AGAIN_S
    page.live(())
    (west, said, heard), *_ = rows(glass)
    assert (west, said, heard) == ("west", "The gel pot is at 60 °C.", "just now"), "before all others"
    assert glass.page.rows_shown[0].calls


def test_a_row_leads_to_its_bench_and_on_to_the_batch(glass, journal):
    from benchapp.screens.widgets.row_button import RowButton

    glass.overview.overview()
    next(w for w in glass.page.walk() if isinstance(w, RowButton) and w.caption.text == "west").act()
    ((made, doing, _),) = rows(glass)
    assert made.endswith("500 g")
    assert doing.endswith("By Jo Tern")
    glass.page.rows_shown[0].act()
    assert BATCH in glass.words()


def test_a_bench_that_is_gone_leads_back_to_all(glass, journal):
    from benchapp.screens.desk.overview_pages import OverviewPage

    glass.overview.bench("nowhere")
    assert isinstance(glass.page, OverviewPage)


def test_the_office_begins_with_all_benches_and_opens_no_device(window, tmp_path):
    from pilot import Pilot

    from benchapp.screens.desk.overview_pages import OverviewPage

    alone = Journal(tmp_path / "office", lambda: "2026-03-01T09:00:00.000+01:00")
    pilot = Pilot(alone, folder=tmp_path, office=True)
    try:
        assert isinstance(pilot.page, OverviewPage)
        assert pilot.app.bench.monitor is None
        pilot.press("Past batches")
        pilot.press("Back")
        assert isinstance(pilot.page, OverviewPage), "every way back leads here"
    finally:
        pilot.close()
        alone.close()


def test_where_there_is_no_workshop_the_page_says_so(window):
    from laid_out import Nobody

    from benchapp.screens.desk.overview_pages import BetweenBenches, OverviewPage, rooms_of
    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.screens.widgets.pager import Paging

    rooms = rooms_of(Nobody())
    page = OverviewPage(
        Sizes.of(PANELS[3], False), (), BetweenBenches(), print, Paging(print), (), rooms=rooms
    )
    assert [row.label for row in page.rows_shown] == ["Recipes", "Lots", "To release", "Past batches"]
    assert any("How one joins" in w.text for w in page.texts)


def calling(benches):
    return tuple(one for one in benches if one.alarms)


def test_many_that_call_stand_under_what_has_to_be_done_there_the_hottest_first(window):
    """All nine on one page at ten inches: the deed of the most dangerous first, each with its pot and how hot that is."""
    from page_samples import benches_now, nine_that_call

    from benchapp.screens.desk.alarms_page import AlarmsPage, by_name
    from benchapp.screens.display.sizes import TEN_INCH, Sizes
    from benchapp.screens.widgets.pager import Paging

    benches = calling(nine_that_call(benches_now()[0]))
    page = AlarmsPage(Sizes.of(TEN_INCH), benches, print, Paging(print, print), print)
    assert [text.text for text in page.texts] == [
        "9 alarms, gravest first",
        "Turn the heat down, lift the pot out with a dry cloth",
        "Switch the heat off, see whether the bath has run dry",
    ]
    assert [card.label[-1] for card in page.cards] == ["1", "5", "4", "9", "8", "2", "3", "6", "7"], (
        "the hottest first"
    )
    assert (page.cards[0].figure, page.cards[0].detail) == ("92 °C", "water pot too hot\njust now")
    assert (page.cards[-1].figure, page.cards[-1].detail) == ("64 °C", "oil pot not warming\njust now")
    assert sorted(("bench 10", "bench 9", "2", "bench"), key=by_name) == ["bench", "bench 9", "bench 10", "2"]


def test_each_of_many_that_call_can_be_reached_on_every_glass_under_its_deed(window):
    from page_samples import benches_now, nine_that_call

    from benchapp.screens.desk.alarms_page import AlarmsPage
    from benchapp.screens.display.sizes import PANELS, Sizes
    from benchapp.screens.widgets.button import TouchButton
    from benchapp.screens.widgets.pager import Paging

    benches = calling(nine_that_call(benches_now()[0]))
    for panel in PANELS:
        seen, number, later = [], 0, True
        while later:
            page = AlarmsPage(Sizes.of(panel), benches, print, Paging(print, print, number), print)
            heads = [text.text for text in page.texts if text.text.endswith(("dry cloth", "run dry"))]
            assert heads, "each page says what has to be done"
            assert len(page.cards) >= 3
            seen += [card.label for card in page.cards]
            presses = [w.caption.text for w in page.walk() if isinstance(w, TouchButton)]
            later = [text for text in presses if "more alarm" in text]
            assert [text.split()[0] for text in later] == ([str(9 - len(seen))] if len(seen) < 9 else [])
            number += 1
        assert sorted(seen) == sorted(one.bench for one in benches), panel.name


def test_a_pot_of_which_nothing_is_known_is_said_in_the_words_of_its_bench(window):
    from page_samples import benches_now

    from benchapp.screens.desk.alarms_page import grouped

    (west,) = calling(benches_now()[0])
    make = replace(west.makes[0], wrong=("The probe of the oil pot is open. Look at it.",))
    (heading,) = grouped([replace(west, makes=(make,))], print).items()
    assert heading[0] == "Look what is wrong there"
    assert heading[1][0].detail == "The probe of the oil pot is open\n3 min ago"


def test_many_that_call_lead_to_the_others_which_say_how_many_call(glass, journal):
    from page_samples import benches_now, nine_that_call

    found = tuple(nine_that_call(benches_now()[0]))
    glass.overview._show(0, (found, (), ""))
    assert "9 alarms" in glass.words()
    assert "south" not in glass.words(), "those that do not call are one press away"
    glass.overview._show_all(0, glass.overview.others, glass.overview.overview, "Back", (found, (), ""))
    assert glass.words().startswith("The other benches 9 alarms")
    assert not any(row.calls for row in glass.page.rows_shown)
