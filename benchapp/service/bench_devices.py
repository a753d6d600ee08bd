"""The devices a make is made on: those of a bench file, or the simulated bench where there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from benchapp.events import DeviceFacts
from benchapp.foundation.language import tr
from benchapp.make.plan import Plan
from benchapp.make.plan_making import make_plan
from benchapp.runtime.device_checks import Check, checks_in, electrode, keep, passed_at
from benchapp.runtime.session_start import facts_of
from benchapp.service.errors import CommandError, on_disk
from drivers.settings import Bench, DeviceSettings
from procedures.batch import check_batch
from procedures.errors import Problem
from procedures.model import Procedure

if TYPE_CHECKING:
    from drivers.hearing import PortReport


class BenchDevices:
    """What stands on the bench, and its checks in ``folder``. ``bench`` None: the simulated bench."""

    def __init__(self, bench: Bench | None, folder: Path | None) -> None:
        self.bench = bench
        self._folder = folder

    @property
    def where(self) -> str:
        """The bench in words: its file's name, or that it is simulated."""
        return tr("a simulated bench") if self.bench is None else Path(self.bench.source).name

    def devices(self) -> tuple[DeviceSettings, ...]:
        """Every device, in the order of the bench."""
        if self.bench is not None:
            return self.bench.devices
        from drivers.simulated import DEFAULT_DEVICES

        return DEFAULT_DEVICES

    @property
    def simulated(self) -> bool:
        """Whether no device of it is real."""
        return self.bench is None

    # --- checks against known values -----------------------------------------------------------------

    def checked(self) -> dict[str, str]:
        """When each device passed its last check, by name; nothing without a data folder."""
        if self._folder is None:
            return {}
        return passed_at(self._folder, {d.name: d.channels for d in self.devices()}, self.simulated)

    def last_checks(self) -> dict[tuple[str, str], Check]:
        """The newest check of each channel that was ever checked, by itself or with its whole device; nothing without a data folder."""
        if self._folder is None:
            return {}
        newest: dict[tuple[str, str], Check] = {}
        of = {d.name: d.channels for d in self.devices()}
        for check in checks_in(self._folder, self.simulated):
            channels = (check.channel,) if check.channel else of.get(check.device, ())
            newest.update({(check.device, channel): check for channel in channels})
        return newest

    def keep_check(self, check: Check) -> str:
        """Remember a check for later makes; what two buffers together say of a pH electrode, "" where they do not."""
        if self._folder is None:
            return ""
        with on_disk():
            keep(self._folder, replace(check, simulated=self.simulated))
        return electrode(checks_in(self._folder, self.simulated), check.device) if check.unit == "pH" else ""

    def device_facts(self) -> tuple[DeviceFacts, ...]:
        """What the record of a make keeps of them."""
        checked = self.checked()
        return tuple(facts_of(d, checked.get(d.name, "")) for d in self.devices())

    # --- what can be made here -----------------------------------------------------------------------

    def weigh_sheet(self, procedure: Procedure, batch_g: float) -> Plan:
        """The weigh sheet of a batch on these scales."""
        return make_plan(procedure, batch_g, self.device_facts())

    def problems(self, procedure: Procedure, batch_g: float) -> tuple[Problem, ...]:
        """What stands against making this much here ("error"), and what makes it less than sure ("warning")."""
        return check_batch(procedure, batch_g, _scales(self.devices()))

    def impossible(self, procedure: Procedure, batch_g: float) -> tuple[str, ...]:
        """Every reason why this much cannot be made here."""
        problems = self.problems(procedure, batch_g)
        return tuple(f"{p.what}. {p.instead}." for p in problems if p.grade == "error")

    def require_possible(self, procedure: Procedure, batch_g: float) -> None:
        """Raises CommandError with every reason why this much cannot be made here."""
        problems = self.impossible(procedure, batch_g)
        if problems:
            raise CommandError("\n".join(problems))

    # --- another device ------------------------------------------------------------------------------

    def add_device(self, heard: PortReport, capacity_g: float | None) -> str:
        """Write what was heard into the bench file, and take the file for the bench; returns the device's name.

        Without a bench file one is begun in the data folder; a simulated bench is left for it. A scale has to come
        with its capacity. Raises BadDevice and BadBenchFile.
        """
        from drivers.bench_file import write_section
        from drivers.proposal import proposed_section

        name = self.free_name(heard.fits[0].kind if heard.fits else "device")
        write_section(self.bench_file, replace(proposed_section(heard, name), capacity_g=capacity_g))
        self.take_bench()
        return name

    @property
    def bench_file(self) -> Path:
        """The file of this bench, or the one that is begun for the first real device."""
        return Path(self.bench.source) if self.bench else (self._folder or Path()) / "bench.toml"

    def free_name(self, kind: str) -> str:
        """What the next device of a kind is called."""
        names = {d.name for d in self.bench.devices} if self.bench else set()
        return next(n for n in (kind, *(f"{kind} {i}" for i in range(2, 100))) if n not in names)

    def take_bench(self) -> None:
        """Read the bench file anew. Raises BadBenchFile."""
        from drivers.bench_file import read_bench

        self.bench = read_bench(self.bench_file)


def _scales(devices: Sequence[DeviceSettings]) -> list[tuple[float, float]]:
    return [(d.capacity_g, d.readability_g) for d in devices if d.capacity_g and d.readability_g]
