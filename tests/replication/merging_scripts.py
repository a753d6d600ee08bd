"""Scripts of what three benches do without knowing of each other: their chains, and of every event what was known where it was written."""

from __future__ import annotations

from dataclasses import dataclass, field

from hypothesis import strategies as st
from workshop_days import delivery, in_hand, started, weight

from benchapp import events as ev
from benchapp.record.chain import GENESIS
from benchapp.record.stored_event import chained
from benchapp.replication.merging import ChainPlace

WALL = "2026-11-28T10:42:00.000+01:00"


BENCHES = ("east", "south", "west")


LOTS = ("E-oil", "S-oil")


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


def w_place(script: Script, written: Written) -> int:
    return script.rows[written.place.bench][written.place.seq - 1]["n"]
