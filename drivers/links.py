"""Opening a port by its address, finding an adapter again by its USB identity, and saying why not."""

from __future__ import annotations

import errno
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

import serial
from serial.tools import list_ports

from benchapp.foundation.language import tr
from drivers.addresses import HID, SYSFS, refused_address, scheme_of
from drivers.errors import PortBusy, PortDenied, PortError, PortMissing
from drivers.hid_link import open_hid
from drivers.settings import UsbIdentity
from drivers.sysfs_link import SYSFS_ROOT, open_temperature_file

try:
    import termios
except ImportError:  # a system without terminals of its own, such as Windows
    LINK_ERRORS: tuple[type[Exception], ...] = (serial.SerialException, OSError)
else:
    LINK_ERRORS = (serial.SerialException, OSError, termios.error)

#: How long one read waits before the thread looks whether it should stop. Bytes end the wait at once.
READ_WAIT_S = 0.25
WRITE_WAIT_S = 1.0
_CHUNK = 4096


@dataclass(frozen=True, slots=True)
class SerialSettings:
    """How the bytes go over the wire."""

    baud: int = 9600
    bits: int = 8
    parity: Literal["N", "E", "O"] = "N"
    stop_bits: int = 1


def open_link(url: str, line: SerialSettings, sysfs_root: Path = SYSFS_ROOT) -> Any:
    """An open link: a pyserial port, exclusive where the system can (POSIX device paths), or one that reads like it.

    Raises PortMissing, PortDenied or PortBusy, each with one sentence naming the port and what to do.
    """
    refused = refused_address(url)
    if refused:
        raise PortMissing(tr("{refused}. Correct the port in the bench file.", refused=refused))
    scheme = scheme_of(url)
    if scheme == HID:
        return open_hid(url, READ_WAIT_S)
    if scheme == SYSFS:
        return open_temperature_file(url, READ_WAIT_S, sysfs_root)
    return _open_serial(url, scheme, line)


def _open_serial(url: str, scheme: str, line: SerialSettings) -> Any:
    options: dict[str, Any] = {"timeout": READ_WAIT_S}
    if scheme != "rfc2217":  # pyserial has no write timeout there
        options["write_timeout"] = WRITE_WAIT_S
    if not scheme and os.name == "posix":
        options["exclusive"] = True
    try:
        return serial.serial_for_url(
            url,
            baudrate=line.baud,
            bytesize=line.bits,
            parity=line.parity,
            stopbits=line.stop_bits,
            **options,
        )
    except ValueError as trouble:
        raise PortMissing(
            tr(
                "{url} is not a port name or address that can be opened ({trouble}). Correct the "
                "port in the bench file.",
                url=url,
                trouble=trouble,
            )
        ) from trouble
    except LINK_ERRORS as trouble:
        raise why_not(url, trouble) from trouble


def read_chunk(link: Any) -> bytes:
    """Everything that is there, or the first bytes to come within the read's own short wait."""
    waiting = link.in_waiting
    if waiting != 1 or not _tells_only_one(link):
        return bytes(link.read(waiting or 1))
    # pyserial's socket only says whether there is something: take it all without waiting for more.
    link.timeout = 0
    try:
        return bytes(link.read(_CHUNK))
    finally:
        link.timeout = READ_WAIT_S


def _tells_only_one(link: Any) -> bool:
    return bool(type(link).__module__.endswith("protocol_socket"))


def why_not(url: str, trouble: BaseException) -> PortError:
    """The typed reason why a port did not open, from what the system said."""
    number = _errno(trouble)
    if "://" in url:
        return PortMissing(
            tr(
                "Nothing answers at {url} ({system_words}). Switch the serial server on, check the "
                "network and the address in the bench file.",
                url=url,
                system_words=_system_words(trouble),
            )
        )
    if number in (errno.EBUSY, errno.EAGAIN) or (os.name == "nt" and number == errno.EACCES):
        return PortBusy(
            tr(
                "Another program holds {url}. Close it there (a terminal program, a second bench "
                "window), and this bench takes it by itself.",
                url=url,
            )
        )
    if number in (errno.EACCES, errno.EPERM):
        return PortDenied(
            tr(
                "You may not open {url}. Join its group with: sudo usermod -a -G {group_of} $USER, "
                "then log out and in again.",
                url=url,
                group_of=_group_of(url),
            )
        )
    if number in (errno.ENOENT, errno.ENXIO, errno.ENODEV, errno.EIO):
        return PortMissing(
            tr(
                "There is no {url}. Plug the device in, or run benchapp listen and correct the port "
                "in the bench file.",
                url=url,
            )
        )
    return PortMissing(
        tr(
            "{url} does not open ({system_words}). Unplug the device and plug it in again, or "
            "run benchapp listen and correct the port in the bench file.",
            url=url,
            system_words=_system_words(trouble),
        )
    )


def _errno(trouble: BaseException) -> int | None:
    link: BaseException | None = trouble
    while link is not None:
        if isinstance(getattr(link, "errno", None), int):
            return int(getattr(link, "errno", 0))
        link = link.__cause__ or link.__context__
    # On Windows pyserial keeps the system's own exception only as text.
    if "PermissionError" in str(trouble):
        return errno.EACCES
    return errno.ENOENT if "FileNotFoundError" in str(trouble) else None


def _system_words(trouble: BaseException) -> str:
    number = _errno(trouble)
    return os.strerror(number).lower() if number else str(trouble).rstrip(".")


def _group_of(path: str) -> str:
    try:
        import grp

        group = grp.getgrgid(os.stat(path).st_gid).gr_name
    except (ImportError, OSError, KeyError):
        return "dialout"
    return "dialout" if group == "root" else group


def find_usb(usb: UsbIdentity, named: str) -> str:
    """The name under which a USB adapter stands now. ``named`` decides between two that look the same.

    Raises PortMissing when it is not plugged in, or when several look the same and none has the name.
    """
    found = [
        port.device
        for port in list_ports.comports()
        if (port.vid, port.pid) == (usb.vid, usb.pid)
        and (usb.serial_number is None or port.serial_number == usb.serial_number)
    ]
    if named in found:
        return named
    if len(found) == 1:
        return str(found[0])
    who = tr("the adapter {vid:04x}:{pid:04x}", vid=usb.vid, pid=usb.pid) + (
        f" {usb.serial_number}" if usb.serial_number else ""
    )
    if not found:
        raise PortMissing(
            tr(
                "{named}: {who} is not plugged in. Plug it in, and this bench finds it by itself.",
                named=named,
                who=who,
            )
        )
    raise PortMissing(
        tr(
            "{named}: several ports look like {who} ({names}). Unplug all but one, or write the "
            "right port in the bench file.",
            named=named,
            who=who,
            names=", ".join(found),
        )
    )
