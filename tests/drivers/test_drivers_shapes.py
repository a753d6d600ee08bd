"""Shapes beyond the plain line: frames without line ends, reversed digits, two-part weights, tickets, own requests."""

from __future__ import annotations

import os
import select
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drivers.devices import open_device
from drivers.errors import BadDevice, BadLineFormat
from drivers.finding import Search, listen
from drivers.formats import LineFormat, LineParser, describe, read_format, shipped_formats
from drivers.framing import Frame, FrameFraming
from drivers.proposal import proposed_section
from drivers.settings import DeviceSettings

FRAMED = """\
title = "Framed"
kinds = ["scale"]
frame = { start = "<STX>", end = "<ETX>" }
lines = ["{state}{value}{ }{unit}"]
[words.state]
S = "stable"
D = "moving"
[[example]]
line = "S  12.34 g"
reads = "12.34 g, stable"
"""
REVERSED = """\
title = "Reversed"
kinds = ["scale"]
frame = { start = "=", length = 8 }
digits = "reversed"
lines = ["{value}"]
fixed_unit = { scale = "g" }
[[example]]
line = "54.321 -"
reads = "-123.45 g"
"""
POUNDS = """\
title = "Pounds"
kinds = ["scale"]
lines = ["{pounds}{ }lb{ }{ounces}{ }oz", "{pounds}:{ounces}"]
[[example]]
line = "2 lb 3.5 oz"
reads = "1006.41 g"
"""
TICKET = """\
title = "Ticket"
kinds = ["scale"]
lines = ["{label}:{value}{ }{unit}"]
[words.label]
G = "ignore"
T = "ignore"
N = "net"
[[example]]
line = "N: 12.3 g"
reads = "12.3 g, net"
"""


@pytest.fixture
def own(tmp_path: Path) -> Callable[[str], LineFormat]:
    def write(text: str) -> LineFormat:
        path = tmp_path / "own.toml"
        path.write_text(text, encoding="utf-8")
        return read_format(path)

    return write


@given(st.lists(st.sampled_from([b"S 1.5 g", b"D -2.25 g", b"S 0.0 g"]), min_size=1, max_size=6), st.data())
def test_frames_are_whole_however_the_bytes_are_cut(bodies: list[bytes], data: st.DataObject) -> None:
    stream = b".3 g\x03" + b"".join(b"\x02" + body + b"\x03" for body in bodies)
    cut = data.draw(st.integers(0, len(stream)))
    framing = FrameFraming(Frame(b"\x02", b"\x03"))
    assert [*framing.feed(stream[:cut]), *framing.feed(stream[cut:])] == bodies


@given(st.data())
def test_a_frame_that_lost_bytes_is_never_filled_up_from_the_next(data: st.DataObject) -> None:
    frames = [b"=0054.321", b"=0154.321", b"=0254.321"]
    stream = b"".join(frames)
    gone = data.draw(st.integers(0, len(stream) - 1))
    heard = FrameFraming(Frame(b"=", length=8)).feed(stream[:gone] + stream[gone + 1 :] + b"=")
    assert set(heard) <= {frame[1:] for frame in frames}
    assert len(heard) >= 2


def test_bytes_without_a_frame_are_one_piece_of_garbage_and_no_memory() -> None:
    framing = FrameFraming(Frame(b"\x02", b"\x03"))
    assert framing.feed(b"x" * 10_000) == [None]
    assert framing.feed(b"\x02S 1 g\x03") == [b"S 1 g"]
    framing.feed(b"\x02S 1")
    framing.opened()
    assert framing.feed(b"2 g\x03") == []


@pytest.mark.parametrize(
    ("line", "reads"),
    [
        (b"2 lb 3.5 oz", "1006.41 g"),
        (b"-2lb3.5oz", "-1006.41 g"),
        (b"- 0 lb 3.5 oz", "-99.2233 g"),
        (b"2:03.5", "1006.41 g"),
        (b"2 lb 16.0 oz", "unreadable"),
        (b"2 lb -3.5 oz", "unreadable"),
        (b"2.5 lb 3.5 oz", "unreadable"),
        (b"2 lb", "unreadable"),
        (b"2 lb 3.5 oz 1", "unreadable"),
    ],
)
def test_pounds_and_ounces(own, line: bytes, reads: str) -> None:
    assert describe(LineParser(own(POUNDS), "scale").read(line), "scale") == reads


@pytest.mark.parametrize(("line", "value"), [(b"0054.321", 123.45), (b"54.321 -", -123.45), (b"321", 123.0)])
def test_reversed_digits(own, line: bytes, value: float) -> None:
    (spoke,) = LineParser(own(REVERSED), "scale").read(line)
    assert spoke.value == value


@pytest.mark.parametrize(
    ("change", "to", "says"),
    [
        ('end = "<ETX>"', 'end = "<ETX>", length = 8', "either an end or a length"),
        (', end = "<ETX>"', "", "either an end or a length"),
        ('"<STX>"', '"\u00e9"', "write a sign such as the start of text as <STX>"),
        ("lines", 'requests = { read = "\u00e9" }\nlines', "not printable ASCII"),
        ("lines", 'digits = "reversed"\nexponent = true\nlines', "reversed digits have no grouping"),
    ],
)
def test_a_frame_that_cannot_be_is_a_sentence(own, change: str, to: str, says: str) -> None:
    with pytest.raises(BadLineFormat, match=says):
        own(FRAMED.replace(change, to, 1))


def test_a_device_speaks_in_frames_through_a_real_port(own, far_end, start, ear) -> None:
    settings = DeviceSettings("it", "scale", far_end.name, "own", ("mass",))
    start(settings, formats={"own": own(FRAMED)})
    far_end.send(b"1.5 g\x03\x02S 12.34 g\x03\x02D")
    assert (ear.reading().value, ear.nothing_more()) == (12.34, None)
    far_end.send(b"\x02D 12.50 g\x03")
    assert ear.reading().value == 12.5


@pytest.fixture
def play(far_end) -> Iterator[Callable[..., str]]:
    """A device in a thread: sends ``speaks`` again and again, or answers ``asked`` with ``answer``."""
    wake, stop = os.pipe()
    threads: list[threading.Thread] = []

    def live(speaks: bytes, asked: bytes, answer: bytes) -> None:
        while True:
            ready, _, _ = select.select([far_end.fd, wake], [], [], 0.02 if speaks else None)
            if wake in ready:
                return
            if far_end.fd in ready:
                heard = os.read(far_end.fd, 1024)
                if asked and heard == asked:
                    os.write(far_end.fd, answer)
            elif speaks:
                os.write(far_end.fd, speaks)

    def begin(speaks: bytes = b"", asked: bytes = b"", answer: bytes = b"") -> str:
        threads.append(threading.Thread(target=live, args=(speaks, asked, answer), daemon=True))
        threads[-1].start()
        return far_end.name

    yield begin
    os.write(stop, b"x")
    for thread in threads:
        thread.join(5.0)
    os.close(wake)
    os.close(stop)


@pytest.mark.parametrize(
    ("text", "speaks", "reads"),
    [
        (FRAMED, b"\x02S  12.34 g\x03", "12.34 g, stable"),
        (REVERSED, b"=0054.321", "123.45 g"),
        (POUNDS, b"2 lb 3.5 oz\r\n", "1006.41 g"),
        (TICKET, b"G: 22.3 g\r\nT: 10.0 g\r\nN: 12.3 g\r\n\r\n", "12.3 g, net"),
    ],
)
def test_listening_tries_them(own, play, text: str, speaks: bytes, reads: str) -> None:
    formats = {**shipped_formats(), "own": own(text)}
    (heard,) = listen([play(speaks)], search=Search((9600,), 0.4), formats=formats)
    assert (heard.fits[0].format, set(heard.fits[0].reads) - {"nothing"}) == ("own", {reads})


CHECKED = TICKET.replace('G = "ignore"', 'G = "ticket gross"').replace('T = "ignore"', 'T = "ticket tare"')


@pytest.mark.parametrize(
    ("ticket", "says"),
    [
        (b"G: 22.3 g|T: 10.0 g|N: 12.3 g", "12.3 g, net"),
        (b"G: 22.3 g|T: 10.0 g|N: 12.2 g", "12.2 g, net"),  # each of the three is rounded
        (b"G: 22.3 g|T: 10.0 g|N: 12.1 g", "do not go together"),
        (b"G: 22.3 g|T: 10.0 g|N: 72.3 g", "do not go together"),
        (b"G: 1.0223 kg|T: 10.0 g|N: 1012.3 g", "1012.3 g, net"),
        (b"G: 22.3 g|N: 12.3 g", "has no tare line"),
        (b"T: 10.0 g|N: 12.3 g", "has no gross line"),
        (b"G: 22.3 g|T: 1O.0 g|N: 12.3 g", "has no tare line"),
        (b"N: 12.3 g", "12.3 g, net"),  # heard from its end on: nothing to hold it against
    ],
)
def test_a_ticket_counts_where_net_is_gross_less_tare(own, ticket: bytes, says: str) -> None:
    assert "ticket gross" in CHECKED
    parser = LineParser(own(CHECKED), "scale")
    *parts, net = [parser.read(line) for line in ticket.split(b"|")]
    assert not any(reading.value is not None for readings in parts for reading in readings)
    (last,) = net
    said = last.why if last.fault is not None else describe(net, "scale")
    assert says in said
    assert (last.value is None) is (last.fault is not None)


def test_one_ticket_s_gross_is_not_held_against_the_next_one_s_net(own) -> None:
    parser = LineParser(own(CHECKED), "scale")
    for line in (b"G: 22.3 g", b"T: 10.0 g", b"N: 72.3 g", b"G: 50.0 g", b"T: 10.0 g"):
        parser.read(line)
    (last,) = parser.read(b"N: 40.0 g")
    assert last.value == 40.0


def test_a_ticket_of_gross_and_net_fits_no_shipped_format(play) -> None:
    port = play(b"G: 22.3 g\r\nT: 10.0 g\r\nN: 12.3 g\r\n")
    (heard,) = listen([port], search=Search((9600,), 0.6), formats=shipped_formats())
    assert heard.fits == ()
    assert "gross and net by turns" in {m.format: m.why for m in heard.misfits}["labelled"]


def test_a_device_is_asked_with_the_makers_own_word(play, start, clock, ear, far_end) -> None:
    port = play(asked=b"P\r\n", answer=b"12.3 g\r\n")
    (heard,) = listen([port], search=Search((9600,), 0.1, "P"), formats=shipped_formats())
    assert (heard.asked, heard.fits[0].format) == ("P", "number-unit")
    section = proposed_section(heard, "it")
    assert section.options == {"request": "P"}
    start(section).tend(clock.pass_s(0.5))
    assert ear.reading().value == 12.3


def test_a_request_may_be_a_sign_that_cannot_be_typed(clock, ear, far_end, start) -> None:
    settings = DeviceSettings(
        "it", "scale", far_end.name, "number-unit", ("mass",), period_s=0.5, options={"request": "<ESC>P"}
    )
    start(settings).tend(clock.pass_s(0.5))
    far_end.expect(b"\x1bP\r\n")


def test_a_request_that_cannot_be_sent_is_refused_before_a_port_is_opened() -> None:
    with pytest.raises(ValueError, match="not printable"):
        listen(["/nowhere"], search=Search(request="\u00e9"), formats={})
    odd = DeviceSettings("it", "scale", "COM1", "number-unit", ("mass",), options={"request": "\u00e9"})
    with pytest.raises(BadDevice, match="not printable"):
        open_device(odd, lambda: 0.0, lambda spoken: None)


def test_what_nobody_understands_is_shown_byte_by_byte(play) -> None:
    (heard,) = listen([play(b"\x02?7")], search=Search((9600,), 0.2), formats=shipped_formats())
    assert (heard.fits, heard.raw[:3]) == ((), b"\x02?7")
