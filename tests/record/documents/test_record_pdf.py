"""The printed record, read back: text and order by PDFium, the curve as a picture, the codes by a code reader."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_batch import BATCH, after, events, record, stored_from
from paper import codes_on, fonts_of, picture_of, sizes_of, text_of

from benchapp import events as ev
from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import speaking
from benchapp.record.documents.as_pdf import APPENDIX, REHEARSAL, as_pdf
from benchapp.record.documents.fonts import markup, shown
from benchapp.record.documents.page import cell
from benchapp.record.documents.sections import IN_ORDER
from benchapp.record.drawing_up import record_of
from benchapp.record.kettles import KettleRow

CHAIN = "0123456789abcdef" * 4


@pytest.fixture(scope="module")
def pdf() -> bytes:
    """The released batch on A4."""
    return as_pdf(record(*after()), CHAIN)


@pytest.fixture(scope="module")
def pages(pdf) -> list[str]:
    return text_of(pdf)


def test_every_page_names_the_batch_and_its_place(pages):
    for n, page in enumerate(pages, 1):
        assert BATCH in page
        assert f"page {n} of {len(pages)}" in page
        assert REHEARSAL not in page


def test_the_sections_stand_in_their_order(pages):
    text = "\n".join(pages)
    titles = [t for t, _ in IN_ORDER if t not in ("Kettles", "Corrections", "Complaints")] + [
        "Against alteration",
        APPENDIX,
    ]
    places = [re.search(rf"^\s*{re.escape(t)}\s*$", text, re.MULTILINE) for t in titles]
    assert all(places), [t for t, p in zip(titles, places, strict=True) if not p]
    assert [p.start() for p in places] == sorted(p.start() for p in places)


def test_each_kettle_of_a_split_batch_is_a_row():
    rows = (
        KettleRow(1, ("water pot 1", "oil pot 1"), 250.5, 50.1, 247.0, 3.5, 74.2, (2,)),
        KettleRow(2, ("water pot 2", "oil pot 2"), 249.5, 49.9, 246.0, 3.5, None, ()),
    )
    text = "\n".join(text_of(as_pdf(replace(record(*after()), kettles=rows), CHAIN)))
    assert re.search(r"kettle 1\s+water pot 1, oil pot 1\s+250\.5\d* g\s+50\.1\d* %", text)
    assert re.search(r"74\.2 °C\s+2\b", text)
    assert re.search(r"kettle 2\s+water pot 2", text)


def test_a_weighing_is_one_row_with_plan_band_actual_and_scale(pages):
    text = "\n".join(pages)
    assert re.search(
        r"Purified water\s+water pot\s+376\.0\s+368\.48 to 383\.52\s+377\.1 g\s+bench scale", text
    )
    assert re.search(r"Vitamin E\s+cool-down boat\s+1\.50\s+1\.47 to 1\.53\s+1\.62 g", text)
    assert "outside the limits" in text
    assert "lot LT-vitamin-" in text


def test_who_signed_what_and_when(pages):
    text = "\n".join(pages)
    assert re.search(r"Mara Lind\s+made as recorded\s+2026-03-02 11:29:50 \+01:00\s+own PIN", text)
    assert "Released by Ines Varga (releaser), 2026-03-03 11:35:00 +01:00: all checks passed" in text
    assert re.search(r"accepted by Ines Varga", text)


def test_the_heads_of_a_long_table_repeat():
    many = [
        ev.BottleFilled(at_s=9900 + n, step="17-fill", vessel="water-pot", number=n, net_g=97.3, low_g=97.0, target_g=97.291, source=ev.Source.MEASURED)
        for n in range(5, 99)
    ]  # fmt: skip
    found = [p for p in text_of(as_pdf(record(*many))) if re.search(r"bottle \d+ ", p)]
    assert len(found) >= 2
    assert all("aimed at g" in p for p in found)


def test_the_procedure_stands_there_whole(pages):
    text = "\n".join(pages)
    numbered = dict(re.findall(r"^ *(\d+) {2}(.*)$", text[text.index(APPENDIX) :], re.MULTILINE))  # fmt: skip
    for n, line in enumerate(record().procedure_text.splitlines(), 1):
        assert numbered.get(str(n), "").split() == line[:122].split(), f"line {n}"


def test_both_hashes_can_be_read_as_text_and_by_a_code_reader(pdf, pages):
    head = record(*after()).head
    place = next(n for n, p in enumerate(pages, 1) if "Against alteration" in p)
    assert head in pages[place - 1]
    assert CHAIN in pages[place - 1]
    assert {c.text for c in codes_on(picture_of(pdf, place))} == {head, CHAIN}


def test_the_curve_of_both_phases_its_band_and_its_legend_are_drawn(pdf, pages):
    place = next(n for n, p in enumerate(pages, 1) if "water pot (measured)" in p)
    assert "oil pot (measured)" in pages[place - 1]
    assert "limits of the step" in pages[place - 1]
    inked = picture_of(pdf, place).getcolors(1 << 24) or []
    counted = dict((colour, count) for count, colour in inked)
    water, oil, band = (0x0A, 0x53, 0x64), (0x8A, 0x1F, 0x14), (0xE3, 0xEE, 0xE3)
    assert counted.get(water, 0) > 300, "the water phase"
    assert counted.get(oil, 0) > 100, "the oil phase"
    assert counted.get(band, 0) > 5000, "the bands"
    without = as_pdf(
        record_of(stored_from([e for e in events() if not isinstance(e, ev.TemperaturesLogged)]))
    )
    assert "limits of the step" not in "".join(text_of(without))


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("letter", (612, 792))])
def test_paper(paper, size):
    """A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 inches (ANSI/ASME Y14.1)."""
    pdf = as_pdf(record(rehearsal=True), paper=paper)
    assert sizes_of(pdf) == pytest.approx(size, abs=0.5)
    assert all(REHEARSAL in page for page in text_of(pdf))


def test_all_typefaces_are_in_the_file(pdf):
    found = fonts_of(pdf)
    assert found
    assert all(found.values()), found


def test_the_same_events_give_the_same_bytes():
    assert as_pdf(record(), CHAIN) == as_pdf(record(), CHAIN)
    assert as_pdf(record(), CHAIN) != as_pdf(record(*after()), CHAIN)


def test_text_from_elsewhere_is_never_obeyed():
    nasty = '<b>Mara</b> & <img src="file:///etc/hostname"/> </para>'
    found = text_of(as_pdf(record(maker=nasty)))
    assert "<b>Mara</b> & <img" in re.sub(r"\s+", " ", "\n".join(found))


def test_what_cannot_be_seen_or_drawn_is_spelled_out():
    assert shown("a\x00b\u202e\u4e2d\ud800°×−αИ") == "a‹U+0000›b‹U+202E›‹U+4E2D›‹U+D800›°×−αИ"
    assert markup("<&>") == "&lt;&amp;&gt;"
    assert as_pdf(record(maker="\x00\u4e2d" * 40)).startswith(b"%PDF")


@given(st.text(alphabet=st.characters(codec=None), max_size=60))
def test_any_text_can_stand_in_a_cell_and_nothing_of_it_is_markup(text):
    made = cell(text, small=text)
    made.wrap(80, 800)
    assert "".join(made.getPlainText(identify=True).split()) == "".join((shown(text) * 2).split())


def test_a_very_long_word_and_a_very_long_text_stay_on_the_page():
    long = "wherefore " * 4000 + "x" * 300
    note = ev.DeviationNoted(at_s=1.0, number=2, grade=ev.Grade.NOTE, kind="note", step="01-prepare", text=long)  # fmt: skip
    text = re.sub(r"\s+", " ", "\n".join(text_of(as_pdf(record(note)))))
    assert text.count("wherefore") == 4000


@pytest.mark.parametrize("cut", [1, 3, 60])
def test_an_unfinished_make_can_be_printed(cut):
    text = "\n".join(text_of(as_pdf(record_of(stored_from(events()[:cut])))))
    assert "unfinished" in text
    assert "Nobody has signed." in text


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("de", ("Nr. Schritt", "Zutat und Los in geplant g", "von 75,2 %", "verdünnt", "gescannt")),
        ("fr", ("N° ", " dans ")),
    ],
)
def test_a_paper_in_another_language_has_no_word_of_english_in_its_heads(code, words):
    with speaking(language_of(code)):
        pages = text_of(as_pdf(record(*after())))
    text = "\n".join(
        re.sub(" +", " ", page) for page in pages[: next(n for n, p in enumerate(pages) if "[formula]" in p)]
    )
    assert not re.findall(
        r"\b(?:into(?! the)|stayed(?! wet)|warmest|diluted|scanned|remembered|picked|nein)\b", text
    )
    assert not re.findall(r"\d\.\d+ %", text), "a point where the language has a comma"
    for each in words:
        assert each in text


def test_a_corrected_wait_stands_on_paper_as_it_is_now():
    n = next(n for n, e in enumerate(events(), 1) if isinstance(e, ev.BurstDone))
    wrong = ev.Corrected(
        at_s=11_000, n=n, field="seconds", old="40.0", new="55", reason="a slip", by="Mara Lind"
    )
    text = "\n".join(text_of(as_pdf(record_of(stored_from([*events(), wrong])))))
    (row,) = re.findall(r"burst 1 of the blender +(\S+) s\b", text)
    assert row == "55"
    assert "Corrected, seconds: 40.0 to 55. a slip" in text
