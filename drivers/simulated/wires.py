"""Real serial ports: a pty pair behind a stable link, or a TCP port of this machine where there are no ptys.

Like a wire, a port never waits: what nobody reads is lost. A reader counts as there once it has opened the
port and thrown away old input, as serial libraries do on opening; from then on bytes are counted in ``sent``.
"""

from __future__ import annotations

import os
import socket
import struct
from pathlib import Path
from typing import Protocol

GRACE_S = 1.0  # a reader that never clears its input is taken as ready after this
HAVE_PTYS = hasattr(os, "openpty")


class Wire(Protocol):
    """One end of a serial line. ``address`` is what the far end opens; ``sent`` the bytes its reader got."""

    address: str
    sent: int
    opened: bool

    def read(self, now_s: float) -> bytes: ...
    def write(self, data: bytes) -> None: ...
    def close(self) -> None: ...


class PtyWire:
    """A pty whose far end is reached through a link that keeps its name over unplugging."""

    def __init__(self, link: Path) -> None:
        import fcntl
        import termios
        import tty

        self.address, self.sent, self.opened = str(link), 0, False
        self._link = link
        self._near, far = os.openpty()
        self._opening_s: float | None = None
        try:
            tty.setraw(far)
            link.unlink(missing_ok=True)
            link.symlink_to(os.ttyname(far))
            # Packet mode puts a status byte before what is read, and tells when the far end clears its input.
            fcntl.ioctl(self._near, termios.TIOCPKT, struct.pack("i", 1))
            os.set_blocking(self._near, False)
        except OSError:
            os.close(self._near)
            raise
        finally:
            os.close(far)
        self._flush_read = termios.TIOCPKT_FLUSHREAD

    def read(self, now_s: float) -> bytes:
        """What the far end wrote since last asked; also notices it opening and closing."""
        said = b""
        while True:
            try:
                packet = os.read(self._near, 4096)
            except BlockingIOError:
                break
            except OSError:  # EIO: nobody holds the far end
                packet = b""
            if not packet:
                self.opened, self._opening_s, self.sent = False, None, 0
                return said
            if packet[0] == 0:
                said += packet[1:]
            elif packet[0] & self._flush_read:
                self.opened, self.sent = True, 0
        if not self.opened:
            if self._opening_s is None:
                self._opening_s = now_s
            self.opened = now_s - self._opening_s >= GRACE_S
        return said

    def write(self, data: bytes) -> None:
        """Send, dropping what the far end has no room for."""
        if not self.opened:
            return
        try:
            self.sent += os.write(self._near, data)
        except BlockingIOError:
            pass  # the buffer is full: lost, as on a wire
        except OSError:
            self.opened = False  # closed since we looked; the next read finds out the rest

    def close(self) -> None:
        """Pull the plug: the far end's reader gets an error, the link is gone."""
        self._link.unlink(missing_ok=True)
        os.close(self._near)
        self.opened = False


class TcpWire:
    """The same over TCP on 127.0.0.1; one reader at a time, the port number kept over unplugging."""

    def __init__(self, port: int = 0) -> None:
        self._listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        self._listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self._listener.bind(("127.0.0.1", port))
        self._listener.listen(1)
        self._listener.setblocking(False)
        self.port: int = self._listener.getsockname()[1]
        self.address, self.sent, self.opened = f"socket://127.0.0.1:{self.port}", 0, False
        self._reader: socket.socket | None = None

    def read(self, now_s: float) -> bytes:
        """What the reader wrote since last asked; also lets a new reader in."""
        if self._reader is None:
            try:
                self._reader, _ = self._listener.accept()
            except BlockingIOError:
                return b""
            self._reader.setblocking(False)
            self._reader.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self.opened, self.sent = True, 0
        try:
            said = self._reader.recv(4096)
        except BlockingIOError:
            return b""
        except ConnectionError:
            said = b""
        if not said:
            self._hang_up()
        return said

    def write(self, data: bytes) -> None:
        """Send, dropping what there is no room for."""
        if self._reader is None:
            return
        try:
            self.sent += self._reader.send(data)
        except BlockingIOError:
            pass  # lost, as on a wire
        except ConnectionError:
            self._hang_up()

    def _hang_up(self) -> None:
        if self._reader is not None:
            self._reader.close()
        self._reader, self.opened, self.sent = None, False, 0

    def close(self) -> None:
        """Pull the plug."""
        self._hang_up()
        self._listener.close()
