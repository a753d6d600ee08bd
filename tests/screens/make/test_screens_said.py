"""What a view says is said at every size: a small glass may say it shorter, run on or smaller, but drops nothing in silence."""

from __future__ import annotations

import re

#: A countdown draws this sentence itself.
DRAWN = {"Taking it."}


def plain(words):
    return " ".join(words.replace("\u00a0", " ").split())


def test_every_reason_is_on_the_glass_or_counted_on_more(laid):
    dropped = []
    for x in laid:
        if x.view.act_view.cautions:
            continue
        shown = " ".join(plain(t.words) for t in x.texts)
        missing = [why for why in x.view.act_view.not_yet if plain(why) not in shown and why not in DRAWN]
        counted = re.search(r"More \((\d+)\)", " ".join(box.words for box, _ in x.buttons))
        if len(missing) > (int(counted[1]) if counted else 0):
            dropped.append((x.name, missing))
    assert not dropped


def test_every_reading_of_several_is_named_at_every_size(laid):
    for x in laid:
        shown = " ".join(plain(t.words) for t in (*x.texts, *x.drawing_texts))
        if len(x.view.act_view.live) > 1 and not x.view.act_view.cautions:
            assert all(live.name in shown for live in x.view.act_view.live), x.name
