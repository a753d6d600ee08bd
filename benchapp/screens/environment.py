"""Kivy's global habits, tamed before its first import: arguments, config files, logging, home folder, input."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from benchapp.foundation.language import tr

#: What a window is drawn with and pip can't bring, and the Debian package of each.
LIBRARIES = {"libGL.so.1": "libgl1", "libEGL.so.1": "libegl1"}


def tame(home: Path, *, fullscreen: bool = False, size: tuple[int, int] = (1280, 800)) -> None:
    """Set Kivy up for a bench. Has to be called before anything of Kivy is imported.

    ``home`` is a folder of our own for Kivy's files. Density is pinned to 1: every size here is computed from
    the panel's real pixel pitch, never from a guess of Kivy's.
    """
    home.mkdir(parents=True, exist_ok=True)
    os.environ.update(
        KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_ENV_CONFIG="1", KIVY_LOG_MODE="PYTHON",
        KIVY_HOME=str(home), KIVY_DPI="96", KIVY_METRICS_DENSITY="1", KIVY_CLOCK="free_all",
    )  # fmt: skip
    from kivy.config import Config

    width, height = size
    Config.set("graphics", "multisamples", "0")
    Config.set("graphics", "width", str(width))
    Config.set("graphics", "height", str(height))
    Config.set("graphics", "fullscreen", "auto" if fullscreen else "0")
    Config.set("graphics", "resizable", "1")
    Config.set("kivy", "exit_on_escape", "0")
    Config.set("kivy", "log_level", "warning")
    # One input provider: SDL's own window events. A second one for the same glass doubles every touch.
    Config.remove_section("input")
    Config.add_section("input")
    Config.set("input", "mouse", "mouse,disable_multitouch")


def display_missing() -> str:
    """Why no window can be opened here, in one sentence with what to do; "" where one can be."""
    if os.environ.get("SDL_VIDEODRIVER") in ("offscreen", "dummy"):
        return ""
    if os.name == "posix" and os.uname().sysname == "Linux" and not (
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY") or Path("/dev/dri/card0").exists()
    ):  # fmt: skip
        return tr("There is no display here, so the make is guided in the terminal.")
    if packages_missing():
        return tr(
            "The display's system libraries are missing: sudo apt install libegl1 libgl1 libgles2 libmtdev1."
        )
    return ""


def packages_missing() -> list[str]:
    """The Debian packages without which no window can be opened, those that are not installed on this Linux."""
    if sys.platform != "linux":
        return []
    return [package for library, package in LIBRARIES.items() if not _loads(library)]


def _loads(library: str) -> bool:
    import ctypes

    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True
