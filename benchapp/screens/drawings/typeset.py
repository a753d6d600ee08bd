"""Words set in type, the same way wherever they are measured or drawn."""

from __future__ import annotations

from typing import Any

from kivy.core.text import Label


def typeset(text: str = "", size: float = 24, bold: bool = False, **more: Any) -> Label:
    """Words in a size in pixels, to be measured or drawn; ``more`` as Kivy's core label has it."""
    # By its own default the core knows no ligatures, which the label that everybody draws with has.
    return Label(text=text, font_size=size, bold=bold, line_height=1.0, font_script_name="Latn", **more)
