"""How long the store's answers take as it grows: ten benches over years, 100 events a batch, fixed seed.

Run ``python tests/benchmarks/bench_store.py [FOLDER] [BATCHES ...]``; without numbers 1 000, 5 000 and 20 000. The
answers are taken warm, in one process, each for many batches or lots picked by the seed; median and slowest.

The journal is built by a fast path that only this file uses: rows chained by the journal's own ``chained`` and
inserted 20 000 to a transaction, the guards standing; the indexes by the journal's own ``rebuild``.
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

from benchapp import events as ev
from benchapp.record.chain import GENESIS
from benchapp.record.facts import ReleaseFacts
from benchapp.record.journal import JOURNAL, Journal
from benchapp.record.projections import rebuild
from benchapp.record.stored_event import chained
from benchapp.record.tables import EVENT
from benchapp.record.tracing import back, forward
from benchapp.record.verifying import verify
from benchapp.record.workshop import Workshop
from procedures.reading import read_procedure
from procedures.shelf import find

SEED, BENCHES, PART = 11, 10, 20_000
#: A lot lasts this many batches, a batch fills this many containers.
LASTS, CONTAINERS = 30, 16
BEGAN = datetime.fromisoformat("2016-01-04T08:00:00+01:00")
LOTION = read_procedure(find("oat-hand-lotion")).procedure
LINES = [line.key for line in LOTION.formula.lines][:12]
SPECIFICATION = (ReleaseFacts("pH after a day", "", 86_400.0, 5.0, 5.8),)


def wall_of(number: int) -> str:
    """When batch ``number`` was made: eight a day."""
    return (BEGAN + timedelta(hours=3 * number)).isoformat(timespec="milliseconds")


def name_of(number: int) -> str:
    """The name of batch ``number``, counted from 0."""
    return f"{wall_of(number)[:10].replace('-', '')}-oat-hand-lotion-{number % 8 + 1}"


def lot_of(line: str, number: int) -> str:
    """The lot of a line in hand when batch ``number`` was made."""
    return f"{line}-{number // LASTS}"


def deliveries(number: int) -> Iterator[ev.Event]:
    """New lots before batch ``number``, the old ones used up."""
    if number % LASTS:
        return
    for line in (*LINES, "jar"):
        unit, quantity = ("pieces", 600.0) if line == "jar" else ("g", 20_000.0)
        if number:
            old = lot_of(line, number - 1)
            yield ev.LotJudged(at_s=0.0, lot=old, state="used up", reason="empty", by="Mara Lind")
        yield ev.LotReceived(
            at_s=0.0, lot=lot_of(line, number), material=line, name=line, supplier="Harbour Oils",
            supplier_lot=f"S{number}", quantity=quantity, unit=unit, received=wall_of(number)[:10],
        )  # fmt: skip


def batch_events(number: int, dice: random.Random, last: bool) -> list[ev.Event]:
    """One make and what came after it: 100 events. The ``last`` batches are not decided yet."""
    out: list[ev.Event] = [
        ev.MakeStarted(
            at_s=0.0, batch=name_of(number), maker="Mara Lind", procedure=LOTION.key,
            procedure_sha256=LOTION.sha256, procedure_text=LOTION.text, batch_g=500.0, devices=(),
        )
    ]  # fmt: skip
    for n, line in enumerate(LINES):
        at, net = 60.0 * n, round(dice.uniform(1.0, 300.0), 1)
        common = {"at_s": at, "step": "02-weigh"}
        out += [
            ev.ActBegan(act=f"pour {line}", **common),
            ev.LotTaken(act=f"pour {line}", line=line, material=line, lot=lot_of(line, number), how="scanned", **common),
            ev.WeightTaken(
                act=f"pour {line}", line=line, vessel="pot", target_g=net, low_g=net - 1, high_g=net + 1, net_g=net,
                gross_g=net + 400, source=ev.Source.MEASURED, device="bench scale", checked=True,
                lot=lot_of(line, number), **common,
            ),
            ev.ActFinished(act=f"pour {line}", **common),
        ]  # fmt: skip
    out.append(
        ev.DeviationNoted(at_s=900.0, number=1, grade=ev.Grade.NOTE, kind="held", step="04-heat", text="held")
    )
    for n in range(24):
        temps = (("pot", round(dice.uniform(20, 75), 1)), ("beaker", round(dice.uniform(20, 75), 1)))
        out.append(
            ev.TemperaturesLogged(
                at_s=1000.0 + 60 * n, step="04-heat", temps_c=temps, source=ev.Source.MEASURED
            )
        )
    out += [
        ev.BottleFilled(at_s=3000.0 + n, step="09-fill", vessel="pot", number=n, net_g=round(dice.gauss(30, 0.2), 1),
                        low_g=29.0, target_g=30.0, source=ev.Source.MEASURED)
        for n in range(1, CONTAINERS + 1)
    ]  # fmt: skip
    out.append(ev.MakeFinished(at_s=4000.0, product_g=480.0, yield_percent=96.0))
    out.append(
        ev.PiecesUsed(
            at_s=4000.0, lot=lot_of("jar", number), material="jar", pieces=17, spoiled=1, by="Mara Lind"
        )
    )
    if not last:
        out.append(
            ev.CheckRecorded(
                at_s=4000.0,
                check="pH after a day",
                expect="",
                value=5.4,
                words="",
                passed=True,
                by="Mara Lind",
            )
        )
        out.append(
            ev.BatchDecided(at_s=4000.0, decision="released", reason="", by="Mara Lind", role="releaser")
        )
        out.append(
            ev.Dispatched(
                at_s=4000.0,
                first=1,
                last=15,
                to=f"Shop {number % 40}",
                on=wall_of(number)[:10],
                note="",
                by="Mara Lind",
            )
        )
    while len(out) < 100:
        out.insert(-8, ev.Watched(at_s=3000.0, step="06-cool"))
    return out


def rows(batches: int) -> Iterator[dict[str, object]]:
    """The whole chain; ten benches write at once, one event in turn."""
    dice = random.Random(SEED)
    seq, prev, shop_n = 0, GENESIS, 0
    for first in range(0, batches, BENCHES):
        together = range(first, min(first + BENCHES, batches))
        for number in together:
            for event in deliveries(number):
                seq, shop_n = seq + 1, shop_n + 1
                row = chained(seq, ev.WORKSHOP, shop_n, wall_of(number), event, prev)
                prev = row["hash"]
                yield row
        made = [batch_events(n, dice, n >= batches - 20) for n in together]
        for n in range(max(len(m) for m in made)):
            for number, events in zip(together, made, strict=True):
                if n < len(events):
                    seq += 1
                    row = chained(seq, name_of(number), n + 1, wall_of(number), events[n], prev)
                    prev = row["hash"]
                    yield row


def build(folder: Path, batches: int) -> tuple[float, float, int]:
    """Seconds for the chain and for the indexes, and how many events."""
    began = time.perf_counter()
    journal = Journal(folder, lambda: wall_of(batches))
    count = 0
    part: list[dict[str, object]] = []
    for row in rows(batches):
        part.append(row)
        if len(part) == PART:
            count += _insert(journal, part)
            part = []
    count += _insert(journal, part)
    chain_s = time.perf_counter() - began
    began = time.perf_counter()
    with journal.writing() as c:
        rebuild(c, c)
    journal.close()
    return chain_s, time.perf_counter() - began, count


def _insert(journal: Journal, part: list[dict[str, object]]) -> int:
    if part:
        with journal.writing() as c:
            c.execute(EVENT.insert(), part)
    return len(part)


def timed(ask: Callable[[], object]) -> float:
    """Milliseconds."""
    began = time.perf_counter()
    ask()
    return 1000 * (time.perf_counter() - began)


def measure(folder: Path, batches: int) -> dict[str, tuple[float, float]]:
    """Median and slowest of each answer, in milliseconds."""
    dice = random.Random(SEED)
    picks = [dice.randrange(batches) for _ in range(40)]
    lots = [lot_of(dice.choice((*LINES, "jar")), dice.randrange(batches)) for _ in picks]

    def opened() -> None:
        Journal(folder, lambda: wall_of(batches)).close()

    opening = [timed(opened) for _ in range(20)]
    journal = Journal(folder, lambda: wall_of(batches))
    shop = Workshop(journal, lambda _: SPECIFICATION)
    many: dict[str, list[float]] = {
        "open the store": opening,
        "list the newest 50": [timed(lambda: journal.batches(50)) for _ in range(20)],
        "open a batch": [timed(lambda n=n: journal.stored(name_of(n))) for n in picks],
        "verify one batch": [timed(lambda n=n: verify(journal, name_of(n))) for n in picks],
        "trace a lot forward": [timed(lambda x=x: forward(journal, x)) for x in lots],
        "trace a container back": [timed(lambda n=n: back(journal, f"{name_of(n)}/7")) for n in picks],
        "the book of lots": [timed(shop.lots) for _ in range(20)],
        "what is due (20 batches wait)": [timed(shop.due) for _ in range(10)],
        "where a batch stands": [timed(lambda n=n: shop.checks(name_of(n))) for n in picks],
        "a name for a new batch": [
            timed(lambda: journal.new_batch("20260301", "oat-hand-lotion")) for _ in range(20)
        ],
        "append one event, synced": [
            timed(lambda: journal.append("busy", [ev.Watched(at_s=0.0, step="s")])) for _ in range(50)
        ],
        "append a weighing from a lot, synced": [
            timed(lambda n=n: journal.append(name_of(n), [_weighing(n)])) for n in picks
        ],
    }
    journal.close()
    return {what: (statistics.median(ms), max(ms)) for what, ms in many.items()}


def _weighing(number: int) -> ev.Event:
    return ev.WeightTaken(
        at_s=5000.0, step="s", act="a", line=LINES[0], vessel="pot", target_g=1.0, low_g=0.9, high_g=1.1, net_g=1.0,
        gross_g=None, source=ev.Source.MEASURED, device="", checked=True, lot=lot_of(LINES[0], number),
    )  # fmt: skip


def _build_and_verify(here: Path, size: int) -> None:
    chain_s, index_s, count = build(here, size)
    megabytes = (here / JOURNAL).stat().st_size / 1e6
    print(
        f"{size} batches, {count} events, {megabytes:.0f} MB: chain {chain_s:.0f} s, indexes {index_s:.0f} s",
        flush=True,
    )
    journal = Journal(here, lambda: "")
    began = time.perf_counter()
    whole = verify(journal)
    took_s = time.perf_counter() - began
    print(
        f"  the whole journal verified in {took_s:.0f} s: sound {whole.sound}, {len(whole.indexes)} index differences",
        flush=True,
    )
    journal.close()


def main(folder: Path, sizes: list[int]) -> None:
    """Build and measure each size, print one table."""
    found: dict[int, dict[str, tuple[float, float]]] = {}
    for size in sizes:
        here = folder / f"store-{size}"
        if not (here / JOURNAL).exists():  # a store built before is measured again
            _build_and_verify(here, size)
        found[size] = measure(here, size)
    print("\nmedian / slowest in ms")
    for what in found[sizes[0]]:
        cells = "".join(f"{found[s][what][0]:9.2f} /{found[s][what][1]:7.2f}" for s in sizes)
        ratio = found[sizes[-1]][what][0] / found[sizes[0]][what][0]
        print(f"{what:38}{cells}   x{ratio:.2f}")


if __name__ == "__main__":
    given = sys.argv[1:]
    place = Path(given.pop(0)) if given and not given[0].isdigit() else None
    wanted = [int(n) for n in given] or [1000, 5000, 20_000]
    if place is None:
        with tempfile.TemporaryDirectory() as temporary:
            main(Path(temporary), wanted)
    else:
        main(place, wanted)
