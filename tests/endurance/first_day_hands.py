"""Who and what stands at the bench on the first day: instruments on real ptys, and hands that do what ``guide`` writes."""

from __future__ import annotations

import os
import queue
import re
import subprocess
import threading
import tty
from pathlib import Path

#: What a vessel weighs empty, in grams; bottles are all alike.
EMPTY_G = {"oil pot": 213.4, "bottle": 21.7}
#: A hand pours so fast, in grams a second, and leaves so much in the pot.
POUR_G_S, CLINGS_G = 25.0, 1.2


class Stumble(Exception):
    """The day does not go on; the text says where."""


class Instrument:
    """Sends a line ten times a second on a pty."""

    def __init__(self) -> None:
        self.master, self.slave = os.openpty()
        tty.setraw(self.slave)
        os.set_blocking(self.master, False)
        self.port = os.ttyname(self.slave)
        self._over = threading.Event()
        threading.Thread(target=self._speak, daemon=True).start()

    def _speak(self) -> None:
        while not self._over.wait(0.1):
            try:
                os.write(self.master, self.line())
            except BlockingIOError:
                continue  # nobody reads

    def line(self) -> bytes:
        raise NotImplementedError

    def close(self) -> None:
        self._over.set()


class Thermometer(Instrument):
    """One probe in the room."""

    def line(self) -> bytes:
        return b"T1= 21.3 C\r\n"


class Scale(Instrument):
    """What lies on it; a hand may be pouring into that."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.on = ""
        self.contents_g: dict[str, float] = {}
        self.weight_g = 0.0
        self.pouring_g = 0.0
        self.unit_pressed = False
        self._shown = 0.0
        super().__init__()

    def line(self) -> bytes:
        with self.lock:
            poured = min(self.pouring_g, POUR_G_S * 0.1)
            if self.on and poured:
                self.contents_g[self.on] = self.contents_g.get(self.on, 0.0) + poured
                self.pouring_g -= poured
            true_g = self.gross_g()
        moving = abs(true_g - self._shown) > 0.05
        self._shown = true_g
        if self.unit_pressed:
            return f"{'US' if moving else 'ST'},GS,{true_g / 28.349523125:+010.3f},oz\r\n".encode()
        return f"{'US' if moving else 'ST'},GS,{true_g:+010.1f},g\r\n".encode()

    def gross_g(self) -> float:
        empty = EMPTY_G.get(self.on.split(" ")[0] if self.on.startswith("bottle") else self.on, 0.0)
        return self.weight_g + (empty + self.contents_g.get(self.on, 0.0) if self.on else 0.0)


class Talk:
    """A process whose lines are heard as they come, and that is answered."""

    def __init__(self, command: list[str], folder: Path, env: dict[str, str]) -> None:
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=folder, env=env
        )  # fmt: skip
        self.lines: list[str] = []
        self._queue: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._queue.put(line.rstrip("\n"))
        self._queue.put(None)

    def hear(self, wait_s: float) -> str | None:
        """The next line; "" where none came in time, None at the end."""
        try:
            line = self._queue.get(timeout=wait_s)
        except queue.Empty:
            return ""
        if line is not None:
            self.lines.append(line)
        return line

    def say(self, text: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(text + "\n")
        self.process.stdin.flush()


class Maker:
    """Does what ``guide`` writes, and nothing else."""

    def __init__(self, scale: Scale, signs: str) -> None:
        self.scale, self.signs = scale, signs
        self.text, self.offers, self.done = "", set[str](), ""
        self.poured = set[str]()

    def make(self, talk: Talk, interrupted_at: str = "") -> bool:
        """To the end, or until a line holds ``interrupted_at``; whether it is finished."""
        silent = 0
        while (line := talk.hear(1.5)) is not None:
            silent = 0 if line else silent + 1
            if silent > 40:
                raise Stumble(f"stands at: {talk.lines[-6:]}")
            if interrupted_at and interrupted_at in line:
                return False
            found = re.match(r"\[[0-9:]+\] \d+/\d+ [^:]+: (.+)", line)
            if found:
                self.text, self.offers = found[1], set()
            offer = re.match(r"  > ([a-z ]+?)(?::| =)", line)
            if offer:
                self.offers.add(offer[1])
            if not line:  # nothing more is said just now: act
                self.act(talk)
        return any(line.startswith("Finished") for line in talk.lines)

    def act(self, talk: Talk) -> None:
        """The hands first; then what is said, once."""
        before = self.scale.on
        self.hands()
        if self.scale.on != before:
            return  # the display comes to rest before anybody says what it shows
        again = (self.text, tuple(sorted(self.offers)))
        if str(again) == self.done or self.scale.pouring_g > 0:
            return
        self.done = str(again)
        if "sign" in self.offers:
            talk.say(f"sign: {self.signs}")
        elif "last" in self.offers and self.left_g() < 40.0:
            talk.say("last")
        else:
            for word in ("understood", "it is", "pan is empty", "yes", "take"):
                if word in self.offers:
                    talk.say(word)
                    return

    def hands(self) -> None:
        """What lies on the scale, and what flows."""
        scale, text = self.scale, self.text
        if re.search(r"(Take (the|everything) .*off|^Clear the|Empty the pan)", text):
            scale.on = ""
        elif found := re.search(
            r"Put (?:the )?(?:empty, dry |emptied |empty )?(.+?)(?: back)? on the big scale", text
        ):
            scale.on = found[1]
        elif found := re.search(r"(?:Pour|Fill bottle \d+ to) ([\d.]+) g", text):
            self.pour(float(found[1]), text)

    def pour(self, wanted_g: float, text: str) -> None:
        scale = self.scale
        if text in self.poured:
            return
        self.poured.add(text)
        if text.startswith("Fill"):
            wanted_g = min(wanted_g, self.left_g())
            scale.contents_g["oil pot"] -= wanted_g
        with scale.lock:
            scale.pouring_g = wanted_g

    def left_g(self) -> float:
        return self.scale.contents_g.get("oil pot", 0.0) - CLINGS_G
