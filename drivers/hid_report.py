"""What one report of a USB weighing device says: bytes and the layout of its descriptor in, a reading out. Pure.

Source: HID Usage Tables, page 0x8D, weighing devices (from memory).
"""

from __future__ import annotations

from decimal import Decimal

from benchapp.foundation.language import tr, tr_noop
from drivers.formats.channel_reading import ChannelReading, PossibleRange, fault_of, unreadable
from drivers.formats.line_format import Meaning
from drivers.hid_descriptor import ReportLayout
from drivers.readings import FaultKind

#: The units of the table that this bench reads, and those it can only name.
READ_UNITS = {0x51: "mg", 0x52: "g", 0x53: "kg", 0x5B: "oz", 0x5C: "lb"}
OTHER_UNITS = {
    0x54: "carats", 0x55: "taels", 0x56: "grains", 0x57: "pennyweights", 0x58: tr_noop("metric tons"), 0x59: tr_noop("short tons"),
    0x5A: tr_noop("troy ounces"),
}  # fmt: skip

FAULT, AT_ZERO, IN_MOTION, STABLE, UNDER_ZERO, OVER_LIMIT, TO_CALIBRATE, TO_ZERO = range(0x71, 0x79)

_FAULTS = {
    FAULT: fault_of(0, Meaning.ERROR),
    OVER_LIMIT: fault_of(0, Meaning.OVERLOAD),
    TO_CALIBRATE: ChannelReading(
        0, None, FaultKind.DEVICE_ERROR, tr_noop("it asks to be calibrated: do what its manual says")
    ),
    TO_ZERO: ChannelReading(
        0, None, FaultKind.DEVICE_ERROR, tr_noop("it asks to be zeroed: empty its pan and press zero")
    ),
}
_STILL: dict[int | None, bool] = {AT_ZERO: True, STABLE: True, IN_MOTION: False}


def read_report(report: bytes, layout: ReportLayout, limits: PossibleRange) -> tuple[ChannelReading, ...]:
    """What a report says of the weight; nothing where it is another of the device's reports.

    Where the number has no sign of its own, "under zero" makes it negative.
    """
    if layout.report_id and report[:1] != bytes((layout.report_id,)):
        if report and report[0] in layout.others:
            return ()
        return (
            unreadable(
                tr("a report begins with {hex}, and that is no weight", hex=report[:1].hex() or tr("nothing"))
            ),
        )
    if len(report) < layout.length:
        return (
            unreadable(
                tr("a report has {count} of its {length} bytes", count=len(report), length=layout.length)
            ),
        )
    if any(report[layout.length :]):
        return (unreadable(tr("a report has more than its {length} bytes", length=layout.length)),)
    return (_weight(report, layout, limits),)


def _weight(report: bytes, layout: ReportLayout, limits: PossibleRange) -> ChannelReading:
    status = None
    if layout.status is not None:
        code = layout.status.read(report)
        status = layout.status_codes.get(code)
        if status is None:
            return unreadable(tr("its status is {code}, which means nothing", code=code))
    if status in _FAULTS:
        return _FAULTS[status]
    code = layout.unit.read(report)
    usage = layout.unit_codes.get(code)
    if usage not in READ_UNITS:
        name = OTHER_UNITS.get(usage or 0, tr("a unit of number {code}", code=code))
        return ChannelReading(
            0, None, FaultKind.WRONG_UNIT, tr("it shows {name}: set it to g on the scale", name=name)
        )
    raw = layout.weight.read(report)
    if status == UNDER_ZERO and not layout.weight.signed:
        if raw >> layout.weight.bits - 1:
            # Either far below zero, or a sign the descriptor does not speak of.
            return fault_of(0, Meaning.UNDERLOAD)
        raw = -raw
    exponent = layout.exponent.read(report) if layout.exponent is not None else 0
    unit = READ_UNITS[usage]
    reading = ChannelReading(0, None, stable=None if status is None else _STILL.get(status), unit=unit)
    value, step = (float(Decimal(number).scaleb(exponent)) for number in (raw, 1))
    return limits.judge(reading, value, step, unit)
