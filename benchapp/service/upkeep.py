"""Whether this machine and this bench are in order: one sentence for each matter, and what to do where it is not."""

from __future__ import annotations

import platform
import shutil
import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from benchapp.foundation.language import tr
from benchapp.record.backups import NAME_A_PLACE
from benchapp.record.documents.plain_text import minute
from benchapp.record.journal import Journal
from benchapp.record.tables import SCHEMA
from benchapp.runtime.program import program_version
from benchapp.runtime.removable_disks import Disk
from benchapp.runtime.settings import close_to_others, open_to_others
from benchapp.service.desk import Desk
from benchapp.service.errors import on_disk
from benchapp.service.open_matters import SettledAt, open_matters
from benchapp.service.safekeeping import (
    NO_PLACE,
    ON_A_STICK,
    CopyPlaces,
    begin_copies,
    copy_places,
    end_copies,
)
from benchapp.service.wording import closing_command
from drivers.errors import PortError
from drivers.links import SerialSettings, find_usb, open_link
from drivers.readings import FaultKind
from drivers.settings import Bench, DeviceSettings

#: Less free space than this, in MB, is too little for a year of batches and the copies SQLite makes of a page.
LEAST_MB = 500
#: Where systemd says that it keeps the clock, and that it has (from memory).
TIMESYNC = Path("/run/systemd/timesync")


#: The matters that a page deals with in a way of its own.
COPIES, PRIVACY, VERSIONS = "copies", "privacy", "versions"


@dataclass(frozen=True, slots=True)
class UpkeepFinding:
    """One matter: whether it is in order, and the sentence about it. ``detail``: where on this machine, and what is typed,
    for whoever looks after it. ``settled_at``: where somebody goes to settle it, and the ``batch`` whose page that is;
    ``unused``: it is in order since there is none of it."""

    matter: str
    fine: bool
    text: str
    detail: str = ""
    settled_at: SettledAt = SettledAt.UPKEEP
    batch: str = ""
    unused: bool = False


class Upkeep:
    """Everything that is looked at, on one journal, its folder and the bench that is used, and what is done about it.

    ``open_port`` opens a device's port to see whether that can be done.
    """

    def __init__(
        self,
        journal: Journal,
        bench: Bench | None,
        open_port: Callable[[DeviceSettings], None] | None = None,
        timesync: Path = TIMESYNC,
    ) -> None:
        self._journal, self._bench = journal, bench
        self._folder = journal.path.parent
        self._open_port = open_port or opened_and_closed
        self._timesync = timesync

    def close_records(self) -> str:
        """Let nobody else on this machine get at the records; how it went."""
        try:
            close_to_others(self._folder)
        except OSError as error:
            return tr("They could not be closed: {error}", error=error)
        return tr("Only you can get at your records.")

    def copy_places(self) -> CopyPlaces:
        """Where copies of the journal go, and where they could."""
        return copy_places(self._journal, self._folder)

    def begin_copies(self, disk: Disk) -> str:
        """Onto that stick from now on; how it went. Raises RecordError."""
        with on_disk():
            return begin_copies(self._journal, self._folder, disk.folder / ON_A_STICK)

    def end_copies(self) -> str:
        """No more copies by themselves; how it went."""
        with on_disk():
            return end_copies(self._folder)

    def findings(self) -> tuple[UpkeepFinding, ...]:
        """Every matter in turn, what would lose the records first; nothing is changed. Raises RecordError where the journal
        cannot be read."""
        return (
            self._disk(),
            self._copies(),
            self._clock(),
            self._rights(),
            *self._devices(),
            *self._due(),
            self._versions(),
        )

    def _disk(self) -> UpkeepFinding:
        free_mb = shutil.disk_usage(self._folder).free / 1e6
        if free_mb >= LEAST_MB:
            return UpkeepFinding("disk", True, tr("{free_mb:.1f} GB are free.", free_mb=free_mb / 1000))
        return UpkeepFinding(
            "disk",
            False,
            tr("Only {free_mb:.0f} MB are free; make room.", free_mb=free_mb),
            str(self._folder),
        )

    def _clock(self) -> UpkeepFinding:
        now, newest = self._journal.wall(), self._journal.newest()
        last = newest.wall if newest else ""
        if last and datetime.fromisoformat(now) < datetime.fromisoformat(last):
            return UpkeepFinding(
                "clock",
                False,
                tr(
                    "It says {minute}, and something was recorded on {minute_2}. Set the clock.",
                    minute=minute(now),
                    minute_2=minute(last),
                ),
            )
        if self._timesync.is_dir() and not (self._timesync / "synchronized").exists():
            return UpkeepFinding(
                "clock", False, tr("It says {minute}, and nobody on the network has confirmed that since the start. "
                                   "Connect the network, or compare it with another clock.", minute=minute(now))
            )  # fmt: skip
        return UpkeepFinding("clock", True, tr("It says {minute}.", minute=minute(now)))

    def _rights(self) -> UpkeepFinding:
        places = open_to_others(self._folder)
        if not places:
            return UpkeepFinding(PRIVACY, True, tr("Only you can get at your records."), str(self._folder))
        names = ", ".join(str(p) for p in places[:3])
        return UpkeepFinding(
            PRIVACY,
            False,
            tr("Other users of this machine can read your records."),
            tr("{names}. Mend it: {command}", names=names, command=closing_command(places)),
        )

    def _devices(self) -> tuple[UpkeepFinding, ...]:
        if self._bench is None:
            named = tr("Its bench file is named with --bench.")
            none = tr("No bench with devices was used here yet.")
            return (UpkeepFinding("devices", True, none, named, unused=True),)
        return tuple(self._device(device) for device in self._bench.devices)

    def _device(self, device: DeviceSettings) -> UpkeepFinding:
        try:
            self._open_port(device)
        except PortError as trouble:
            if trouble.kind is FaultKind.BUSY:
                return UpkeepFinding(device.name, True, tr("It is in use just now."), device.port)
            return UpkeepFinding(device.name, False, str(trouble))
        return UpkeepFinding(device.name, True, tr("It is plugged in."), device.port)

    def _copies(self) -> UpkeepFinding:
        places = copy_places(self._journal, self._folder)
        if not places.now:
            return UpkeepFinding(COPIES, False, tr(NO_PLACE), tr(NAME_A_PLACE))
        good = tr("The newest copy in {now} is good.", now=places.now)
        return UpkeepFinding(COPIES, not places.wrong, places.wrong or good)

    def _due(self) -> tuple[UpkeepFinding, ...]:
        return tuple(
            UpkeepFinding(one.what, False, one.said, one.more, one.settled_at, one.batch)
            for one in open_matters(Desk(self._journal))
        ) or (UpkeepFinding("due", True, tr("No check, care or date is due.")),)

    def _versions(self) -> UpkeepFinding:
        program = program_version() or tr("not installed, run from its source")
        text = tr(
            "Program {program}, journal {schema}, Python {python_version}, SQLite {sqlite_version}.",
            program=program,
            schema=SCHEMA,
            python_version=platform.python_version(),
            sqlite_version=sqlite3.sqlite_version,
        )
        return UpkeepFinding(VERSIONS, True, text)


def opened_and_closed(device: DeviceSettings) -> None:
    """Open a device's port and let go of it again. Raises PortError."""
    name = find_usb(device.usb, device.port) if device.usb else device.port
    open_link(name, SerialSettings(device.baud, device.bits, device.parity, device.stop_bits)).close()


def in_order(findings: Sequence[UpkeepFinding]) -> bool:
    """Whether nothing has to be done."""
    return all(one.fine for one in findings)
