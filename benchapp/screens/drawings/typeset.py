"""Words set in type, the same way wherever they are measured or drawn."""

from __future__ import annotations

from typing import Any

from kivy.core.text import Label


def typeset(text: str = "", size: float = 24, bold: bool = False, **more: Any) -> Label:
    """Words in a size in pixels, to be measured or drawn; ``more`` as Kivy's core label has it."""
    # By its own default the core knows no ligatures, which the label that everybody draws with has.
    return Label(text=text, font_size=size, bold=bold, line_height=1.0, font_script_name="Latn", **more)


#: A word is alone on the last line of a paragraph where it takes less than this share of the width.
ALONE_SHARE = 0.35


def with_company(core: Label, text: str) -> str:
    """The text with the last two words of a paragraph kept on one line where its last line, as ``core`` has just laid them
    out, is one short word: as many lines as before, so nothing that was measured changes."""
    wide, paragraphs = core.text_size[0], text.split("\n")
    nth = since = 0
    for line in core._cached_lines:
        since += 1
        said = line.words[0].text.strip() if line.words else ""
        if not line.is_last_line:
            continue
        if since > 1 and said and " " not in said and line.w < ALONE_SHARE * wide and nth < len(paragraphs):
            before, _, last = paragraphs[nth].rstrip().rpartition(" ")
            pair = f"{before.rpartition(' ')[2]}\u00a0{last}"
            if before and last == said and core.get_extents(pair)[0] <= wide:
                paragraphs[nth] = f"{before}\u00a0{last}"
        nth, since = nth + 1, 0
    return "\n".join(paragraphs)
