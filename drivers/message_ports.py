"""Ports that are no serial ones: which there are, and what their messages, heard once, say of the device."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchapp.foundation.language import tr
from drivers.addresses import HID, SYSFS, scheme_of
from drivers.errors import PortError
from drivers.format_fit import Fit
from drivers.formats import describe
from drivers.formats.channel_reading import QUANTITY, ChannelReading, PossibleRange
from drivers.hid_link import hid_scales
from drivers.hid_report import read_report
from drivers.message_devices import FORMAT_OF
from drivers.sysfs_link import read_temperature, temperature_files

#: Chips that measure the computer itself. Common practice, no source; others are shown as what they may be.
OWN_CHIPS = frozenset(
    [
        "acpitz",
        "coretemp",
        "k10temp",
        "zenpower",
        "cpu_thermal",
        "nvme",
        "drivetemp",
        "iwlwifi_1",
        "amdgpu",
        "rp1_adc",
    ]
)


@dataclass(frozen=True, slots=True)
class MessagePort:
    """What a port is, before anything is heard there, and what its section in the bench file has to say beside."""

    address: str
    description: str
    options: tuple[tuple[str, str], ...] = ()

    @property
    def own_chip(self) -> str:
        """The chip with which the computer measures itself, "" where it is none."""
        chip = dict(self.options).get("chip", "")
        return chip if chip in OWN_CHIPS else ""


def message_ports(sysfs_root: Path) -> tuple[tuple[MessagePort, ...], str]:
    """Every USB weighing device and every thermometer that Linux shows; and why scales cannot be looked for, or ""."""
    trouble = ""
    try:
        scales = [MessagePort(one.address, one.description) for one in hid_scales()]
    except PortError as error:
        scales, trouble = [], str(error)
    files = [
        MessagePort(
            one.address,
            tr("chip {chip}", chip=one.chip) if one.chip else "",
            (("chip", one.chip),) if one.chip else (),
        )
        for one in temperature_files(sysfs_root)
    ]
    return (*scales, *files), trouble


def fit_of(port: MessagePort, messages: Sequence[bytes], link: Any) -> tuple[Fit | None, str]:
    """What the device is by its messages; or None and why not, in one sentence."""
    key, kind = FORMAT_OF[scheme_of(port.address)]
    what = {HID: tr("a USB scale"), SYSFS: tr("a thermometer")}[scheme_of(port.address)]
    if port.own_chip:
        return (
            None,
            tr(
                "{address} measures the computer itself (chip {own_chip}), nothing on the bench.",
                address=port.address,
                own_chip=port.own_chip,
            ),
        )
    limits = PossibleRange.of(QUANTITY[kind])
    heard = [
        read_report(one, link.layout, limits)
        if scheme_of(port.address) == HID
        else read_temperature(one, limits)
        for one in messages
    ]
    said = [reading for readings in heard for reading in readings]
    good = [reading for reading in said if reading.value is not None]
    if not good:
        why = said[0].why if said else tr("nothing came")
        return None, tr(
            "{address} is {what} that shows no number just now: {why}.",
            address=port.address,
            what=what,
            why=why,
        )
    return Fit(key, kind, 1, _reads(good, kind), _finest(good), (1.0,), True, good[0].unit or ""), ""


def _reads(good: Sequence[ChannelReading], kind: Any) -> tuple[str, ...]:
    return tuple(dict.fromkeys(describe((one,), kind) for one in good))[:3]


def _finest(good: Sequence[ChannelReading]) -> float | None:
    return min((one.resolution for one in good if one.resolution is not None), default=None)
