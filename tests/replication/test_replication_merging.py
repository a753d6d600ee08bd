"""One truth from many chains: the same whatever order they arrived in, held against a model that knows of every event what was
known where it was written, as plain sets."""

from __future__ import annotations

import itertools
import random
import shutil
from dataclasses import dataclass, field

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from postgres_cluster import quick_folder
from sqlalchemy import delete, select
from workshop_days import delivery, in_hand, started, weight

from benchapp import events as ev
from benchapp.record.chain import GENESIS
from benchapp.record.journal import Journal
from benchapp.record.stored_event import chained
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, LOT, USE
from benchapp.replication.all_indexes import BATCHES, NAMED, PLACES, rank
from benchapp.replication.all_indexes import LOTS as LOTS_OF_ALL
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow
from benchapp.replication.member import MemberBench
from benchapp.replication.merging import ChainFact, ChainPlace, Knowledge, merged_person
from benchapp.replication.others import OthersFile
from benchapp.replication.settling import CONFLICT, SETTLED
from benchapp.replication.together import Together

WALL = "2026-11-28T10:42:00.000+01:00"
BENCHES = ("east", "south", "west")
LOTS = ("E-oil", "S-oil")
MEMBERS = {name: MemberBench(name, name[0].upper(), 1, GENESIS) for name in (*BENCHES, "north")}


@dataclass
class Written:
    """An event with everything that was known where it was written, itself apart."""

    place: ChainPlace
    batch: str
    event: ev.Event
    knew: frozenset[ChainPlace]


@dataclass
class Script:
    """What happened on three benches: their chains, and the same as the model sees it."""

    rows: dict[str, list[dict]] = field(default_factory=lambda: {name: [] for name in BENCHES})
    counts: dict[tuple[str, str], int] = field(default_factory=dict)
    sealed: dict[str, dict[str, int]] = field(default_factory=lambda: {name: {} for name in BENCHES})
    written: list[Written] = field(default_factory=list)

    def write(self, bench: str, batch: str, event: ev.Event) -> int:
        chain = self.rows[bench]
        n = self.counts[bench, batch] = self.counts.get((bench, batch), 0) + 1
        prev = chain[-1]["hash"] if chain else GENESIS
        chain.append(chained(len(chain) + 1, batch, n, WALL, event, prev))
        knew = {ChainPlace(bench, seq) for seq in range(1, len(chain))}
        knew |= {
            ChainPlace(other, seq) for other, upto in self.sealed[bench].items() for seq in range(1, upto + 1)
        }
        self.written.append(Written(ChainPlace(bench, len(chain)), batch, event, frozenset(knew)))
        return n

    def seal(self, bench: str) -> None:
        heads = [
            ev.ReceivedHead(name, len(rows), rows[-1]["hash"])
            for name, rows in self.rows.items()
            if rows and name != bench
        ]
        if heads:
            self.write(bench, ev.WORKSHOP, ev.HeadsReceived(at_s=0.0, heads=tuple(heads)))
            self.sealed[bench] = {head.bench: head.seq for head in heads}


ACTS = st.tuples(
    st.sampled_from(
        (
            "seal",
            "seal",
            "draw",
            "draw",
            "rehearse",
            "count",
            "count",
            "judge",
            "correct",
            "decide",
            "decide",
            "take back",
            "retire",
            "sign",
            "sign",
            "approve",
            "withdraw",
            "begin",
            "begin",
            "finish",
            "judge a make",
        )
    ),
    st.sampled_from(BENCHES),
    st.sampled_from(LOTS),
    st.integers(1, 400),
)


def played(acts: list[tuple[str, str, str, int]]) -> Script:
    """The acts on the benches, in that order; two deliveries and a batch each come first."""
    script = Script()
    for bench, lot in zip(BENCHES, LOTS, strict=False):
        script.write(bench, ev.WORKSHOP, delivery(lot))
    for bench in BENCHES:
        script.write(bench, f"{bench}-1", started(f"{bench}-1"))
        script.write(bench, f"{bench}-2", started(f"{bench}-2", rehearsal=True))
    for act, bench, lot, number in acts:
        play(script, act, bench, lot, float(number))
    return script


def play(script: Script, act: str, bench: str, lot: str, number: float) -> None:
    batch = f"{bench}-1"
    if act == "seal":
        script.seal(bench)
    elif act in ("draw", "rehearse"):
        script.write(bench, batch if act == "draw" else f"{bench}-2", weight(lot, number))
    elif act == "take back":
        said = ev.Source.STATED
        script.write(bench, batch, ev.ActBegan(at_s=0.0, step="02-weigh", act="said"))
        script.write(bench, batch, in_hand(lot))
        script.write(bench, batch, weight("", number, act="said", source=said))
        script.write(bench, batch, ev.ActTakenBack(at_s=0.0, step="02-weigh", act="said"))
    elif act == "count":
        script.write(
            bench, ev.WORKSHOP, ev.LotCounted(at_s=0.0, lot=lot, quantity=number, reason="", by="Mara Lind")
        )
    elif act == "judge":
        state = ("usable", "quarantined", "rejected")[int(number) % 3]
        script.write(
            bench, ev.WORKSHOP, ev.LotJudged(at_s=0.0, lot=lot, state=state, reason="", by="Mara Lind")
        )
    elif act == "decide":
        decision = ("released", "rework", "rejected")[int(number) % 3]
        event = ev.BatchDecided(at_s=0.0, decision=decision, reason="", by=signer(number), role="releaser")
        script.write(bench, "east-1", event)
    elif act in ("retire", "sign", "approve", "withdraw", "begin", "finish", "judge a make"):
        play_at_once(script, act, bench, number)
    elif act == "correct":
        drawn = [
            w
            for w in script.written
            if w.batch == batch and isinstance(w.event, ev.WeightTaken) and w.event.lot
        ]
        if drawn and w_place(script, drawn[-1]) is not None:
            was = drawn[-1]
            n = w_place(script, was)
            fix = ev.Corrected(
                at_s=0.0, n=n, field="net_g", old=str(was.event.net_g), new=str(number), reason="", by="Mara Lind"
            )  # fmt: skip
            script.write(bench, batch, fix)


def signer(number: float) -> str:
    return "Jo Tern" if int(number) % 2 else "Mara Lind"


def play_at_once(script: Script, act: str, bench: str, number: float) -> None:
    """People who sign and are retired, versions approved and withdrawn, batches made by them."""
    here = [
        w
        for w in script.written
        if w.place.bench == bench or w.place.seq <= script.sealed[bench].get(w.place.bench, 0)
    ]
    version = max((w.event.version for w in here if isinstance(w.event, ev.MasterApproved)), default=0)
    makes = [w for w in script.written if isinstance(w.event, ev.MakeStarted) and w.event.version]
    if act == "retire":
        script.write(
            bench, ev.WORKSHOP, ev.PersonRetired(at_s=0.0, who="Jo Tern", by="Mara Lind", reason="left")
        )
    elif act == "sign":
        script.write(bench, "east-1", ev.Signed(at_s=0.0, step="", who=signer(number), meaning="made"))
    elif act == "approve":
        approved = ev.MasterApproved(
            at_s=0.0, procedure="oat-hand-lotion", version=version + 1, sha256=f"{int(number)}", text="", reason="", by="Mara Lind",
        )  # fmt: skip
        script.write(bench, ev.WORKSHOP, approved)
    elif act == "withdraw" and version:
        gone = ev.MasterWithdrawn(
            at_s=0.0, procedure="oat-hand-lotion", version=version, reason="thin", by="Mara Lind"
        )
        script.write(bench, ev.WORKSHOP, gone)
    elif act == "begin" and version:
        batch = f"{bench}-made-{len(makes)}"
        script.write(bench, batch, started(batch, version=version))
    elif act == "finish" and (mine := [w for w in makes if w.place.bench == bench]):
        if not any(
            isinstance(w.event, ev.MakeFinished) and w.batch == mine[-1].batch for w in script.written
        ):
            script.write(bench, mine[-1].batch, ev.MakeFinished(at_s=0.0, product_g=1.0, yield_percent=1.0))
    elif act == "judge a make" and makes:
        about = makes[int(number) % len(makes)].batch
        script.write(
            bench,
            about,
            ev.BatchDecided(at_s=0.0, decision="released", reason="", by="Mara Lind", role="releaser"),
        )


def at_once(one: Written, other: Written) -> bool:
    return one.place not in other.knew and other.place not in one.knew


def overlaps(script: Script) -> set[str]:
    """How each sentence about what was done at once begins."""

    def of(*kinds) -> list[Written]:
        return [w for w in script.written if isinstance(w.event, kinds)]

    def settled(batch: str, *both: Written, by: str = "") -> bool:
        return any(
            w.batch == batch and w.event.by != by and {b.place for b in both} <= w.knew
            for w in of(ev.BatchDecided)
        )

    found = set()
    for signed, gone in itertools.product(of(ev.Signed), of(ev.PersonRetired)):
        who, where, there = signed.event.who, signed.place.bench, gone.place.bench
        crossed = who == gone.event.who and at_once(signed, gone)
        if crossed and not settled(signed.batch, signed, gone, by=who):
            found.add(f"{who} signed in {signed.batch} on {where} and was retired on {there}")
    changes = of(ev.MasterApproved, ev.MasterWithdrawn)
    for begun, change in itertools.product([w for w in of(ev.MakeStarted) if w.event.version], changes):
        ends = [w for w in of(ev.MakeFinished) if w.batch == begun.batch]
        newer = change.event.version > begun.event.version
        if isinstance(change.event, ev.MasterWithdrawn):
            newer = change.event.version == begun.event.version
        during = change.place not in begun.knew and not any(end.place in change.knew for end in ends)
        if newer and during and not settled(begun.batch, begun, change):
            how = (
                "that was withdrawn"
                if isinstance(change.event, ev.MasterWithdrawn)
                else f"version {change.event.version} was approved"
            )
            found.add(
                f"{begun.batch} was made on {begun.place.bench} by version {begun.event.version} of oat-hand-lotion while {how} on "
                f"{change.place.bench}"
            )
    approved = of(ev.MasterApproved)
    last = max((w.event.version for w in approved), default=0)
    if len({w.event.sha256 for w in approved if w.event.version == last}) > 1:
        names = ", ".join(
            w.place.bench for w in sorted(approved, key=lambda w: w.place) if w.event.version == last
        )
        found.add(f"Version {last} of oat-hand-lotion was approved on {names} at once")
    return found


def w_place(script: Script, written: Written) -> int:
    return script.rows[written.place.bench][written.place.seq - 1]["n"]


# --- the model ---------------------------------------------------------------------------------------------


def model(script: Script) -> dict:
    """The answers, by going through everything for each."""
    answers = {}
    draws = []
    fixed = {}
    for w in script.written:
        if isinstance(w.event, ev.Corrected):
            fixed[w.place.bench, w.batch, w.event.n] = float(w.event.new)
    for w in script.written:
        if isinstance(w.event, ev.WeightTaken) and w.event.lot and w.batch.endswith("-1"):
            grams = fixed.get((w.place.bench, w.batch, w_place(script, w)), w.event.net_g)
            draws.append((w.place, w.event.lot, grams))
    for lot in LOTS:
        about = [w for w in script.written if getattr(w.event, "lot", "") == lot]
        counts = unknown(w for w in about if isinstance(w.event, ev.LotCounted))
        bases = [(w.event.quantity, w.knew) for w in counts] or [(1000.0, frozenset())]
        lefts = [q - sum(g for at, name, g in draws if name == lot and at not in knew) for q, knew in bases]
        judged = {w.event.state for w in unknown(w for w in about if isinstance(w.event, ev.LotJudged))}
        state = next((s for s in ("rejected", "quarantined") if s in judged), "usable")
        answers[lot] = (round(min(lefts), 3), state, len(judged) > 1, len(counts) > 1)
    gone = [w for w in script.written if isinstance(w.event, ev.PersonRetired)]
    last = unknown(w for w in script.written if isinstance(w.event, ev.BatchDecided) and w.batch == "east-1")
    decided = {
        w.event.decision
        for w in last
        if w.event.decision != "released"
        or not any(w.event.by == g.event.who and at_once(w, g) for g in gone)
    }
    answers["decision"] = next((d for d in ("rejected", "rework", "released") if d in decided), "")
    answers["overlaps"] = overlaps(script)
    return answers


def unknown(found) -> list[Written]:
    """Those that no other of them knew of."""
    found = list(found)
    return [w for w in found if not any(w.place in other.knew for other in found)]


# --- held against it ---------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def north():
    """A fourth bench that only listens."""
    folder = quick_folder()
    journal, others = Journal(folder, lambda: WALL), OthersFile(folder)
    journal.append(
        ev.WORKSHOP, [ev.BenchJoined(at_s=0.0, bench="north", short="N", workshop="low-tide", first=1)]
    )
    yield journal, others
    others.close()
    journal.close()
    shutil.rmtree(folder)


def arrive(north, script: Script, order: list[str], dice: random.Random) -> Together:
    """The chains arrive part by part in that order; now and then somebody asks."""
    journal, others = north
    others.forget()
    others.keep_members(MEMBERS)
    together = Together(journal, others, "north")
    receive(together, script, order, dice)
    return together


def receive(together: Together, script: Script, order: list[str], dice: random.Random) -> None:
    others, benches = together._others, [name for name in BENCHES if name != together._own]
    left = {name: list(script.rows[name]) for name in benches}
    heads = dict.fromkeys(benches, BEGINNING)
    for bench in itertools.chain((b for b in order if b in left), *([name] * 1000 for name in benches)):
        part = [left[bench].pop(0) for _ in range(min(len(left[bench]), dice.randint(1, 12)))]
        if not part:
            continue
        rows = [ChainRow(bench, r["seq"], r["text"], r["prev"], r["hash"]) for r in part]
        heads, refused = others.take(heads, {bench: rows})
        assert not refused
        if dice.random() < 0.15:
            together.look()
    for bench, head in heads.items():
        assert head == ChainHead(len(script.rows[bench]), script.rows[bench][-1]["hash"])


def answered(together: Together) -> dict:
    """What the listener says about the same."""
    together.look()
    lots = together.lots({lot: None for lot in LOTS})
    conflicts = [one.said for one in together.conflicts()]
    said = {}
    for lot in LOTS:
        one = lots[lot]
        words = " ".join(text for text in conflicts if text.startswith(f"Lot {lot} "))
        said[lot] = (
            round(one.left, 3),
            one.state,
            "was judged on" in words,
            "was counted on" in words,
        )
    found = together.decided("east-1")
    said["decision"] = found[-1].decision if found else ""
    said["overlaps"] = {
        text for text in conflicts if "neither knowing" in text or " was made on " in text or " at once, in different" in text
    }  # fmt: skip
    return said


def kept(together: Together) -> list:
    """What is worked out and kept in the file of the others."""
    with together._others.reading() as c:
        return [
            sorted(tuple(row) for row in c.execute(select(table)))
            for table in (BATCHES, LOTS_OF_ALL, CONFLICT, NAMED)
        ]


def given_scripts(count):
    """What three benches did, in which order it was sent, and a number for how it arrived: so many times."""
    careful = settings(
        max_examples=count,
        deadline=None,
        suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    )
    scripts = given(
        st.lists(ACTS, min_size=25, max_size=50),
        st.lists(st.sampled_from(BENCHES), max_size=30),
        st.integers(0, 1 << 30),
    )
    return lambda test: careful(scripts(test))


@given_scripts(12)
def test_the_order_of_arrival_changes_nothing_and_the_model_agrees(north, acts, order, seed):
    script = played(acts)
    together = arrive(north, script, order, random.Random(seed))
    first, wanted = answered(together), model(script)
    said, begins = first["overlaps"], tuple(wanted.pop("overlaps"))
    assert all(text.startswith(begins) for text in said)
    assert all(any(text.startswith(one) for text in said) for one in begins)
    assert {key: value for key, value in first.items() if key != "overlaps"} == wanted
    conflicts = together.conflicts()
    bit_by_bit = kept(together)
    with together._others.writing() as c:
        c.execute(delete(SETTLED))
    together._drawn_of = ()
    together.look()
    assert kept(together) == bit_by_bit, "everything worked out anew"
    again = arrive(north, script, list(reversed(order)), random.Random(seed + 1))
    assert answered(again) == first
    assert again.conflicts() == conflicts


def on_the_desk(together: Together) -> tuple:
    """What the desk asks of all chains, by one that knows them."""
    together.look()
    journal = together.everywhere()
    with journal.reading() as c:
        rows = [
            sorted(tuple(row) for row in c.execute(select(table)))
            for table in (BATCH, USE, DISPATCH, CORRECTION, LOT)
        ]
    benches = {rank(member.short): name for name, member in MEMBERS.items()}
    walked = [
        (benches[s.seq // PLACES], s.seq % PLACES) for s in journal.of_kinds((ev.BatchDecided, ev.LotJudged))
    ]
    together.close()
    return rows, walked


@given_scripts(8)
def test_the_desk_has_one_answer_whichever_bench_asks(north, acts, order, seed):
    script, dice = played(acts), random.Random(seed)
    answers = [on_the_desk(arrive(north, script, order, dice))]
    for name in BENCHES:
        folder = quick_folder()
        journal, others = Journal(folder, lambda: WALL), OthersFile(folder)
        with journal.writing() as c:
            c.execute(EVENT.insert(), script.rows[name])
        journal.rebuild_indexes()
        others.keep_members(MEMBERS)
        together = Together(journal, others, name)
        receive(together, script, list(reversed(order)), dice)
        answers.append(on_the_desk(together))
        others.close()
        journal.close()
        shutil.rmtree(folder)
    for other in answers[1:]:
        assert other == answers[0]
    in_order = [ChainPlace(*place) for place in answers[0][1]]
    by_place = {w.place: w for w in script.written}
    for n, place in enumerate(in_order):
        assert not by_place[place].knew & set(in_order[n + 1 :]), "nothing stands before what it knew of"


def test_people_retired_anywhere_are_retired_and_roles_are_what_all_gave():
    def enrolled(bench, seq, roles):
        return ChainFact(
            ChainPlace(bench, seq), ev.PersonEnrolled(at_s=0.0, who="Mara", roles=roles, pin="p", by="")
        )

    retired = ChainFact(ChainPlace("west", 2), ev.PersonRetired(at_s=0.0, who="Mara", by="", reason="left"))
    knowing_nothing, knowing = Knowledge([]), Knowledge([(ChainPlace("east", 2), ChainPlace("west", 2))])
    both = [enrolled("east", 1, ("maker", "releaser")), enrolled("west", 1, ("maker", "helper"))]
    person = merged_person(both, knowing_nothing)
    assert (person.roles, person.retired) == (("maker",), False)
    assert merged_person([*both, retired], knowing_nothing).retired
    again = enrolled("east", 3, ("helper",))
    assert merged_person([*both, retired, again], knowing_nothing).retired, "east did not know"
    assert not merged_person([*both, retired, again], knowing).retired, "east knew, and enrolled them anew"
    assert merged_person([retired], knowing_nothing) is None
