"""After the make, on the glass: a check that is due, a release signed by PIN, a lot followed, the same made again."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.record.pins import hashed
from benchapp.record.workshop import Workshop

PIN = "4826"
TEXT = "tide-pool-gel"


class Desk:
    """The ways of the desk with every errand run at once, and the page that is shown."""

    def __init__(self, shop, panel, sizes):
        from benchapp.screens.ways import Ways

        class At(Ways):
            def show(self, screen):
                self.page = screen

            def fetch(self, work, then, what=""):
                then(work(shop))

            def home(self):
                self.page = None

            def begin(self, key, batch_g):
                self.begun = (key, batch_g)

        self.ways, self.shop = At(), shop
        self.ways.panel, self.ways.sizes = panel, sizes

    def labels(self):
        from benchapp.screens.parts import Press

        return {w.label: w for w in self.ways.page.walk() if isinstance(w, Press)}

    def press(self, label):
        found = [w for text, w in self.labels().items() if text == label or text.startswith(label)]
        assert found, f"{label!r} is not on the glass: {sorted(self.labels())}"
        found[0].act()

    def words(self):
        from benchapp.screens.parts import Words

        return " ".join(w.text for w in self.ways.page.walk() if isinstance(w, Words))


@pytest.fixture
def journal(journal):
    """A finished batch of a gel, weighed from a lot; a releaser. Invented for the demo."""
    from procedures.reading import read_procedure
    from procedures.shelf import find

    shop = Workshop(journal)
    procedure = read_procedure(find(TEXT)).procedure
    salt = b"0123456789abcdef"
    shop.add(
        ev.PersonEnrolled(
            at_s=0.0,
            who="Mara Lind",
            roles=("maker", "releaser"),
            pin=hashed(PIN, lambda n: salt[:n]),
            by="Mara Lind",
        )
    )
    shop.receive(
        ev.LotReceived(at_s=0.0, lot="W1", material="purified-water", name="Purified water", supplier="Harbour Supplies",
                       supplier_lot="H-1", quantity=5000.0, unit="g", received="2026-01-10")
    )  # fmt: skip
    started = ev.MakeStarted(
        at_s=0.0, batch="b1", maker="Mara Lind", procedure=TEXT, procedure_sha256=procedure.sha256, procedure_text=procedure.text,
        batch_g=500.0, devices=(),
    )  # fmt: skip
    line = procedure.formula.lines[0].key
    journal.append("b1", [
        started,
        ev.WeightTaken(at_s=1.0, step="02-weigh", act="pour", line=line, vessel="gel-pot", target_g=250.0, low_g=245.0, high_g=255.0,
                       net_g=250.0, gross_g=None, source=ev.Source.STATED, device="", checked=False, lot="W1"),
        ev.DeviationNoted(at_s=2.0, number=1, grade=ev.Grade.NOTE, kind="held", step="02-weigh", text="Held for 2 min."),
        ev.MakeFinished(at_s=3.0, product_g=290.0, yield_percent=96.7),
    ])  # fmt: skip
    return journal


@pytest.fixture
def desk(window, journal, tmp_path):
    from benchapp.screens.panel import PANELS, Sizes
    from benchapp.service.bench_service import BenchService

    panel = PANELS[0]
    return Desk(BenchService(journal, None, "Mara Lind", folder=tmp_path), panel, Sizes.of(panel, False))


def type_pin(desk, pin=PIN):
    for digit in pin:
        desk.press(digit)
    desk.press("Sign")


def test_a_batch_that_is_not_yet_due_is_not_released(desk):
    desk.ways.release("b1")
    assert "Release it" not in desk.labels()
    assert "is not due before" in desk.words()


def test_it_is_rejected_with_a_reason_and_a_pin(desk, journal):
    desk.ways.release("b1")
    desk.press("Reject it")
    desk.press("Its pH left the limits")
    assert PIN not in desk.words()
    type_pin(desk)
    assert desk.words().startswith("b1 is rejected.")
    (decided,) = [e for e in journal.events("b1") if isinstance(e, ev.BatchDecided)]
    assert (decided.decision, decided.by) == ("rejected", "Mara Lind")
    assert "Its pH left the limits" in decided.reason


def test_a_wrong_pin_decides_nothing(desk, journal):
    desk.ways.release("b1")
    desk.press("Reject it")
    desk.press("Its pH left the limits")
    type_pin(desk, "4827")
    assert not [e for e in journal.events("b1") if isinstance(e, ev.BatchDecided)]
    desk.press("Back")
    assert "Reject it" in desk.labels()


def test_the_pin_is_never_on_the_glass_and_a_short_one_is_not_sent(desk, journal):
    desk.ways.release("b1")
    desk.press("Work it over")
    desk.press("Its pH is set anew")
    desk.press("4")
    desk.press("8")
    desk.press("Sign")
    assert "• •" in desk.words()
    assert not [e for e in journal.of_kinds([ev.PinRefused], ev.WORKSHOP)]


def test_a_lot_is_followed_to_its_batch_and_back(desk):
    desk.ways.past()
    desk.press("Lots")
    desk.press("Purified water, lot W1: 4 750.0 g")
    assert "b1: 250.0 g" in desk.words()
    desk.ways.batch("b1")
    desk.press("What is in it")
    assert "Purified water: 250.0 g of lot W1, Harbour Supplies H-1" in desk.words()


def test_the_same_is_planned_again_in_the_same_size(desk):
    desk.ways.batch("b1")
    desk.press("Make this again")
    assert "500 g" in desk.words()
    desk.press("Begin")
    assert desk.ways.begun == (TEXT, 500.0)


def test_a_chart_wants_three_batches(desk):
    desk.ways.batch("b1")
    desk.press("The trend of its yield")
    assert "at least three finished batches" in desk.words()


def test_what_waits_for_release_names_what_is_missing(desk):
    desk.ways.past()
    desk.press("To release")
    assert any(label.startswith("b1: ") for label in desk.labels())


def test_no_way_is_lost_where_there_is_much_to_read(desk):
    """On every panel, at the largest text, with more checks and deviations than fit."""
    from dataclasses import replace

    from benchapp.screens import desk as pages
    from benchapp.screens.panel import PANELS, Sizes

    facts = desk.shop.desk().batch("b1")
    facts = replace(
        facts, deviations=tuple(f"{n}, note, open: something that takes a line or two" for n in range(30))
    )
    for panel in PANELS:
        desk.ways.page = pages.batch_page(panel, Sizes.of(panel, True), facts, desk.ways)
        assert {"Beside another batch", "The trend of its yield", "Release", "Make this again"} <= set(
            desk.labels()
        )


def test_a_rehearsal_says_why_it_has_no_lots(desk, journal):
    started = journal.events("b1")[0]
    from dataclasses import replace

    journal.append("b2", [replace(started, batch="b2", rehearsal=True)])
    desk.ways.trace_batch("b2")
    assert "A rehearsal draws from no lot" in desk.words()
