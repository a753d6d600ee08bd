"""How much of a step's guidance is shown: full, normal or brief. Cautions are the same at all three.

Where a procedure says nothing of why, what it should look like or what goes wrong, the words for that kind of step
stand in (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

from benchapp.make.guidance_levels import Level
from benchapp.make.moment import Detail, Moment

#: For each kind of step: why it matters, what it looks like when it is right, what goes wrong.
WORDS: dict[str, Detail] = {
    "prepare": Detail(
        "What is on the tools ends up in the containers.",
        "Clean, sanitised, dry in the air, and everything within reach.",
        "Wiped off early, a sanitiser has not worked. A tool fetched later is a dirty tool.",
    ),
    "weigh": Detail(
        "The formula is its weights. What goes in wrong here cannot be found by looking.",
        "The number rests inside its band, with nothing touching the pan or the vessel.",
        "A hand on the bench, a draught, a drop on the lip that falls late.",
    ),
    "disperse": Detail(
        "Every grain has to find liquid of its own before its neighbours swell.",
        "Even and slightly hazy, without lumps.",
        "Tipped in at one spot it clumps, and a lump with a dry heart never dissolves.",
    ),
    "premix": Detail(
        "Stirred together first, small shares spread evenly later.",
        "One even liquid, nothing at the wall or the floor of the vessel.",
        "Left standing it separates again. Stir once more just before it is used.",
    ),
    "heat": Detail(
        "Everything has to be melted, and all phases equally hot, before they meet.",
        "Clear, with no flake left, and every probe deep in its liquid.",
        "A bath that boils dry, a probe that touches the wall, water that leaves as steam.",
    ),
    "top up": Detail(
        "Water lost as steam makes every other share larger than the formula says.",
        "The vessel weighs again what it did before.",
        "Cold water cools the phase. Take hot water, and let it come back into its band.",
    ),
    "combine": Detail(
        "Here it becomes an emulsion, or does not.",
        "White at once, even, with nothing floating on top.",
        "Too cold, too fast, or too little stirring: grains, or oil at the edge.",
    ),
    "blend": Detail(
        "Small droplets stay apart. Shear makes them small.",
        "Glossy and even, a little thicker after each burst.",
        "A head that breaks the surface beats in air.",
    ),
    "cool": Detail(
        "What comes next is spoiled by heat, and stirring keeps the wall from setting first.",
        "It thickens evenly and falls in ribbons.",
        "Cooled too fast it turns grainy; cooled too far it takes nothing up.",
    ),
    "add": Detail(
        "These are small shares that heat destroys or that have to be everywhere.",
        "An even colour without streaks.",
        "Added too hot they are lost; stirred too little, they sit in one place.",
    ),
    "measure ph": Detail(
        "Skin, preservative and thickener all depend on it.",
        "The reading rests for a minute.",
        "A warm or thick sample reads false. Two doses at once cannot be taken apart again.",
    ),
    "look": Detail(
        "Eyes, nose and fingers find what no scale shows.",
        "Like the kept sample of the last good batch.",
        "A doubt that is not written down is forgotten by the next batch.",
    ),
    "density": Detail(
        "Volume is declared and mass is filled; the density connects the two.",
        "The cup is level full, without bubbles.",
        "Air in it makes it light, and every container overfull.",
    ),
    "fill": Detail(
        "No container may be far below what it declares, and on average none below.",
        "Level, necks clean, caps tight.",
        "What runs down the outside is weighed but not sold.",
    ),
    "clean up": Detail(
        "The next batch begins with what this one leaves behind.",
        "Unplugged, empty, washed, dry, closed and labelled.",
        "A blade that is still plugged in, a bath that is still hot.",
    ),
    "finish": Detail(
        "What came out against what went in shows what was lost or weighed twice.",
        "A yield like that of the batches before.",
        "A signature under something nobody looked at.",
    ),
}  # fmt: skip


def full_detail(moment: Moment) -> Detail:
    """The guidance of the moment's step, from its file as far as that goes, else from its kind."""
    own, kind = moment.detail, WORDS.get(moment.step_kind, Detail())
    return Detail(own.why or kind.why, own.look or kind.look, own.wrong or kind.wrong)


def note_at(moment: Moment, level: Level) -> str:
    """The moment's own note, "" for brief. One that belongs to trouble or to a caution stays at every level."""
    stays = moment.trouble is not None or moment.face.cautions or moment.over
    return moment.face.note if stays or level != "brief" else ""


def coaching(moment: Moment, level: Level) -> tuple[str, ...]:
    """For full: why, what it looks like when it is right, what goes wrong, the dearest first; () for the others."""
    if level != "full" or moment.trouble is not None or moment.over:
        return ()
    detail = full_detail(moment)
    said = (("Why", detail.why), ("Right", detail.look), ("Wrong", detail.wrong))
    return tuple(f"{head}: {text}" for head, text in said if text)


def guided(moment: Moment, level: Level) -> Moment:
    """The moment as somebody at this level wants it drawn: its notes in one, and the detail for whoever asks.
    Everything else is the same at every level: cautions, readings, what may be pressed, why not yet."""
    said = " ".join(text for text in (note_at(moment, level), *coaching(moment, level)) if text)
    face = replace(moment.face, note=said)
    return replace(moment, face=face, detail=full_detail(moment))
