"""Bytes on a real pty to readings: ours with parsing, against pyserial's own readline loop without any.

``python tests/benchmarks/bench_bytes.py``. The same lines, the same writer, taken in turns.
"""

from __future__ import annotations

import os
import threading
import time
import tty

import serial

from drivers.devices import open_device
from drivers.formats import LineParser, shipped_formats
from drivers.settings import DeviceSettings

LINES = 100_000
RIVAL_LINES = 10_000
LINE = b"ST,GS,+00123.45,g\r\n"


class Pty:
    """A pty and a thread that fills it."""

    def __init__(self) -> None:
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        self.name = os.ttyname(self.slave)

    def fill(self, lines: int) -> threading.Thread:
        """Write so many lines, as fast as they are taken."""

        def pump() -> None:
            block, left = LINE * 50, lines
            while left > 0:
                part = block if left >= 50 else LINE * left
                done = 0
                while done < len(part):
                    done += os.write(self.master, part[done:])
                left -= 50

        thread = threading.Thread(target=pump, daemon=True)
        thread.start()
        return thread

    def close(self) -> None:
        """Both ends."""
        os.close(self.master)
        os.close(self.slave)


def ours(lines: int = LINES) -> float:
    """Lines a second through our driver: thread, framing, parsing, judging, sink."""
    pty, heard, all_here = Pty(), [0], threading.Event()

    def sink(_: object) -> None:
        heard[0] += 1
        if heard[0] >= lines:
            all_here.set()

    settings = DeviceSettings("scale", "scale", pty.name, "status-headed", ("mass",), period_s=0.1, capacity_g=3000.0, readability_g=0.01)  # fmt: skip
    device = open_device(settings, time.monotonic, sink)
    device.start()
    assert device.port.wait_open(2.0)
    os.write(pty.master, b"\r\n")  # the first, half a line perhaps, is dropped
    began = time.perf_counter()
    pty.fill(lines)
    assert all_here.wait(120.0), f"only {heard[0]} of {lines} lines came through"
    took = time.perf_counter() - began
    device.stop()
    pty.close()
    return lines / took


def readline(lines: int = RIVAL_LINES) -> float:
    """Lines a second through ``serial.Serial.readline``, not parsed."""
    pty = Pty()
    with serial.Serial(pty.name, 115200, timeout=5) as port:
        began = time.perf_counter()
        pty.fill(lines)
        for _ in range(lines):
            assert port.readline()
        took = time.perf_counter() - began
    pty.close()
    return lines / took


def parsing(lines: int = LINES) -> float:
    """Lines a second through the parser alone."""
    parser = LineParser(shipped_formats()["status-headed"], "scale")
    began = time.perf_counter()
    for _ in range(lines):
        parser.read(LINE[:-2])
    return lines / (time.perf_counter() - began)


def main() -> None:
    """Three rounds in turns; the middle one counts."""
    rounds = sorted((ours(), readline(), parsing()) for _ in range(3))
    mine, rival, parse = rounds[1]
    print(f"bytes to readings, ours with parsing   {mine:12,.0f} lines/s")
    print(f"pyserial readline, no parsing (rival)  {rival:12,.0f} lines/s")
    print(f"the parser alone (floor)               {parse:12,.0f} lines/s")
    print(f"ours / rival                           {mine / rival:12.1f}  (wanted at least 10)")


if __name__ == "__main__":
    main()
