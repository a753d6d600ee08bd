"""The batch record, drawn up from events alone: what was planned, what happened, what deviated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from benchapp import events as ev
from benchapp.record.journal import Stored


@dataclass(frozen=True, slots=True)
class Line:
    """One thing in the record: when, what, its number and unit, and where the value comes from."""

    wall: str
    at_s: float
    step: str
    what: str
    value: float | None
    unit: str
    low: float | None
    high: float | None
    source: str
    device: str
    checked: bool


@dataclass(frozen=True, slots=True)
class Record:
    """One batch. Times are ISO 8601 with zone; masses in grams."""

    batch: str
    procedure: str
    procedure_sha256: str
    maker: str
    batch_g: float
    rehearsal: bool
    begun: str
    ended: str
    outcome: str  # "finished", "abandoned" or "unfinished"
    product_g: float | None
    yield_percent: float | None
    devices: tuple[dict[str, Any], ...]
    weighings: tuple[Line, ...]
    readings: tuple[Line, ...]  # pH, temperatures at gates, density
    looks: tuple[Line, ...]
    containers: tuple[Line, ...]
    moves: tuple[Line, ...]  # transfers, water lost, samples, waste
    deviations: tuple[dict[str, Any], ...]
    timeline: tuple[tuple[str, str], ...]
    signatures: tuple[dict[str, str], ...]
    head: str

    def as_dict(self) -> dict[str, Any]:
        """Plain values for JSON."""
        return asdict(self)


def record_of(stored: Sequence[Stored]) -> Record:
    """The record of one batch from its stored events, the first of which is MakeStarted."""
    first = stored[0].event
    assert isinstance(first, ev.MakeStarted)
    end = stored[-1].event
    finished = end if isinstance(end, ev.MakeFinished) else None
    outcome = "finished" if finished else "abandoned" if isinstance(end, ev.MakeAbandoned) else "unfinished"
    return Record(
        batch=first.batch,
        procedure=first.procedure,
        procedure_sha256=first.procedure_sha256,
        maker=first.maker,
        batch_g=first.batch_g,
        rehearsal=first.rehearsal,
        begun=stored[0].wall,
        ended=stored[-1].wall,
        outcome=outcome,
        product_g=finished.product_g if finished else None,
        yield_percent=finished.yield_percent if finished else None,
        devices=tuple(asdict(d) for d in first.devices),
        weighings=_lines(stored, _weighing),
        readings=_lines(stored, _reading),
        looks=_lines(stored, _look),
        containers=_lines(stored, _container),
        moves=_lines(stored, _move),
        deviations=tuple(
            {"number": e.number, "grade": str(e.grade), "kind": e.kind, "step": e.step, "text": e.text, "wall": s.wall}
            for s in stored
            if isinstance(e := s.event, ev.DeviationNoted)
        ),
        timeline=tuple(
            (s.wall, e.step) for s in stored if isinstance(e := s.event, ev.StepBegan)
        ),
        signatures=tuple(
            {"who": e.who, "meaning": e.meaning, "wall": s.wall} for s in stored if isinstance(e := s.event, ev.Signed)
        ),
        head=stored[-1].hash,
    )  # fmt: skip


def _lines(stored: Sequence[Stored], make: Any) -> tuple[Line, ...]:
    return tuple(line for s in stored for line in make(s))


def _line(s: Stored, step: str, what: str, value: float | None, unit: str, source: str, **more: Any) -> Line:
    usual: dict[str, Any] = {"low": None, "high": None, "device": "", "checked": False}
    return Line(s.wall, s.event.at_s, step, what, value, unit, source=source, **{**usual, **more})


def _weighing(s: Stored) -> list[Line]:
    e = s.event
    if not isinstance(e, ev.WeightTaken):
        return []
    return [
        _line(s, e.step, e.line, e.net_g, "g", str(e.source), low=e.low_g, high=e.high_g, device=e.device, checked=e.checked)
    ]  # fmt: skip


def _reading(s: Stored) -> list[Line]:
    e = s.event
    if isinstance(e, ev.PhTaken):
        return [_line(s, e.step, "pH", e.ph, "pH", str(e.source), device=e.device)]
    if isinstance(e, ev.NumberTaken):
        return [_line(s, e.step, e.what, e.value, e.unit, str(e.source))]
    if isinstance(e, ev.TemperaturesLogged):
        return [_line(s, e.step, vessel, temp, "°C", str(e.source)) for vessel, temp in e.temps_c]
    return []


def _look(s: Stored) -> list[Line]:
    e = s.event
    if not isinstance(e, ev.LookJudged):
        return []
    found = "as described" if e.as_expected else e.words
    return [_line(s, e.step, f"{e.name}: {found}", None, "", str(ev.Source.STATED))]


def _container(s: Stored) -> list[Line]:
    e = s.event
    if not isinstance(e, ev.BottleFilled):
        return []
    return [_line(s, e.step, f"container {e.number}", e.net_g, "g", str(e.source), low=e.low_g)]


def _move(s: Stored) -> list[Line]:
    e = s.event
    if isinstance(e, ev.MassMoved):
        return [
            _line(
                s, e.step, f"{e.origin} into {e.into} ({e.left_g:g} g stayed)", e.mass_g, "g", str(e.source)
            )
        ]
    if isinstance(e, ev.WaterLost):
        return [_line(s, e.step, f"water lost from {e.vessel}", e.lost_g, "g", str(e.source))]
    if isinstance(e, ev.LateDropFound):
        return [
            _line(s, e.step, f"late drop of {e.line} into {e.vessel}", e.drop_g, "g", str(ev.Source.MEASURED))
        ]
    if isinstance(e, ev.SampleTaken):
        return [_line(s, e.step, f"{e.what} out of {e.vessel}", e.mass_g, "g", str(e.source))]
    if isinstance(e, ev.MaterialRemoved):
        return [
            _line(s, e.step, f"waste: {e.line} out of {e.vessel}", e.removed_g, "g", str(ev.Source.MEASURED))
        ]
    return []
