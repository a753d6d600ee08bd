"""Which ports a bench file may name, and the one spelling of each. The whole rule stands here. No I/O but for links
of the file system that are followed."""

from __future__ import annotations

import os
import posixpath
import re
from urllib.parse import urlsplit

from benchapp.foundation.language import tr, tr_noop
from drivers.settings import UsbIdentity

#: A serial server on the network, by what stands before "://".
NETWORK = ("socket", "rfc2217")
#: A weighing device of USB's class for human interface devices, and a thermometer that Linux shows as a file.
HID, SYSFS = "hid", "sysfs"

_HID = re.compile(r"hid:([0-9a-fA-F]{4}):([0-9a-fA-F]{4})(?::([!-~]{1,64}))?")
#: The names under which Linux shows a temperature: hwmon, and both of its driver for 1-wire.
_TEMPERATURE = re.compile(r"temp[0-9]{1,3}_input|temperature|w1_slave")
_SYS = "/sys/"
#: Serial ports of Windows, and where other systems keep their devices.
_COM = re.compile(r"(?:\\\\\.\\)?COM[0-9]{1,3}", re.IGNORECASE)
_DEV = "/dev/"
#: What may stand as a port, in words.
PERMITTED = tr_noop(
    "/dev/…, COM…, socket://host:port, rfc2217://host:port, hid:VENDOR:PRODUCT or sysfs:/sys/…/temp1_input"
)


def scheme_of(url: str) -> str:
    """What stands before an address, in small letters; "" for a device's own name."""
    if "://" in url:
        return url.partition("://")[0].lower()
    head, colon, _ = url.partition(":")
    return head.lower() if colon and head.lower() in (HID, SYSFS) else ""


def refused_address(url: str) -> str:
    """ "" or why an address is none of a device. pyserial would follow others: spy:// empties any file its user owns,
    and a bench file comes from anywhere. A device's own name may be a link to it, and no way out of its folder."""
    scheme = scheme_of(url)
    if scheme == HID:
        return "" if _HID.fullmatch(url) else _unlike(url, tr('hid:1234:5678", or "hid:1234:5678:SERIAL'))
    if scheme == SYSFS:
        return _refused_file(url)
    if scheme in NETWORK or (not scheme and _is_device(url)):
        return ""
    return tr("{url!r} is no device and no serial server; write {permitted}", url=url, permitted=PERMITTED)


def _is_device(name: str) -> bool:
    """Whether a name is a port's: COM…, or a path that leads into the folder of devices, if it leads anywhere yet."""
    if _COM.fullmatch(name):
        return True
    if not name.startswith("/") or "\0" in name:
        return False
    return not os.path.lexists(name) or re.sub("^/+", "/", os.path.realpath(name)).startswith(_DEV)


def incomplete_address(url: str) -> str:
    """ "" or what a permitted address lacks."""
    scheme = scheme_of(url)
    if scheme not in NETWORK:
        return ""
    try:
        parts = urlsplit(url)
        complete = bool(parts.hostname and parts.port)
    except ValueError:
        complete = False
    return (
        ""
        if complete
        else tr(
            '{url!r} lacks a host or a port; write it like "{scheme}://192.168.1.20:4001"',
            url=url,
            scheme=scheme,
        )
    )


def one_port(url: str) -> str:
    """The one spelling of a port's address: links and ".." followed, capitals apart where they make no difference."""
    scheme = scheme_of(url)
    if "\0" in url:
        return url  # no port, and refused as none
    if scheme == HID:
        return hid_address(hid_identity(url)) if _HID.fullmatch(url) else url
    if scheme == SYSFS:
        return f"{SYSFS}:{os.path.realpath(url.partition(':')[2])}"
    if not scheme:
        return url.upper() if url.upper().startswith("COM") else re.sub("^/+", "/", os.path.realpath(url))
    try:
        parts = urlsplit(url)
        return f"{parts.scheme.lower()}://{parts.hostname}:{parts.port}"
    except ValueError:
        return url  # no address at all; that is said elsewhere


def hid_identity(url: str) -> UsbIdentity:
    """Which device on the bus a ``hid:`` address means. Raises ValueError for one that is not permitted."""
    match = _HID.fullmatch(url)
    if match is None:
        raise ValueError(refused_address(url))
    return UsbIdentity(int(match[1], 16), int(match[2], 16), match[3])


def hid_address(usb: UsbIdentity) -> str:
    """The address of a device on the bus; without its serial number where that cannot be written in one."""
    plain = f"{HID}:{usb.vid:04x}:{usb.pid:04x}"
    named = f"{plain}:{usb.serial_number}"
    return named if usb.serial_number and _HID.fullmatch(named) else plain


def temperature_path(url: str) -> str:
    """The path behind ``/sys/`` that a ``sysfs:`` address means. Raises ValueError for one that is not permitted."""
    refused = _refused_file(url)
    if refused:
        raise ValueError(refused)
    return url.partition(":")[2].removeprefix(_SYS)


def is_temperature(path: str) -> bool:
    """Whether Linux shows a temperature under this name."""
    return bool(_TEMPERATURE.fullmatch(posixpath.basename(path)))


def _refused_file(url: str) -> str:
    path = url.partition(":")[2]
    if (
        "\0" in path
        or not path.startswith(_SYS)
        or posixpath.normpath(path) != path
        or not is_temperature(path)
    ):
        return _unlike(url, "sysfs:/sys/class/hwmon/hwmon0/temp1_input")
    return ""


def _unlike(url: str, example: str) -> str:
    return tr('{url!r} is no device; write it like "{example}"', url=url, example=example)
