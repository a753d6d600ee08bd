"""Where a weighing device of USB's HID class puts weight, unit and status: its report descriptor, read. Pure.

Source: Device Class Definition for HID 1.11, 6.2.2 (items); HID Usage Tables, page 0x8D (both from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

#: The usage page of weighing devices.
WEIGHING_PAGE = 0x8D
DATA_WEIGHT, DATA_SCALING = 0x40, 0x41
WEIGHT_UNIT, UNITS = 0x50, range(0x51, 0x5D)
SCALE_STATUS, STATUSES = 0x70, range(0x71, 0x79)

_MAIN, _GLOBAL, _LOCAL = 0, 1, 2
_INPUT = 8
_PAGE, _LOWEST, _SIZE, _ID, _COUNT, _PUSH, _POP = 0, 1, 7, 8, 9, 10, 11
_USAGE, _USAGE_FROM, _USAGE_TO = 0, 1, 2
_LONG_ITEM = 0xFE


@dataclass(frozen=True, slots=True)
class ReportField:
    """Where one number stands in a report, in bits from its first, and whether it has a sign."""

    at_bit: int
    bits: int
    signed: bool = False

    def read(self, report: bytes) -> int:
        """The number in it."""
        number = int.from_bytes(report, "little") >> self.at_bit & (1 << self.bits) - 1
        return number - (1 << self.bits) if self.signed and number >> self.bits - 1 else number


@dataclass(frozen=True, slots=True)
class ReportLayout:
    """The report that holds the weight: ``length`` in bytes, its id among them; id 0: reports carry none.

    ``status_codes`` and ``unit_codes``: number in the report → usage of page 0x8D. ``others`` are the ids of what
    else the device may send, none of it a weight.
    """

    report_id: int
    length: int
    weight: ReportField
    unit: ReportField
    unit_codes: Mapping[int, int]
    exponent: ReportField | None = None
    status: ReportField | None = None
    status_codes: Mapping[int, int] = field(default_factory=dict)
    others: frozenset[int] = frozenset()


def _numbered(usages: Sequence[int]) -> dict[int, int]:
    return dict(enumerate(usages, 1))


#: The order in which the tables themselves list units and statuses, from 1.
UNIT_CODES, STATUS_CODES = _numbered(UNITS), _numbered(STATUSES)

#: The report that nearly all of them send, for one that does not tell its descriptor. Common practice, no source.
USUAL_LAYOUT = ReportLayout(
    report_id=3,
    length=6,
    weight=ReportField(32, 16),
    unit=ReportField(16, 8),
    unit_codes=UNIT_CODES,
    exponent=ReportField(24, 8, signed=True),
    status=ReportField(8, 8),
    status_codes=STATUS_CODES,
)


@dataclass(frozen=True, slots=True)
class _Globals:
    page: int = 0
    lowest: int = 0
    size: int = 0
    id: int = 0
    count: int = 0


_NAMES = {_PAGE: "page", _LOWEST: "lowest", _SIZE: "size", _ID: "id", _COUNT: "count"}


@dataclass(frozen=True, slots=True)
class _Placed:
    """One field of an input report and what it means; ``codes`` of one that chooses among usages."""

    report_id: int
    where: ReportField
    usage: int
    codes: Mapping[int, int]


def layout_of(descriptor: bytes) -> ReportLayout | None:
    """The layout a report descriptor describes; None where it has no weight with a unit in one report."""
    placed, lengths = _fields(descriptor)
    by_usage: dict[tuple[int, int], _Placed] = {}
    for one in placed:
        by_usage.setdefault((one.report_id, one.usage), one)
    for (report_id, usage), weight in by_usage.items():
        unit = by_usage.get((report_id, WEIGHT_UNIT))
        if usage != DATA_WEIGHT or unit is None:
            continue
        exponent = by_usage.get((report_id, DATA_SCALING))
        status = by_usage.get((report_id, SCALE_STATUS))
        return ReportLayout(
            report_id=report_id,
            length=-(-lengths[report_id] // 8),
            weight=weight.where,
            unit=unit.where,
            unit_codes=unit.codes or UNIT_CODES,
            # A power of ten beyond 127 cannot be meant, whatever range is declared.
            exponent=None if exponent is None else replace(exponent.where, signed=True),
            status=None if status is None else status.where,
            status_codes={} if status is None else status.codes or STATUS_CODES,
            others=frozenset(lengths) - {report_id},
        )
    return None


def _fields(descriptor: bytes) -> tuple[list[_Placed], dict[int, int]]:
    """Every field of page 0x8D in input reports, and the length of each report in bits by its id."""
    now, stack = _Globals(), list[_Globals]()
    usages: list[int] = []
    first = 0
    placed: list[_Placed] = []
    lengths: dict[int, int] = {}
    for kind, tag, data in _items(descriptor):
        value = int.from_bytes(data, "little")
        if kind == _GLOBAL:
            if tag in _NAMES:
                signed = int.from_bytes(data, "little", signed=tag == _LOWEST)
                now = replace(now, **{_NAMES[tag]: signed})
            elif tag == _PUSH:
                stack.append(now)
            elif tag == _POP and stack:
                now = stack.pop()
        elif kind == _LOCAL and tag in (_USAGE, _USAGE_FROM, _USAGE_TO):
            usage = value if len(data) == 4 else now.page << 16 | value
            if tag == _USAGE_FROM:
                first = usage
            usages.extend(range(first, min(usage, first + 0xFF) + 1) if tag == _USAGE_TO else ())
            usages.extend([usage] if tag == _USAGE else ())
        elif kind == _MAIN:
            if tag == _INPUT:
                at = lengths.setdefault(now.id, 8 if now.id else 0)
                placed.extend(_placed(now, usages, at, value))
                lengths[now.id] = at + now.size * now.count
            usages, first = [], 0
    return placed, lengths


def _placed(now: _Globals, usages: Sequence[int], at: int, flags: int) -> Iterator[_Placed]:
    constant, variable = flags & 1, flags & 2
    own = [usage & 0xFFFF for usage in usages if usage >> 16 == WEIGHING_PAGE]
    if constant or not own or len(own) != len(usages) or not 0 < now.size <= 64:
        return
    if not variable:
        # A choice among usages: the number says which of them, counted from the lowest.
        for group, usage in ((UNITS, WEIGHT_UNIT), (STATUSES, SCALE_STATUS)):
            if now.count == 1 and all(one in group for one in own):
                codes = {now.lowest + n: one for n, one in enumerate(own)}
                yield _Placed(now.id, ReportField(at, now.size), usage, codes)
        return
    for n, usage in zip(range(now.count), own, strict=False):
        yield _Placed(now.id, ReportField(at + n * now.size, now.size, now.lowest < 0), usage, {})


def _items(descriptor: bytes) -> Iterator[tuple[int, int, bytes]]:
    """Each item as its kind, tag and data; the end of a descriptor that is cut off is left out."""
    at = 0
    while at < len(descriptor):
        prefix = descriptor[at]
        if prefix == _LONG_ITEM:
            at += 3 + (descriptor[at + 1] if at + 1 < len(descriptor) else 0)
            continue
        size = (0, 1, 2, 4)[prefix & 3]
        data = descriptor[at + 1 : at + 1 + size]
        at += 1 + size
        if len(data) == size:
            yield prefix >> 2 & 3, prefix >> 4, data
