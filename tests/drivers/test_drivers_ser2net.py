"""A scale behind a real serial server program (ser2net), over plain TCP and over RFC 2217."""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import threading
import tty
from pathlib import Path

import pytest

from drivers.readings import FaultKind
from drivers.settings import DeviceSettings

WAIT_S = 5.0


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as found:
        return int(found.getsockname()[1])


class Served:
    """A pty that ser2net serves at two TCP ports, and our hand on the device's end of it."""

    def __init__(self, program: str, folder: Path) -> None:
        self.device_end, self.line = os.openpty()
        tty.setraw(self.device_end)
        tty.setraw(self.line)
        name = os.ttyname(self.line)
        self.raw_port, self.rfc_port = free_port(), free_port()
        config = folder / "ser2net.yaml"
        config.write_text(
            f"connection: &plain\n  accepter: tcp,127.0.0.1,{self.raw_port}\n"
            f"  connector: serialdev,{name},9600n81,local\n"
            f"connection: &negotiated\n  accepter: telnet(rfc2217),tcp,127.0.0.1,{self.rfc_port}\n"
            f"  connector: serialdev,{name},9600n81,local\n",
            encoding="utf-8",
        )
        with config.open("a", encoding="utf-8") as more:
            self.ready_port = free_port()
            more.write(
                f"connection: &ready\n  accepter: tcp,127.0.0.1,{self.ready_port}\n  connector: echo\n"
            )
        self.process = subprocess.Popen(
            [program, "-d", "-c", str(config), "-u"], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )

        self._await_listening()

    def _await_listening(self) -> None:
        """ser2net does not say when it is ready: knock until it opens."""
        pause = threading.Event()
        for _ in range(100):
            with contextlib.suppress(ConnectionRefusedError):
                socket.create_connection(("127.0.0.1", self.ready_port), WAIT_S).close()
                return
            pause.wait(0.05)
        raise AssertionError("ser2net never listened")

    def send(self, line: bytes) -> None:
        os.write(self.device_end, line)

    def close(self) -> None:
        self.process.terminate()
        self.process.communicate(timeout=WAIT_S)
        os.close(self.device_end)
        os.close(self.line)


@pytest.fixture
def served(ser2net, tmp_path):
    made = Served(ser2net, tmp_path)
    yield made
    made.close()


@pytest.mark.filterwarnings(
    "ignore:set(Daemon|Name).. is deprecated:DeprecationWarning"
)  # pyserial's own, in its RFC 2217 client
@pytest.mark.parametrize("scheme", ["socket", "rfc2217"])
def test_a_scale_is_read_through_it(served, start, ear, scheme):
    # ser2net leaves RFC 2217's SET-CONTROL without the answer that pyserial waits for; the page says so.
    port = served.raw_port if scheme == "socket" else f"{served.rfc_port}?ign_set_control"
    device = start(
        DeviceSettings("far scale", "scale", f"{scheme}://127.0.0.1:{port}", "number-unit", ("mass",))
    )
    assert device.port.wait_open(WAIT_S)
    served.send(b"\n12.34 g\r\n")
    assert ear.reading().value == 12.34
    served.send(b"-0.50 g\r\n")
    assert ear.reading().value == -0.5


def test_the_server_going_away_is_a_fault_that_says_what_to_look_at(served, start, ear):
    address = f"socket://127.0.0.1:{served.raw_port}"
    device = start(DeviceSettings("far scale", "scale", address, "number-unit", ("mass",)))
    assert device.port.wait_open(WAIT_S)
    served.send(b"\n5 g\r\n")
    assert ear.reading().value == 5.0
    served.process.terminate()
    served.process.wait(WAIT_S)
    assert "Check the network of far scale" in ear.fault(FaultKind.UNPLUGGED).text
