"""USB weighing devices through hidapi: which are plugged in, and one opened as a link that reads whole reports."""

from __future__ import annotations

import os
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from benchapp.foundation.language import tr
from drivers.addresses import hid_address, hid_identity
from drivers.errors import PortDenied, PortError, PortLost, PortMissing
from drivers.hid_descriptor import USUAL_LAYOUT, WEIGHING_PAGE, ReportLayout, layout_of
from drivers.settings import UsbIdentity

#: Longer than any report of a scale.
_MOST_BYTES = 64


class HidLink:
    """An open weighing device. ``layout`` is what its descriptor says of its reports."""

    in_waiting = 0  # a report comes whole or not at all

    def __init__(self, device: Any, layout: ReportLayout, wait_s: float) -> None:
        self.layout = layout
        self._device = device
        self._wait_ms = round(wait_s * 1000)

    def read(self, size: int) -> bytes:
        """The next report, or nothing when none came meanwhile. Raises PortLost when the device went away."""
        try:
            return bytes(self._device.read(_MOST_BYTES, self._wait_ms))
        except ValueError as trouble:  # hidapi's word for a device that is no longer open
            raise OSError(str(trouble)) from trouble

    def close(self) -> None:
        """Let go of it."""
        self._device.close()


@dataclass(frozen=True, slots=True)
class HidScale:
    """A weighing device on the bus: its address, what it calls itself, where hidapi finds it."""

    address: str
    description: str
    usb: UsbIdentity
    path: bytes


def hid_scales() -> tuple[HidScale, ...]:
    """Every weighing device that is plugged in. Raises PortMissing where hidapi is not installed."""
    return _scales(0, 0, (WEIGHING_PAGE,))


def open_hid(url: str, wait_s: float) -> HidLink:
    """The weighing device of a ``hid:`` address, wherever it is plugged in now.

    ``wait_s``: how long one read waits. Raises ValueError for an address that is not permitted, PortMissing and
    PortDenied with one sentence.
    """
    path = _only_one(url).path
    device = _library().device()
    try:
        device.open_path(path)
    except OSError as trouble:
        raise _why_not(url, path) from trouble
    try:
        layout = _layout(device)
    except OSError as trouble:
        device.close()
        raise PortLost(tr("{url} went away while it was opened. Plug it in again.", url=url)) from trouble
    if layout is None:
        device.close()
        raise PortMissing(
            tr("{url} is no scale: it tells no weight with a unit. Look at benchapp listen.", url=url)
        )
    return HidLink(device, layout, wait_s)


def _only_one(url: str) -> HidScale:
    """The one that is plugged in under that address."""
    usb = hid_identity(url)
    # Some systems tell no usage page before a device is open (0); its descriptor decides then.
    found = [
        one
        for one in _scales(usb.vid, usb.pid, (WEIGHING_PAGE, 0))
        if usb.serial_number in (None, one.usb.serial_number)
    ]
    if not found:
        raise PortMissing(
            tr("There is no scale {url}. Plug it in and switch it on; it is taken by itself.", url=url)
        )
    if len(found) > 1:
        raise PortMissing(
            tr(
                "{count} scales look like {url}. Unplug all but one, or write the address with its "
                "serial number: benchapp listen shows it.",
                count=len(found),
                url=url,
            )
        )
    return found[0]


def _layout(device: Any) -> ReportLayout | None:
    descriptor = bytes(device.get_report_descriptor())
    return layout_of(descriptor) if descriptor else USUAL_LAYOUT


def _scales(vid: int, pid: int, pages: tuple[int, ...]) -> tuple[HidScale, ...]:
    found: dict[bytes, HidScale] = {}
    for entry in _library().enumerate(vid, pid):
        if entry["usage_page"] in pages:
            usb = UsbIdentity(entry["vendor_id"], entry["product_id"], entry["serial_number"] or None)
            named = " ".join(filter(None, (entry["manufacturer_string"], entry["product_string"])))
            found.setdefault(entry["path"], HidScale(hid_address(usb), named, usb, entry["path"]))
    return tuple(found.values())


def _library() -> Any:
    """hidapi: on Linux by the kernel's own way, which leaves the device to others; elsewhere there is only one way."""
    for name in ("hidraw", "hid"):
        try:
            return import_module(name)
        except ImportError:
            continue
    raise PortMissing(
        tr("Scales without a serial port need hidapi, which is not installed: pip install hidapi.")
    )


def _why_not(url: str, path: bytes) -> PortError:
    # hidapi keeps the system's reason to itself.
    if os.path.exists(path) and not os.access(path, os.R_OK | os.W_OK):
        return PortDenied(
            tr(
                "You may not open {url}. Install the rule for scales (docs/connect-a-scale.md, USB "
                "scales without a serial port), then unplug it and plug it in again.",
                url=url,
            )
        )
    return PortMissing(tr("{url} does not open. Unplug it and plug it in again.", url=url))
