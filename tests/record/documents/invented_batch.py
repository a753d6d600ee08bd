"""A three-hour make of the hand lotion with everything a record can hold. All of it invented for the demo."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from benchapp import events as ev
from benchapp.record.batch_record import Record
from benchapp.record.chain import GENESIS, link, text_of
from benchapp.record.drawing_up import record_of
from benchapp.record.lots import Lot, received
from benchapp.record.stored_event import StoredEvent
from benchapp.service.procedure_facts import procedure_facts
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find
from procedures.steps import Weigh

BATCH = "20260302-oat-hand-lotion-1"
BEGUN = datetime.fromisoformat("2026-03-02T08:30:00+01:00")
MEASURED, STATED, COMPUTED = ev.Source.MEASURED, ev.Source.STATED, ev.Source.COMPUTED
DEVICES = (
    ev.DeviceFacts("bench scale", "scale", ("mass",), 0.1, 3000.0, "2026-03-02T08:05:00+01:00"),
    ev.DeviceFacts("fine scale", "scale", ("mass",), 0.01, 200.0, "2026-03-02T08:07:00+01:00"),
    ev.DeviceFacts("thermometer", "thermometer", ("probe 1", "probe 2"), None, None, ""),
)


def lotion() -> Procedure:
    """The shipped hand lotion."""
    return read_procedure(find("oat-hand-lotion")).procedure


def stored_from(events: Sequence[ev.Event], batch: str = BATCH, begun: datetime = BEGUN) -> list[StoredEvent]:
    """Events as they would lie in a journal of their own, chained; the wall clock follows the make's own time."""
    found, prev = [], GENESIS
    for n, event in enumerate(events, 1):
        wall = (begun + timedelta(seconds=event.at_s)).isoformat(timespec="milliseconds")
        digest = link(prev, text_of(batch, n, wall, event))
        found.append(StoredEvent(n, batch, n, wall, event, digest))
        prev = digest
    return found


def lots() -> dict[str, Lot]:
    """One lot of every line, known to the workshop."""
    return {
        f"LT-{key[:8]}": received(ev.LotReceived(
            at_s=0.0, lot=f"LT-{key[:8]}", material=key, name=x.name, supplier="Saltmarsh Supply (invented)",
            supplier_lot=f"SM{len(key):03d}", quantity=5000.0, unit="g", received="2026-02-01",
            expires="2027-01-31",
        ))
        for key, x in procedure_facts(lotion()).lines.items()
    }  # fmt: skip


def record(*more: ev.Event, rehearsal: bool = False, **first: object) -> Record:
    """The record of the invented batch, with more events at its end."""
    found = events(rehearsal, **first)
    return record_of(stored_from([*found, *more]), procedure_facts(lotion()), lots())


def events(rehearsal: bool = False, **first: object) -> list[ev.Event]:
    """Everything that happened."""
    procedure = lotion()
    started = ev.MakeStarted(
        at_s=0.0, batch=BATCH, maker="Mara Lind", procedure=procedure.key, procedure_sha256=procedure.sha256,
        procedure_text=procedure.text, batch_g=500.0, devices=DEVICES, rehearsal=rehearsal, role="maker",
    )  # fmt: skip
    started = replace(started, **first)  # type: ignore[arg-type]
    steps = {s.kind: s.key for s in procedure.steps}
    found: list[ev.Event] = [started, *_prepared(steps["prepare"]), *_weighed(procedure)]
    found += [*_heated(steps), *_cooled(steps), *_finished(steps)]
    return sorted(found, key=lambda e: e.at_s)


def _prepared(step: str) -> list[ev.Event]:
    return [
        ev.StepBegan(at_s=5, step=step),
        ev.CautionShown(at_s=5, step=step, caution="fire"),
        ev.CautionAcknowledged(at_s=20, step=step, caution="fire"),
        ev.Confirmed(at_s=60, step=step, act="task 1", text="Wash, rinse and dry pots and tools."),
        ev.Confirmed(
            at_s=120, step=step, act="sanitise", text="70 % isopropyl alcohol stayed wet for 1 min."
        ),
        ev.StepFinished(at_s=130, step=step),
    ]


def _weighed(procedure: Procedure) -> list[ev.Event]:
    found: list[ev.Event] = []
    at_s = {"water": 150.0, "gum slurry": 400.0, "oil": 900.0, "cool-down": 8200.0}
    for step in (s for s in procedure.steps if isinstance(s, Weigh)):
        now = at_s[step.phase]
        found.append(ev.StepBegan(at_s=now, step=step.key))
        for key in step.lines:
            now += 45
            line = next(x for x in procedure.formula.lines if x.key == key)
            target = line.percent * 5
            device = "fine scale" if step.scale == "fine" else "bench scale"
            found += [
                ev.LotTaken(
                    at_s=now - 20,
                    step=step.key,
                    act=f"lot {key}",
                    line=key,
                    material=key,
                    lot=f"LT-{key[:8]}",
                    how="scanned",
                ),
                ev.WeightTaken(
                    at_s=now,
                    step=step.key,
                    act=f"pour {key}",
                    line=key,
                    vessel=step.vessel,
                    target_g=target,
                    low_g=round(target * 0.98, 3),
                    high_g=round(target * 1.02, 3),
                    net_g=1.62
                    if key == "vitamin-e"
                    else round(target * 1.003, 2 if device == "fine scale" else 1),
                    gross_g=400 + target,
                    source=MEASURED,
                    device=device,
                    checked=True,
                ),
            ]
        found.append(ev.StepFinished(at_s=now + 5, step=step.key))
    return found


def _heated(steps: dict[str, str]) -> list[ev.Event]:
    heat, found = steps["heat"], []
    found.append(ev.StepBegan(at_s=1400, step=heat))
    for at in range(1400, 3900, 15):
        rise = 1 - math.exp(-(at - 1400) / 700)
        temps = (("water-pot", round(21 + 52 * rise, 1)), ("oil-pot", round(21 + 52.5 * rise**1.15, 1)))
        found.append(ev.TemperaturesLogged(at_s=float(at), step=heat, temps_c=temps, source=MEASURED))
    return [
        *found,
        ev.BandEntered(at_s=3230.0, step=heat, vessel="water-pot", temp_c=70.0),
        ev.BandEntered(at_s=3290.0, step=heat, vessel="oil-pot", temp_c=70.0),
        ev.HoldProgressed(at_s=3880.0, step=heat, held_s=600.0, coldest_c=70.4),
        ev.MakeHeld(at_s=3300.0, reason="the doorbell"),
        ev.HoldEnded(at_s=3345.0, held_s=45.0),
        ev.StepFinished(at_s=3895, step=heat),
        ev.StepBegan(at_s=3900, step=steps["top up"]),
        ev.WaterLost(at_s=3930, step=steps["top up"], vessel="water-pot", lost_g=14.2, lines=("purified-water",), source=MEASURED),
        ev.WeightTaken(
            at_s=3960, step=steps["top up"], act="pour water", line="purified-water", vessel="water-pot", target_g=14.2,
            low_g=13.8, high_g=14.6, net_g=14.1, gross_g=810.0, source=MEASURED, device="bench scale", checked=True,
            lot="LT-purified",
        ),
        ev.StepFinished(at_s=3965, step=steps["top up"]),
        ev.StepBegan(at_s=3970, step=steps["combine"]),
        ev.MassMoved(at_s=4050, step=steps["combine"], origin="oil-pot", into="water-pot", mass_g=87.1, left_g=0.4, source=MEASURED),
        ev.StepFinished(at_s=4050, step=steps["combine"]),
        ev.StepBegan(at_s=4060, step=steps["blend"]),
        ev.BurstDone(at_s=4100, step=steps["blend"], number=1, seconds=40.0),
        ev.StepFinished(at_s=4300, step=steps["blend"]),
    ]  # fmt: skip


def _cooled(steps: dict[str, str]) -> list[ev.Event]:
    cool, found = steps["cool"], []
    found.append(ev.StepBegan(at_s=4300, step=cool))
    for at in range(4300, 8150, 30):
        temp = round(20 + 48 * math.exp(-(at - 4300) / 4200), 1)
        found.append(ev.TemperaturesLogged(at_s=float(at), step=cool, temps_c=(("water-pot", temp),), source=MEASURED))  # fmt: skip
    return [*found, ev.StepFinished(at_s=8150, step=cool)]


def _finished(steps: dict[str, str]) -> list[ev.Event]:
    ph, fill, end = steps["measure ph"], steps["fill"], steps["finish"]
    vitamin = "A drop more vitamin E than its band allows: 1.62 g, band 1.47 to 1.53 g."
    return [
        ev.RemedyChosen(at_s=8500, step=steps["weigh"], act="pour vitamin-e", line="vitamin-e", remedy=ev.Remedy.ACCEPT, reason="far from every ceiling"),
        ev.DeviationNoted(at_s=8500, number=1, grade=ev.Grade.MINOR, kind="weight out of band", step=steps["weigh"], text=vitamin),
        ev.StepBegan(at_s=9000, step=ph),
        ev.SampleTaken(at_s=9010, step=ph, vessel="water-pot", mass_g=10.0, what="pH", source=STATED),
        ev.PhTaken(at_s=9080, step=ph, ph=6.02, temp_c=22.5, diluted=True, source=STATED, device="", in_band=False),
        ev.WeightTaken(
            at_s=9140, step=ph, act="dose", line="citric-acid-solution-10", vessel="water-pot", target_g=1.2, low_g=1.15,
            high_g=1.25, net_g=1.21, gross_g=None, source=MEASURED, device="fine scale", checked=True, lot="LT-citric-a",
        ),
        ev.PhTaken(at_s=9260, step=ph, ph=5.48, temp_c=22.4, diluted=True, source=STATED, device="", in_band=True),
        ev.StepFinished(at_s=9270, step=ph),
        ev.LookJudged(at_s=9300, step=steps["look"], name="Smell", expect="Light and fresh", as_expected=True, words=""),
        ev.NumberTaken(at_s=9400, step=steps["density"], act="density", what="density", value=0.97, unit="g/ml", source=COMPUTED),
        ev.StepBegan(at_s=9500, step=fill),
        *(
            ev.BottleFilled(at_s=9500 + 60 * n, step=fill, vessel="water-pot", number=n, net_g=97.0 + n / 10, low_g=97.0, target_g=97.291, source=MEASURED)
            for n in range(1, 5)
        ),
        ev.SampleTaken(at_s=9800, step=fill, vessel="water-pot", mass_g=83.8, what="short last container", source=MEASURED),
        ev.StepFinished(at_s=9810, step=fill),
        ev.StepBegan(at_s=10700, step=end),
        ev.Signed(at_s=10790, step=end, who="Mara Lind", meaning="made as recorded", role="maker", proof="pin"),
        ev.StepFinished(at_s=10790, step=end),
        ev.MakeFinished(at_s=10790, product_g=472.8, yield_percent=94.56),
    ]  # fmt: skip


def after() -> list[ev.Event]:
    """What the workshop wrote about it in the days that followed."""
    day = 86_400.0
    return [
        ev.LabelsPrinted(at_s=10_900, pieces=5, approved="a" * 64, by="Mara Lind"),
        ev.PiecesUsed(at_s=10_950, lot="LT-bottles", material="bottle-100", pieces=5, spoiled=1, by="Mara Lind"),
        ev.SampleRetained(at_s=11_000, pieces=1, where="shelf 3", until="2028-09-30", by="Mara Lind"),
        ev.CheckRecorded(at_s=day + 10_790, check="pH after a day", expect="Still within the limits", value=5.51, words="", passed=True, by="Ines Varga"),
        ev.DeviationClosed(at_s=day + 11_000, number=1, reason="no ceiling touched", by="Ines Varga"),
        ev.BatchDecided(at_s=day + 11_100, decision="released", reason="all checks passed", by="Ines Varga", role="releaser"),
        ev.Dispatched(at_s=2 * day, first=1, last=2, to="The Harbour Shop (invented)", on="2026-03-04", note="D-17", by="Mara Lind"),
    ]  # fmt: skip
