"""Days in the demo workshop "Low Tide Bench", as events: lots received, batches made. All of it invented for the demo."""

from __future__ import annotations

from benchapp import events as ev


class Wall:
    """A wall clock that a test sets; it stands still otherwise."""

    def __init__(self, now="2026-03-01T09:00:00.000+01:00"):
        self.now = now

    def __call__(self):
        return self.now


def delivery(lot, material="sunflower-oil", quantity=1000.0, **more):
    """A lot as it comes in."""
    usual = {
        "at_s": 0.0, "lot": lot, "material": material, "name": material.replace("-", " "),
        "supplier": "Harbour Oils", "supplier_lot": f"S-{lot}", "quantity": quantity, "unit": "g",
        "received": "2026-02-01", "expires": "2027-02-01", "by": "Mara Lind",
    }  # fmt: skip
    return ev.LotReceived(**(usual | more))


def started(batch, maker="Mara Lind", rehearsal=False, **more):
    """A make begins."""
    return ev.MakeStarted(
        at_s=0.0, batch=batch, maker=maker, procedure="oat-hand-lotion", procedure_sha256="0" * 64,
        procedure_text="", batch_g=500.0, devices=(), rehearsal=rehearsal, **more,
    )  # fmt: skip


def in_hand(lot, line="sunflower-oil", step="02-weigh", act="lot", material=""):
    """A lot is picked for a line."""
    return ev.LotTaken(
        at_s=1.0, step=step, act=act, line=line, material=material or line, lot=lot, how="scanned"
    )


def weight(lot, net_g, line="sunflower-oil", act="pour", source=ev.Source.MEASURED):
    """A weighing."""
    return ev.WeightTaken(
        at_s=2.0, step="02-weigh", act=act, line=line, vessel="pot", target_g=net_g, low_g=net_g - 1,
        high_g=net_g + 1, net_g=net_g, gross_g=None, source=source, device="big", checked=True, lot=lot,
    )  # fmt: skip


def filled(number, net_g=100.0):
    """One container."""
    return ev.BottleFilled(
        at_s=3.0, step="09-fill", vessel="pot", number=number, net_g=net_g, low_g=98.0, target_g=100.0,
        source=ev.Source.MEASURED,
    )  # fmt: skip


FINISHED = ev.MakeFinished(at_s=4.0, product_g=480.0, yield_percent=96.0)
RELEASED = ev.BatchDecided(at_s=4.0, decision="released", reason="", by="Mara Lind", role="releaser")


def sent(first, last, to="Pier Shop"):
    """A dispatch note."""
    return ev.Dispatched(at_s=4.0, first=first, last=last, to=to, on="2026-03-04", note="N-7", by="Mara Lind")


def made(journal, batch, lots, containers=4, rehearsal=False):
    """A whole small batch: ``lots`` maps line to (lot, grams)."""
    events = [started(batch, rehearsal=rehearsal)]
    for line, (lot, grams) in lots.items():
        events += [in_hand(lot, line), weight(lot, grams, line)]
    events += [filled(n) for n in range(1, containers + 1)]
    journal.append(batch, [*events, FINISHED])


def a_month(journal):
    """Oil, a jar lot, a premix made here, two batches, one of them released and sent."""
    journal.append(
        ev.WORKSHOP,
        [
            delivery("oil-1"),
            delivery("oil-2", received="2026-02-20"),
            delivery("water-9", "purified-water", 20_000.0, supplier="own still"),
            delivery("jar-3", "jar-100", 200, unit="pieces"),
        ],
    )
    made(journal, "20260302-rose-premix-1", {"sunflower-oil": ("oil-1", 300.0)}, containers=0)
    premix = delivery("pre-1", "rose-premix", 290.0, made_in="20260302-rose-premix-1")
    journal.append(ev.WORKSHOP, [premix])
    lotion = {"purified-water": ("water-9", 380.0), "rose-premix": ("pre-1", 90.0)}
    made(journal, "20260303-oat-hand-lotion-1", lotion)
    jars = ev.PiecesUsed(at_s=4.0, lot="jar-3", material="jar-100", pieces=5, spoiled=1, by="Mara Lind")
    journal.append("20260303-oat-hand-lotion-1", [jars, RELEASED, sent(1, 2), sent(3, 3, "Ida Marsh")])
    made(journal, "20260304-oat-hand-lotion-1", {"sunflower-oil": ("oil-2", 50.0)})


def correction(n, field, new, reason="misread", by="Mara Lind"):
    """That a field of event ``n`` was wrong; what it said before is found by whoever writes it down."""
    return ev.Corrected(at_s=4.0, n=n, field=field, old="", new=new, reason=reason, by=by)
