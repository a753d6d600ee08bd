"""What the first frame does not wait for: what it needs none of is loaded after it."""

from __future__ import annotations

import subprocess
import sys

LATER = (
    "sqlalchemy", "pydantic", "pint", "babel", "transitions", "procedures.model", "benchapp.events", "benchapp.make.core",
    "benchapp.make.view_model", "benchapp.screens.desk", "benchapp.screens.training", "benchapp.screens.recipes",
)  # fmt: skip


def test_nothing_heavy_is_loaded_before_the_first_frame(window):
    """``window``: where the libraries of a display are missing this is skipped with the other pages."""
    said = "import sys, benchapp.screens.app; print([m for m in sys.argv[1:] if m in sys.modules])"
    found = subprocess.run(
        [sys.executable, "-c", said, *LATER], capture_output=True, text=True, check=True, timeout=60,
        env={"SDL_VIDEODRIVER": "offscreen", "KIVY_NO_ARGS": "1", "KIVY_NO_CONSOLELOG": "1", "KIVY_NO_FILELOG": "1"},
    )  # fmt: skip
    assert found.stdout.strip().splitlines()[-1] == "[]"


AFTERWARDS = """
import sys, tempfile
from pathlib import Path
from benchapp.screens.environment import tame
tame(Path(tempfile.mkdtemp()))
from kivy.base import EventLoop
from kivy.core.window import Window
from benchapp.screens.app import BenchApp
app = BenchApp(lambda: None)
Window.add_widget(app.build())
before = "benchapp.screens.desk.batch_controller" in sys.modules
EventLoop.idle()
app.navigator.background.end()
print(before, all(f"benchapp.screens.{name}" in sys.modules for name in sys.argv[1:]))
"""


def test_what_a_touch_would_wait_for_is_loaded_after_the_first_frame(window):
    from benchapp.screens.controllers import MODULES

    found = subprocess.run(
        [sys.executable, "-c", AFTERWARDS, *MODULES], capture_output=True, text=True, check=True, timeout=60,
        env={"SDL_VIDEODRIVER": "offscreen"},
    )  # fmt: skip
    assert found.stdout.strip().splitlines()[-1] == "False True"
