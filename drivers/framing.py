"""Where one message of a device ends and the next begins: lines, frames between signs, Modbus RTU frames. No I/O."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Protocol

from benchapp.foundation.language import tr

#: Longer than any line of any instrument; a device that sends more without a terminator sends garbage.
MAX_LINE = 256

#: Signs that cannot be printed, as a format file writes them.
CONTROL_SIGNS = {
    "<STX>": "\x02", "<ETX>": "\x03", "<EOT>": "\x04", "<ENQ>": "\x05", "<ACK>": "\x06", "<ESC>": "\x1b",
}  # fmt: skip


def wire_bytes(text: str) -> bytes:
    """A text as it goes over the wire, ``<ENQ>`` and the like as one sign each. Raises ValueError for other signs."""
    if not all(" " <= sign <= "~" for sign in text):
        raise ValueError(tr("{text!r} has signs that are not printable ASCII", text=text))
    return re.sub("<[A-Z]{3}>", lambda m: CONTROL_SIGNS.get(m[0], m[0]), text).encode("ascii")


class Framing(Protocol):
    """Collects chunks into messages."""

    def opened(self) -> None:
        """Forget everything: the port was just opened."""

    def asked(self) -> None:
        """A request is about to be sent: what comes next is its reply."""

    def feed(self, chunk: bytes) -> list[bytes | None]:
        """The messages this chunk completes. None stands for garbage thrown away."""


class LineFraming:
    """Lines ended by CR, LF or CR LF. Empty lines are not messages.

    A line is trusted only when its beginning was seen: after opening that is the case once one terminator
    has passed, or when the device had said nothing before it was asked. So ``12.`` + ``34 g`` never becomes
    a reading of 34 g.
    """

    def __init__(self) -> None:
        self.opened()

    def opened(self) -> None:
        """Forget everything: the port was just opened."""
        self._rest = b""
        self._whole = False  # whether _rest starts at the beginning of a line
        self._quiet = True  # nothing came since opening
        self._flooded = False  # inside an over-long line already reported

    def asked(self) -> None:
        """A device that was silent until asked begins its reply at the beginning."""
        if self._quiet:
            self._whole = True

    def feed(self, chunk: bytes) -> list[bytes | None]:
        """The lines this chunk completes, without their terminators. None stands for an over-long line."""
        self._quiet = False
        lines: list[bytes | None] = []
        for piece in (self._rest + chunk).splitlines(keepends=True):
            line = piece.rstrip(b"\r\n")
            if len(line) == len(piece):
                self._keep(piece, lines)
                return lines
            if self._whole and line:
                if len(line) <= MAX_LINE:
                    lines.append(line)
                elif not self._flooded:
                    lines.append(None)
            self._rest, self._whole, self._flooded = b"", True, False
        return lines

    def _keep(self, piece: bytes, lines: list[bytes | None]) -> None:
        if len(piece) <= MAX_LINE:
            self._rest = piece
            return
        if not self._flooded:
            lines.append(None)
        # What follows is the tail of garbage: not to be trusted before the next terminator.
        self._rest, self._whole, self._flooded = b"", False, True


class WholeFraming:
    """Messages that come one at a time: each chunk is one."""

    def opened(self) -> None:
        """There is nothing to forget."""

    def asked(self) -> None:
        """Nothing of an earlier reply can be left over."""

    def feed(self, chunk: bytes) -> list[bytes | None]:
        """The message."""
        return [chunk]


@dataclass(frozen=True, slots=True)
class Frame:
    """A message without an end of line: from ``start`` to ``end``, or ``length`` bytes behind ``start``."""

    start: bytes
    end: bytes = b""
    length: int = 0


class FrameFraming:
    """Messages of a Frame, without their start and end.

    A frame is trusted only from its start; a start inside a frame begins a new one, so a frame that lost bytes
    is never filled up from the next.
    """

    def __init__(self, frame: Frame) -> None:
        self._frame = frame
        self.opened()

    def opened(self) -> None:
        """Forget everything: the port was just opened."""
        self._rest = b""
        self._inside = False  # whether the start of _rest's frame was seen
        self._flooded = False  # inside garbage already reported

    def asked(self) -> None:
        """Left-overs of an earlier reply are not part of the next one."""
        self._rest, self._inside = b"", False

    def feed(self, chunk: bytes) -> list[bytes | None]:
        """The frames this chunk completes. None stands for bytes without a frame."""
        messages: list[bytes | None] = []
        for sign in chunk:
            self._rest += bytes((sign,))
            if self._rest.endswith(self._frame.start):
                self._rest, self._inside = b"", True
            elif self._inside and self._whole():
                messages.append(self._rest.removesuffix(self._frame.end) if self._frame.end else self._rest)
                self._rest, self._inside, self._flooded = b"", False, False
            elif len(self._rest) > MAX_LINE:
                if not self._flooded:
                    messages.append(None)
                self._rest, self._inside, self._flooded = b"", False, True
        return messages

    def _whole(self) -> bool:
        if self._frame.end:
            return self._rest.endswith(self._frame.end)
        return len(self._rest) == self._frame.length


def framing_of(frame: Frame | None) -> LineFraming | FrameFraming:
    """The framing of a format: lines, where it has no frame of its own."""
    return LineFraming() if frame is None else FrameFraming(frame)


class RtuFraming:
    """Replies of a Modbus RTU device to "read registers": the length follows from the frame's own third byte.

    Anything that cannot be the beginning of such a reply is handed on as it is, so that its checksum fails.
    Source: MODBUS over Serial Line V1.02, 2.5.1; Application Protocol V1.1b3, 6.3, 6.4 and 7.
    """

    def __init__(self) -> None:
        self._rest = b""

    def opened(self) -> None:
        """Forget everything: the port was just opened."""
        self._rest = b""

    def asked(self) -> None:
        """Left-overs of an earlier reply are not part of the next one."""
        self._rest = b""

    def feed(self, chunk: bytes) -> list[bytes | None]:
        """The frames this chunk completes, address and checksum included."""
        self._rest += chunk
        frames: list[bytes | None] = []
        while self._rest:
            length = self._length()
            if length > len(self._rest):
                break
            frames.append(self._rest[:length])
            self._rest = self._rest[length:]
        return frames

    def _length(self) -> int:
        if len(self._rest) < 3:
            return 3
        function = self._rest[1]
        if function in (0x83, 0x84):
            return 5
        if function in (0x03, 0x04):
            return 5 + self._rest[2]
        return len(self._rest)
