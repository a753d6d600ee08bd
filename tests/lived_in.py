"""Two months in the demo workshop "Low Tide Bench": three people, a store of lots, eight batches and what became of them.

Written through the real journal and the workshop's own rules, so that pages are looked at with something on them. All of it
invented for the demo.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from acting import WALL
from lived_in_steps import stepped

from benchapp import events as ev
from benchapp.calculations.until_done import PastMake
from benchapp.events.base import DeviceFacts
from benchapp.record import deciding, leaving, stock
from benchapp.record.facts import CheckResult
from benchapp.record.journal import Journal
from benchapp.record.past_makes import past_makes
from benchapp.record.people import Proof
from benchapp.record.pins import hashed
from benchapp.service.desk import Desk
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find

MARA, JO, OLE = "Mara Lind", "Jo Tern", "Ole Brandt"
#: Everybody's in the samples.
PIN = "4826"
SALT = b"0123456789abcdef"
LOTION, GEL, CREAM = "oat-hand-lotion", "tide-pool-gel", "winter-shore-cream"
SUPPLIERS = ("Harbour Supplies", "Quay Oils", "Saltmarsh Herbs")


@dataclass(frozen=True)
class MadeBatch:
    """A batch to be: how many days ago, of what, by whom, how much of it came out (percent), what became of it, and what
    was sent where: (first, last, to, note)."""

    days: int
    procedure: str
    maker: str
    yield_percent: float
    end: str = "finished"
    decision: str = ""
    sent: tuple[tuple[int, int, str, str], ...] = ()
    noted: tuple[tuple[ev.Grade, str, str], ...] = ()  # grade, kind, text
    grams: float = 0.0  # 0: as large as usual


GLYCERIN = "Glycerin: 20.9 g, 19.6 to 20.4 g were wanted. Kept by the maker: no harm at this amount."
#: The oldest first; what is not decided waits, the last stands held in the middle of its make.
BATCHES = (
    MadeBatch(62, LOTION, MARA, 94.6, decision="released", sent=((1, 3, "Pier Shop", "N-1"), (4, 4, "Ida Marsh", "N-2"))),
    MadeBatch(55, GEL, MARA, 96.1, decision="released", sent=((1, 4, "Dune Market", "N-3"),)),
    MadeBatch(47, CREAM, MARA, 93.2, decision="rejected"),
    MadeBatch(33, LOTION, JO, 95.2, decision="released", sent=((1, 2, "Pier Shop", "N-4"),), noted=((ev.Grade.MINOR, "weight", GLYCERIN),)),
    MadeBatch(24, CREAM, MARA, 94.4, decision="released", sent=((1, 6, "Dune Market", "N-5"),)),
    MadeBatch(10, LOTION, MARA, 88.4, noted=((ev.Grade.MINOR, "weight", GLYCERIN), (ev.Grade.NOTE, "held", "Held for 2 min: the telephone."))),
    MadeBatch(3, LOTION, JO, 95.0),
    MadeBatch(0, GEL, JO, 0.0, end=""),
)  # fmt: skip
#: What is weighed on; the fine one what is less than so many grams.
SCALES = (
    DeviceFacts(name="bench scale", kind="scale", channels=("mass",), readability_g=0.1, capacity_g=3000.0),
    DeviceFacts(name="fine scale", kind="scale", channels=("mass",), readability_g=0.01, capacity_g=200.0),
)
FINE_G = 50.0
WAITING_LONGEST, RELEASED = 5, 3  # which of them, for whoever shows one


@functools.cache
def procedure_of(key: str) -> Procedure:
    """A shipped procedure."""
    return read_procedure(find(key)).procedure


@dataclass
class LivedIn:
    """The journal, and the names of its batches in the order of BATCHES."""

    journal: Journal
    batches: tuple[str, ...]


def live_in(journal: Journal, now: str) -> LivedIn:
    """Everything up to ``now`` (ISO with zone); afterwards the journal's own clock goes on."""
    clock = journal.wall
    teller = _Teller(journal, datetime.fromisoformat(now))
    teller.people()
    teller.store()
    names = tuple(teller.make(one) for one in BATCHES)
    teller.afterwards(names)
    journal.wall = clock
    return LivedIn(journal, names)


def made_before(procedure: Procedure, folder: Path) -> tuple[PastMake, ...]:
    """Its makes of the usual size, told in a journal in ``folder``: for what is drawn of another make of it."""
    journal = live_in(Journal(folder, lambda: WALL), WALL).journal
    try:
        return past_makes(journal, procedure.key, procedure.default_batch_g, False)
    finally:
        journal.close()


class _Teller:
    """Tells the journal what time it is, and what has happened."""

    def __init__(self, journal: Journal, now: datetime) -> None:
        self.journal, self.now, self.desk = journal, now, Desk(journal)

    def at(self, days: float, hour: float = 9.0) -> str:
        """So many days ago; what is written from here on is written then."""
        day = self.now.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=days)
        wall = min(day + timedelta(hours=hour), self.now).isoformat(timespec="milliseconds")
        self.journal.wall = lambda: wall
        return wall

    def day(self, days: int) -> str:
        """The date so many days ago, ISO."""
        return (self.now - timedelta(days=days)).date().isoformat()

    def people(self) -> None:
        """Three, and what the two who learn may do."""
        add = self.desk.records.add
        self.at(70)
        kept = hashed(PIN, lambda n: SALT[:n])
        for who, roles in ((MARA, ("maker", "releaser")), (JO, ("helper",)), (OLE, ("helper",))):
            add(ev.PersonEnrolled(at_s=0.0, who=who, roles=roles, pin=kept, by=MARA))
        for who, level, kinds in (
            (JO, "independent", ("weigh", "combine", "blend", "fill", "clean up")), (JO, "supervised", ("heat", "cool", "measure ph")),
            (JO, "rehearsed", ("add", "premix")), (OLE, "supervised", ("weigh",)), (OLE, "rehearsed", ("fill", "heat")),
        ):  # fmt: skip
            for kind in kinds:
                add(ev.CompetenceGranted(at_s=0.0, who=who, step_kind=kind, level=level, by=MARA, reason=""))

    def store(self) -> None:
        """A delivery of every material, those that are short, judged or past their date, and jars; what some of them cost."""
        records = self.desk.records
        materials = {x.key: x.material for k in (LOTION, GEL, CREAM) for x in procedure_of(k).formula.lines}
        for n, (key, material) in enumerate(materials.items()):
            self.at(66, 10.0)
            grams = 25_000.0 if material.role == "water" else (600.0, 300.0, 200.0, 450.0, 250.0)[n % 5]
            supplier = "" if material.role == "water" else SUPPLIERS[n % 3]
            stock.receive(records, ev.LotReceived(
                at_s=0.0, lot=f"{key[:2].upper()}-{n + 1}", material=key, name=material.name, supplier=supplier, supplier_lot=f"H{410 + n}",
                quantity=grams, unit="g", received=self.day(66), expires="" if material.role == "water" else self.day(-12 - 29 * (n * 7 % 13)), by=MARA,
            ))  # fmt: skip
        oil = {"material": "sunflower-oil", "name": "Sunflower oil", "unit": "g", "by": OLE, "at_s": 0.0}
        stock.receive(records, ev.LotReceived(lot="SU-90", supplier="Quay Oils", supplier_lot="H377", quantity=1000.0, received=self.day(66),
                                       expires=self.day(9), **oil))  # fmt: skip
        self.at(4, 11.0)
        stock.receive(records, ev.LotReceived(lot="SU-91", supplier="Quay Oils", supplier_lot="H520", quantity=2000.0, received=self.day(4),
                                       expires=self.day(-380), state="quarantined", **oil))  # fmt: skip
        stock.receive(records, ev.LotReceived(at_s=0.0, lot="JAR-3", material="jar-100", name="Jars 100 ml", supplier="Harbour Supplies",
                                       supplier_lot="H90", quantity=200, unit="pieces", received=self.day(4), by=OLE))  # fmt: skip
        stock.about_lot(records, ev.LotPriced(at_s=0.0, lot="SU-91", price=18.4, currency="EUR", by=MARA))

    def lot_of(self, material: str) -> str:
        """The first that is usable."""
        book, today = self.desk.records.lots(), self.journal.wall()[:10]
        usable = (x.lot for x in book.of_material(material)[::-1] if not book.usable(x.lot, today))
        return next(usable, "")

    def make(self, b: MadeBatch) -> str:
        """One batch, from its first event to whatever it came to; its name."""
        wall, procedure = self.at(b.days, 9.5), procedure_of(b.procedure)
        name = f"{wall[:10].replace('-', '')}-{b.procedure}-1"
        grams = b.grams or procedure.default_batch_g
        began = ev.MakeStarted(
            at_s=0.0, batch=name, maker=b.maker, procedure=b.procedure, procedure_sha256=procedure.sha256, procedure_text=procedure.text,
            batch_g=grams, devices=SCALES, role="maker" if b.maker == MARA else "helper", version=1,
        )  # fmt: skip
        lots = {x.key: self.lot_of(x.key) for x in procedure.formula.lines}
        told = [began, *_weighed(procedure, grams, lots, _too_much(b)), *_heated(procedure)]
        told += _ended(procedure, grams, b) if b.end else ()
        pace = (1.0 if b.maker == MARA else 1.25) + 0.04 * math.sin(b.days)
        events = stepped(procedure, told, pace)
        half = [e for e in events if e.at_s <= 7_000.0 * pace]
        self.journal.append(name, half)
        if not b.end:
            self.at(b.days, 11.0)
            self.journal.append(name, [ev.MakeHeld(at_s=4_000.0, reason="A delivery is at the door")])
            return name
        self.at(b.days, 9.5 + events[-1].at_s / 3600.0)
        noted = [ev.DeviationNoted(at_s=900.0, number=n, grade=g, kind=kind, step="03-weigh", text=text)
                 for n, (g, kind, text) in enumerate(b.noted, 1)]  # fmt: skip
        self.journal.append(name, [*noted, *events[len(half) :]])
        self._became(name, procedure, b)
        return name

    def _became(self, name: str, procedure: Procedure, b: MadeBatch) -> None:
        """Its checks as far as they are due, the decision, and where its containers went."""
        records = self.desk.records
        waits = not b.decision
        for n, check in enumerate(procedure.release):
            days = math.ceil(check.due_s / 86_400.0)
            if b.days <= days or (waits and n):
                continue
            self.at(b.days - days, 15.0)
            value = None if check.band is None else check.band.low + 0.4
            fine = b.decision != "rejected" or n == 0
            deciding.record_check(
                records,
                name,
                check.name,
                CheckResult(value, "as it has to be" if fine else "grains", fine if value is None else None),
                MARA,
            )
        if waits:
            return
        self.at(b.days - 8, 16.0)
        for n, _ in enumerate(b.noted, 1):
            deciding.close_deviation(records, name, n, "Within what the formula allows.", MARA)
        proof = Proof(MARA, ("maker", "releaser"), self.journal.wall())
        deciding.decide(records, name, b.decision, "" if b.decision == "released" else "It has grains", proof)
        if b.decision == "released":
            records.add_to(
                name, ev.SampleRetained(at_s=0.0, pieces=1, where="shelf 3", until=self.day(-300), by=MARA)
            )
        for first, last, to, note in b.sent:
            self.at(b.days - 10, 9.0)
            leaving.dispatch(
                records,
                name,
                ev.Dispatched(
                    at_s=0.0, first=first, last=last, to=to, on=self.day(b.days - 10), note=note, by=MARA
                ),
            )

    def afterwards(self, names: tuple[str, ...]) -> None:
        """What a customer said, and what is to be calibrated."""
        records = self.desk.records
        self.at(20, 14.0)
        said = "The pump of this one drips."
        records.add_to(names[0], ev.ComplaintReceived(
            at_s=0.0, number=1, container=4, words=said, effect=False, serious=False, sender="Ida Marsh", on=self.day(20), by=MARA,
        ))  # fmt: skip
        self.at(2, 15.0)  # so that most of what is on the shelf of recipes can be made
        for lot, key, name, grams in (
            ("GL-32", "glycerin", "Glycerin", 2500.0), ("SU-92", "sunflower-oil", "Sunflower oil", 2500.0),
            ("EM-33", "emulsifying-wax", "Emulsifying wax", 1500.0), ("SW-34", "sweet-almond-oil", "Sweet almond oil", 1000.0),
        ):  # fmt: skip
            stock.receive(records, ev.LotReceived(
                at_s=0.0, lot=lot, material=key, name=name, supplier="Quay Oils", supplier_lot=f"H6{lot[-2:]}",
                quantity=grams, unit="g", received=self.day(2), expires=self.day(-400), by=MARA,
            ))  # fmt: skip
        self.at(60, 8.0)
        records.add(
            ev.CarePlanned(at_s=0.0, equipment="bench scale", task="calibration", every_days=50, by=MARA)
        )


def _too_much(b: MadeBatch) -> dict[str, float]:
    """What was weighed beyond its limits, in grams by line, as the deviations of a batch say."""
    return {"glycerin": 20.9} if any(text == GLYCERIN for _, _, text in b.noted) else {}


def _weighed(
    procedure: Procedure, grams: float, lots: dict[str, str], too_much: dict[str, float]
) -> Iterator[ev.Event]:
    """Every line of the formula in the step that weighs it, near the middle of its limits but for what is ``too_much``."""
    at_s = 120.0
    steps = {key: s.key for s in procedure.steps for key in getattr(s, "lines", ())}
    for n, line in enumerate(x for x in procedure.formula.lines if x.percent):
        step, target = steps.get(line.key, procedure.steps[1].key), round(grams * line.percent / 100.0, 2)
        scale = SCALES[target < FINE_G]
        shown = round(-math.log10(scale.readability_g))
        net = too_much.get(line.key, round(target * (1 + 0.004 * math.sin(n * 1.7 + grams)), shown))
        yield ev.LotTaken(
            at_s=at_s,
            step=step,
            act=f"lot {line.key}",
            line=line.key,
            material=line.key,
            lot=lots[line.key],
            how="scanned",
        )
        yield ev.WeightTaken(
            at_s=at_s + 40.0, step=step, act=f"pour {line.key}", line=line.key, vessel="pot", target_g=target, low_g=round(target * 0.98, 2),
            high_g=round(target * 1.02, 2), net_g=net, gross_g=None, source=ev.Source.MEASURED, device=scale.name, checked=True,
            lot=lots[line.key],
        )  # fmt: skip
        at_s += 75.0


def _heated(procedure: Procedure) -> Iterator[ev.Event]:
    """The pot's temperature each two minutes: up, held, down; nothing where nothing is heated."""
    heat = next((s for s in procedure.steps if s.kind == "heat"), None)
    if heat is None:
        return
    for n in range(46):
        minute = 2.0 * n
        temp_c = (
            21 + 51 * (1 - math.exp(-minute / 9)) if minute < 34 else 21 + 50 * math.exp(-(minute - 34) / 52)
        )
        yield ev.TemperaturesLogged(
            at_s=1_500.0 + 60 * minute,
            step=heat.key,
            temps_c=(("water-pot", round(temp_c, 1)),),
            source=ev.Source.MEASURED,
        )


def _ended(procedure: Procedure, grams: float, b: MadeBatch) -> Iterator[ev.Event]:
    """pH, containers, the end and its signature."""
    wanted = grams * b.yield_percent / 100.0
    ph = next((s.key for s in procedure.steps if s.kind == "measure ph"), "14-measure-ph")
    fill = next(s.key for s in procedure.steps if s.kind == "fill")
    yield ev.PhTaken(
        at_s=8_000.0,
        step=ph,
        ph=5.4,
        temp_c=24.0,
        diluted=False,
        source=ev.Source.STATED,
        device="",
        in_band=True,
    )
    bottles = max(int(wanted // 80), 4)
    each = round(wanted / bottles, 1)  # the rest stays in the pot and on the tools
    product = round(each * bottles, 1)
    for n in range(1, bottles + 1):
        yield ev.BottleFilled(at_s=8_400.0 + 60 * n, step=fill, vessel="pot", number=n, net_g=each, low_g=each - 1.0, target_g=each,
                              source=ev.Source.MEASURED)  # fmt: skip
    yield ev.Signed(
        at_s=9_400.0,
        step=procedure.steps[-1].key,
        who=b.maker,
        meaning="made as recorded",
        role="maker",
        proof="pin",
    )
    took_s = 9_500.0 + 150.0 * len(procedure.formula.lines)
    yield ev.MakeFinished(at_s=took_s, product_g=product, yield_percent=round(100.0 * product / grams, 2))
