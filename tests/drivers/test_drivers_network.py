"""Ports by URL: a real TCP server, one that goes mute, a real RFC 2217 server, and pyserial's loop."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from typing import Any

import pytest
import serial
import serial.rfc2217

from drivers.readings import FaultKind
from drivers.settings import DeviceSettings

WAIT_S = 5.0


def scale(port: str, **more: Any) -> DeviceSettings:
    return DeviceSettings("far scale", "scale", port, "number-unit", ("mass",), **more)


class Server:
    """A serial server: every accepted connection in order, waited for without polling."""

    def __init__(self) -> None:
        self.listener = socket.create_server(("127.0.0.1", 0))
        self.listener.settimeout(WAIT_S)
        self.port: int = self.listener.getsockname()[1]
        self.accepted: list[socket.socket] = []

    def accept(self) -> socket.socket:
        connection, _ = self.listener.accept()
        connection.settimeout(WAIT_S)
        self.accepted.append(connection)
        return connection

    def close(self) -> None:
        for connection in self.accepted:
            connection.close()
        self.listener.close()


@pytest.fixture
def server() -> Iterator[Server]:
    made = Server()
    yield made
    made.close()


def test_a_scale_behind_a_tcp_server(server, start, ear) -> None:
    device = start(scale(f"socket://127.0.0.1:{server.port}"))
    server.accept().sendall(b"4 g\r\n12.34 g\r\n" + b"1 g\r\n" * 2000)
    assert ear.reading().value == 12.34
    assert device.wait_received(5 + 9 + 10_000, WAIT_S)
    assert len(ear.spoken) == 2001


def test_a_closed_connection_is_a_fault_and_is_made_again(server, start, ear) -> None:
    device = start(scale(f"socket://127.0.0.1:{server.port}"))
    server.accept().close()
    assert "Check the network of far scale" in ear.fault(FaultKind.UNPLUGGED).text
    again = server.accept()
    assert device.port.wait_open(WAIT_S)
    again.sendall(b"\n5 g\n")
    assert ear.reading().value == 5.0


def test_a_server_that_goes_mute_without_closing_is_noticed_by_its_silence_and_called_again(
    server, start, ear, clock
) -> None:
    device = start(scale(f"socket://127.0.0.1:{server.port}"))
    mute = server.accept()
    mute.sendall(b"\n5 g\n")
    ear.reading()
    # From here on nothing comes, as from a half-open connection, which TCP itself would keep for minutes.
    device.tend(clock.pass_s(1.8))
    ear.fault(FaultKind.SILENT)
    again = server.accept()
    assert mute.recv(1) == b""  # our side did close the old connection
    assert device.port.wait_open(WAIT_S)
    again.sendall(b"\n6 g\n")
    assert ear.reading().value == 6.0
    ear.nothing_more()


def test_nobody_at_the_address_is_a_sentence(start, ear) -> None:
    spare = socket.create_server(("127.0.0.1", 0))
    port = spare.getsockname()[1]
    spare.close()
    start(scale(f"socket://127.0.0.1:{port}"), wait=False)
    fault = ear.fault(FaultKind.NO_PORT)
    assert fault.text.startswith(f"Nothing answers at socket://127.0.0.1:{port} (connection refused).")


@pytest.mark.parametrize(
    "url", ["socket://127.0.0.1", "socket://127.0.0.1:99999", "nonsense://x", "loop://?x=1"]
)
def test_an_address_that_cannot_be_is_a_sentence_not_a_traceback(url: str, start, ear) -> None:
    start(scale(url), wait=False)
    assert url in ear.fault(FaultKind.NO_PORT).text


def test_the_loop_gives_back_what_is_sent(start, ear, monkeypatch) -> None:
    monkeypatch.setattr("drivers.addresses.NETWORK", ("loop",))
    device = start(scale("loop://"))
    assert device.port.write(b"\r\n12.34 g\r\n")
    assert ear.reading().value == 12.34


class Rfc2217Server:
    """A real serial line (pyserial's loop) offered over RFC 2217, as a serial server does."""

    def __init__(self, listener: socket.socket) -> None:
        self.line = serial.serial_for_url("loop://", timeout=0)
        self.asked_bauds: list[int] = []
        self._connection, _ = listener.accept()
        self._manager = serial.rfc2217.PortManager(self.line, self)
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def write(self, data: bytes) -> None:
        self._connection.sendall(data)

    def _serve(self) -> None:
        while data := self._connection.recv(1024):
            for byte in self._manager.filter(data):
                self.line.write(byte)

    def send(self, data: bytes) -> None:
        self._connection.sendall(b"".join(self._manager.escape(data)))

    def close(self) -> None:
        self._connection.close()
        self._thread.join(WAIT_S)
        self.line.close()


@pytest.mark.filterwarnings("ignore:set(Daemon|Name).. is deprecated:DeprecationWarning")
def test_a_scale_behind_an_rfc_2217_server_at_the_asked_speed(server, start, ear) -> None:
    device = start(scale(f"rfc2217://127.0.0.1:{server.port}", baud=4800), wait=False)
    far = Rfc2217Server(server.listener)
    assert device.port.wait_open(WAIT_S)
    assert far.line.baudrate == 4800
    far.send(b"\r\n12.34 g\r\n")
    assert ear.reading().value == 12.34
    device.stop()
    far.close()
