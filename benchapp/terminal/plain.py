"""Text as a terminal may get it. Control characters never get through."""

from __future__ import annotations


def clean(text: str) -> str:
    """The text without anything that could steer a terminal."""
    return text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)
