"""A line between a bench and the server that a test can cut, hold up, or let go dead without a word."""

from __future__ import annotations

import contextlib
import socket
import threading


class Proxy:
    """Listens on a port of its own and passes on to ``port``, each way after ``delay_s``. ``passing`` cleared: bytes are taken and go nowhere, as
    on a half-open line that still acknowledges."""

    def __init__(self, port: int, delay_s: float = 0.0) -> None:
        self._to, self._delay_s = port, delay_s
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = self._listener.getsockname()[1]
        self.passing = threading.Event()
        self.passing.set()
        self.open = True
        self._pairs: list[socket.socket] = []
        self._lock = threading.Lock()
        threading.Thread(target=self._accept, daemon=True).start()

    def cut(self) -> None:
        """Every line that is open now breaks; new ones are refused until ``mend``."""
        self.open = False
        with self._lock:
            gone, self._pairs = self._pairs, []
        for one in gone:
            with contextlib.suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
            one.close()

    def mend(self) -> None:
        """New lines are taken again, and everything passes."""
        self.open = True
        self.passing.set()

    def close(self) -> None:
        """No more of it."""
        self.cut()
        with contextlib.suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()

    def _accept(self) -> None:
        while True:
            try:
                here, _ = self._listener.accept()
            except OSError:
                return
            if not self.open:
                here.close()
                continue
            try:
                there = socket.create_connection(("127.0.0.1", self._to), timeout=5)
            except OSError:
                here.close()
                continue
            there.settimeout(None)
            with self._lock:
                self._pairs += [here, there]
            for one, other in ((here, there), (there, here)):
                threading.Thread(target=self._pump, args=(one, other), daemon=True).start()

    def _pump(self, one: socket.socket, other: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while data := one.recv(65536):
                if self._delay_s:
                    threading.Event().wait(self._delay_s)
                if self.passing.is_set():
                    other.sendall(data)
        for end in (one, other):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
