"""What can go wrong between a maker's bench and a number, as one tree.

DriverError
├── PortError        a port that cannot be used; ``kind`` is the matching fault
│   ├── PortMissing  no such port, or nothing answers there
│   ├── PortDenied   the system does not let this person open it
│   ├── PortBusy     somebody else holds it
│   └── PortLost     it was open and went away
├── BadDevice        a device whose settings cannot work, or that cannot do what was asked of it
└── BadFile          a file of the maker's with every problem in it, one sentence each
    ├── BadBenchFile
    └── BadLineFormat
"""

from __future__ import annotations

from collections.abc import Sequence

from drivers.readings import FaultKind


class DriverError(Exception):
    """Base of everything this room raises; its text is one sentence a maker can act on."""


class PortError(DriverError):
    """A port that cannot be used. ``kind`` says why in the words of a Fault."""

    kind = FaultKind.NO_PORT


class PortMissing(PortError):
    """No such port, or nothing answers at the address."""


class PortDenied(PortError):
    """The system refuses to open the port for this person."""

    kind = FaultKind.NO_PERMISSION


class PortBusy(PortError):
    """Another program holds the port."""

    kind = FaultKind.BUSY


class PortLost(PortError):
    """The port was open and went away."""

    kind = FaultKind.UNPLUGGED


class BadDevice(DriverError):
    """Settings that cannot work, or a request this device does not know."""


class BadFile(DriverError):
    """A file with problems; ``problems`` holds one sentence each, already naming file and line."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


class BadBenchFile(BadFile):
    """The bench file."""


class BadLineFormat(BadFile):
    """The description of a line format."""
