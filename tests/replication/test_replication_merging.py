"""One truth from many chains: the same whatever order they arrived in, held against a model that knows of every event what was
known where it was written, as plain sets."""

from __future__ import annotations

import itertools
import random
import shutil

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from merging_model import model
from merging_scripts import ACTS, BENCHES, LOTS, WALL, Script, played
from postgres_cluster import quick_folder
from sqlalchemy import delete, select

from benchapp import events as ev
from benchapp.record.chain import GENESIS
from benchapp.record.journal import Journal
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, LOT, USE
from benchapp.replication.all_indexes import BATCHES, NAMED, PLACES, rank
from benchapp.replication.all_indexes import LOTS as LOTS_OF_ALL
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow
from benchapp.replication.member import MemberBench
from benchapp.replication.merging import ChainFact, ChainPlace, Knowledge, merged_person
from benchapp.replication.others import OthersFile
from benchapp.replication.settling import CONFLICT, SETTLED
from benchapp.replication.together import Together

MEMBERS = {name: MemberBench(name, name[0].upper(), 1, GENESIS) for name in (*BENCHES, "north")}


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
    said["decision"] = found[-1][1].decision if found else ""
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
