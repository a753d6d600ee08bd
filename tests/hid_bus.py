"""A stand-in for hidapi's module: devices to plug in and pull out, each report through a real socket that keeps
reports apart (SEQPACKET), so that the drivers read a real file descriptor in their own thread."""

from __future__ import annotations

import select
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

VENDOR, PRODUCT = 0x1A2B, 0x00C8

#: A weighing device as the tables describe it: report 3 with status, unit, power of ten and weight; report 5 beside.
DESCRIPTOR = bytes.fromhex(
    "058d 0920 a101"  # usage page of weighing devices, usage scale device, collection
    "0932 a102 8503"  # scale data report, collection, report id 3
    "7508 9501 1501 2508 0970 a102 1971 2978 8100 c0"  # status: one of 71 to 78
    "250c 0950 a102 1951 295c 8100 c0"  # unit: one of 51 to 5c
    "1581 257f 0941 8102"  # power of ten, with a sign
    "7510 1500 27ffff0000 0940 8102 c0"  # weight, without
    "8505 0934 a102 7508 150a 2532 0950 8102 c0 c0".replace(" ", "")
)


class HidScaleStandIn:
    """The far end of one device."""

    def __init__(self, path: bytes, serial: str, descriptor: bytes, page: int) -> None:
        self.descriptor = descriptor
        self.entry: dict[str, Any] = {
            "path": path, "vendor_id": VENDOR, "product_id": PRODUCT, "serial_number": serial,
            "manufacturer_string": "Low Tide Bench", "product_string": "parcel scale", "usage_page": page,
        }  # fmt: skip
        self.near, self.far = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)

    def send(self, report: bytes) -> None:
        """One report, as the kernel hands it on."""
        self.near.send(report)

    def forget(self) -> None:
        """What nobody has read is lost, as in a kernel that keeps reports only for whoever has the device open."""
        while select.select([self.far], [], [], 0)[0]:
            self.far.recv(64)

    def show(self, grams: float, status: int = 4) -> int:
        """A report in tenths of a gram; returns how many bytes it has."""
        report = bytes((3, status, 2, 0xFF)) + round(abs(grams) * 10).to_bytes(2, "little")
        self.send(report)
        return len(report)


class _Handle:
    """hidapi's ``device``."""

    def __init__(self, bus: HidBus) -> None:
        self._bus = bus

    def open_path(self, path: bytes) -> None:
        scale = self._bus.plugged.get(path)
        if scale is None or self._bus.locked:
            raise OSError("open failed")
        self._scale = scale
        self._socket = scale.far.dup()

    def get_report_descriptor(self) -> list[int]:
        return list(self._scale.descriptor)

    def read(self, length: int, timeout_ms: int) -> list[int]:
        ready, _, _ = select.select([self._socket], [], [], timeout_ms / 1000)
        if not ready:
            return []
        report = self._socket.recv(length)
        if not report:
            raise OSError("read error")
        return list(report)

    def close(self) -> None:
        self._socket.close()


class HidBus:
    """What is plugged in just now, asked like the module ``hidraw``."""

    def __init__(self) -> None:
        self.plugged: dict[bytes, HidScaleStandIn] = {}
        self.locked = False  # nobody may open anything
        self._made = 0

    def plug_in(
        self, serial: str = "A1", descriptor: bytes = DESCRIPTOR, page: int = 0x8D
    ) -> HidScaleStandIn:
        """Another device, at a path of its own."""
        self._made += 1
        path = f"/nowhere/hidraw{self._made}".encode()
        scale = self.plugged[path] = HidScaleStandIn(path, serial, descriptor, page)
        return scale

    def pull_out(self, scale: HidScaleStandIn) -> None:
        """The plug comes out: whoever reads gets an error, and it is no longer listed."""
        del self.plugged[scale.entry["path"]]
        scale.near.close()
        scale.far.close()

    def enumerate(self, vid: int = 0, pid: int = 0) -> list[dict[str, Any]]:
        """hidapi's own: 0 means any."""
        entries = [scale.entry for scale in self.plugged.values()]
        return [e for e in entries if vid in (0, e["vendor_id"]) and pid in (0, e["product_id"])]

    def device(self) -> _Handle:
        """hidapi's own."""
        return _Handle(self)


@contextmanager
def hid_bus() -> Iterator[HidBus]:
    """A bus in hidapi's place; everything is pulled out at the end."""
    import sys

    before = sys.modules.get("hidraw")
    bus = HidBus()
    sys.modules["hidraw"] = bus  # type: ignore[assignment]
    try:
        yield bus
    finally:
        if before is None:
            del sys.modules["hidraw"]
        else:
            sys.modules["hidraw"] = before
        for scale in list(bus.plugged.values()):
            bus.pull_out(scale)
