"""A bench file names where a device hangs; it may not make the program do anything else with what it names."""

from __future__ import annotations

from pathlib import Path

import pytest

from drivers.bench_file import read_bench
from drivers.errors import BadBenchFile, PortMissing
from drivers.links import SerialSettings, open_link

BENCH = '[[device]]\nname = "scale"\nkind = "scale"\nport = "{port}"\nformat = "number-unit"\nreadability = "0.1 g"\ncapacity = "3000 g"\n'
#: Addresses pyserial itself would follow: one that empties a file, one that searches, one that plays an echo.
OTHERS = ("spy:///dev/null?file={victim}", "alt:///dev/null?class=Serial", "hwgrep://usb", "loop://", "SPY:///dev/null?file={victim}")  # fmt: skip


@pytest.fixture
def victim(tmp_path: Path) -> Path:
    """A file of the user's that no bench file has any business with."""
    file = tmp_path / "accounts.txt"
    file.write_text("three years of them", encoding="utf-8")
    return file


@pytest.mark.parametrize("address", OTHERS)
def test_what_is_no_device_and_no_serial_server_is_refused_with_its_line(address, victim, tmp_path):
    file = tmp_path / "bench.toml"
    file.write_text(BENCH.format(port=address.format(victim=victim)), encoding="utf-8")
    with pytest.raises(BadBenchFile) as refused:
        read_bench(file)
    assert f"{file}:4" in str(refused.value)
    assert "socket://" in str(refused.value), "and says what may stand there"


@pytest.mark.parametrize("address", OTHERS)
def test_nor_is_it_opened_where_it_comes_from_elsewhere(address, victim):
    with pytest.raises(PortMissing):
        open_link(address.format(victim=victim), SerialSettings())
    assert victim.read_text(encoding="utf-8") == "three years of them"


@pytest.mark.parametrize(
    "address", ["/dev/ttyUSB0", "COM7", "socket://10.0.0.7:4001", "rfc2217://10.0.0.7:2002"]
)
def test_devices_and_serial_servers_are_still_named_as_before(address, tmp_path):
    file = tmp_path / "bench.toml"
    file.write_text(BENCH.format(port=address), encoding="utf-8")
    assert read_bench(file).devices[0].port == address
