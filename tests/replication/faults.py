"""Several benches and their server while lines are cut, go half dead and are mended, the server is killed and started, a promoted
standby takes its place that lost what was acknowledged, clocks jump by days and benches are started anew. Afterwards nothing may
be lost, doubled or out of order, and everybody has to know the same.

``python tests/replication/faults.py [SECONDS [SEED [BENCHES]]]`` from the checkout; the seed of the run is printed, and repeats what
is done, not how the threads take turns.
"""

from __future__ import annotations

import random
import shutil
import sys
import threading
import time
from collections import Counter
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent), str(HERE.parents[1])]

from benches import TestBench, add, on_server  # noqa: E402
from postgres_cluster import Cluster, quick_folder  # noqa: E402
from rewriting import lose  # noqa: E402
from tcp_proxy import Proxy  # noqa: E402
from workshop_days import delivery, made  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.record import stock  # noqa: E402
from benchapp.record.verifying import verify  # noqa: E402
from benchapp.record.workshop import Workshop  # noqa: E402
from benchapp.replication.preparing import prepare  # noqa: E402
from benchapp.replication.replicator import Replicator  # noqa: E402
from benchapp.replication.seals import compare  # noqa: E402
from benchapp.replication.server_address import server_address  # noqa: E402
from benchapp.replication.server_connection import connected  # noqa: E402

#: How long everybody may take to know the same once everything is mended, in seconds.
PATIENCE_S = 60.0
#: What may happen, and how often beside each other.
ACTS = {
    "write": 40,
    "make": 8,
    "cut": 6,
    "half dead": 3,
    "mend": 10,
    "kill": 1,
    "fail over": 1,
    "clock": 3,
    "restart": 3,
}


class Station:
    """A bench with its own line to the server, and everything that was written on it."""

    def __init__(self, number: int, workshop: Workshops) -> None:
        self.name, self.short = f"b{number}", chr(ord("A") + number)
        self.line = Proxy(workshop.cluster.port)
        self.folder = workshop.folder / self.name
        url = workshop.database.url(self.name)
        self.url = url.replace(f":{workshop.cluster.port}/", f":{self.line.port}/")
        self.written: list[str] = []
        self.made = 0
        self.bench = TestBench(self.folder, self.url)
        self.bench.join()
        stock.receive(Workshop(self.bench.journal), delivery(f"{self.short}-oil"))
        self.begin()

    def begin(self) -> None:
        """Its replicator, on a thread of its own."""
        together = self.bench.know()
        one = self.bench.replicator()
        self.replicator: Replicator = one
        one._arrived = together.look
        one.start()

    def restart(self) -> None:
        """The program is ended and begun again."""
        self.replicator.stop()
        self.bench.close()
        self.bench = TestBench(self.folder, self.url)
        self.begin()

    def write(self, count: int) -> None:
        """Some events."""
        names = [f"{self.name} {len(self.written) + n}" for n in range(count)]
        self.bench.note(*names)
        self.written += names

    def close(self) -> None:
        """Let go of everything."""
        self.replicator.stop()
        self.bench.close()
        self.line.close()


class Workshops:
    """The server, the benches, and what befalls them."""

    def __init__(self, programs: Path, benches: int, seed: int) -> None:
        self.dice = random.Random(seed)
        self.folder = quick_folder()
        self.cluster = Cluster(programs)
        self.stations: list[Station] = []
        self.done: Counter[str] = Counter()
        self.cluster.make()
        self.database = self.cluster.new_database()
        with connected(server_address(self.database.owner)) as owner:
            prepare(owner)
        for number in range(benches):
            add(self.database, f"b{number}", chr(ord("A") + number))
            self.stations.append(Station(number, self))

    def close(self) -> None:
        """Everything away."""
        for station in self.stations:
            station.close()
        self.cluster.gone()
        shutil.rmtree(self.folder, ignore_errors=True)

    def act(self) -> None:
        """One thing happens."""
        act = self.dice.choices(list(ACTS), list(ACTS.values()))[0]
        station = self.dice.choice(self.stations)
        self.done[act] += 1
        if act == "write":
            station.write(self.dice.choice((1, 1, 1, 5, 40)))
        elif act == "make":
            station.made += 1
            lot = f"{self.dice.choice(self.stations).short}-oil"
            made(
                station.bench.journal, f"20261128-lotion-{station.short}-{station.made}", {"oil": (lot, 3.0)}
            )
        elif act == "cut":
            station.line.cut()
        elif act == "half dead":
            station.line.passing.clear()
        elif act == "mend":
            station.line.cut()
            station.line.mend()
        elif act == "kill":
            self.cluster.die()
            self.cluster.start()
        elif act == "fail over":
            self._fail_over()
        elif act == "clock":
            station.bench.wall.now = (
                f"2026-{self.dice.randint(1, 12):02}-{self.dice.randint(1, 28):02}T10:42:00.000+01:00"
            )
        elif act == "restart":
            station.restart()

    def _fail_over(self) -> None:
        """Nobody reaches the server while it is replaced by one that lost the last events of some."""
        for station in self.stations:
            station.line.cut()
        for station in self.stations:
            there = len(on_server(self.database, station.name))
            lose(self.database, station.name, after=max(there - self.dice.choice((0, 1, 30)), 0))
        for station in self.stations:
            station.line.mend()

    def mended(self) -> None:
        """Every line whole, and everybody given the time to know the same."""
        for station in self.stations:
            station.line.cut()
            station.line.mend()
        end, tick = time.monotonic() + PATIENCE_S, threading.Event()
        while (why := self.differences()) and time.monotonic() < end:
            tick.wait(0.05)
        assert not why, why

    def differences(self) -> str:
        """Who does not know yet what another wrote."""
        for one in self.stations:
            own = one.bench.own()
            if on_server(self.database, one.name) != own:
                return f"the server lacks events of {one.name}"
            for other in self.stations:
                if other is not one and other.bench.received(self.database.role(one.name)) != own:
                    return f"{other.name} lacks events of {one.name}"
        return ""

    def check(self) -> int:
        """Raises AssertionError where anything is not as it has to be; how many events there are."""
        books = []
        for station in self.stations:
            together = station.bench.journal.elsewhere
            assert together is not None
            together.look()  # whoever is looking just now has looked
            assert together.conflicts() == (), together.conflicts()
        for station in self.stations:
            bench = station.bench
            noted = [s.event.equipment for s in bench.journal.of_kinds([ev.CarePlanned])]
            assert noted == station.written, f"{station.name} lost, doubled or reordered what it wrote"
            assert verify(bench.journal).sound
            found = compare(bench.journal, bench.others)
            assert found.sound, found.altered
            lots = Workshop(bench.journal).lots().lots
            books.append({name: (lot.left, lot.state) for name, lot in lots.items()})
        assert all(book == books[0] for book in books), books
        drawn = sum(1000.0 - left for left, _ in books[0].values())
        assert round(drawn, 3) == 3.0 * sum(station.made for station in self.stations)
        return sum(len(station.bench.own()) for station in self.stations)


def run(programs: Path, seconds: float, seed: int, benches: int = 3) -> str:
    """One run; the sentence of what it went through. Raises AssertionError with the seed before it."""
    workshops = Workshops(programs, benches, seed)
    pause = threading.Event()
    try:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            workshops.act()
            pause.wait(workshops.dice.choice((0.0, 0.0, 0.01, 0.05)))
        workshops.mended()
        events = workshops.check()
    except AssertionError as error:
        raise AssertionError(f"seed {seed}: {error}") from error
    finally:
        workshops.close()
    did = ", ".join(f"{act} {count}" for act, count in sorted(workshops.done.items()))
    return f"seed {seed}: {benches} benches, {events} events, {did}; nothing lost, doubled or out of order"


def main(words: list[str]) -> None:
    """Runs of twenty seconds, a new seed each, for as long as it was asked for."""
    seconds = float(words[0]) if words else 60.0
    seed = int(words[1]) if len(words) > 1 else random.SystemRandom().randrange(1 << 30)
    benches = int(words[2]) if len(words) > 2 else 4
    programs = sorted(Path("/usr/lib/postgresql").glob("*/bin"))[-1]
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        print(run(programs, min(20.0, seconds), seed, benches), flush=True)
        seed += 1


if __name__ == "__main__":
    main(sys.argv[1:])
