"""Lines are whole or they are nothing."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drivers.framing import MAX_LINE, LineFraming, RtuFraming
from drivers.modbus import crc16


def fed(framing: LineFraming | RtuFraming, *chunks: bytes) -> list[bytes | None]:
    return [line for chunk in chunks for line in framing.feed(chunk)]


@pytest.mark.parametrize("end", [b"\r", b"\n", b"\r\n"])
def test_every_terminator_ends_a_line(end: bytes) -> None:
    assert fed(LineFraming(), b"cut" + end + b"1 g" + end + b"2 g" + end) == [b"1 g", b"2 g"]


def test_the_first_partial_line_after_opening_is_dropped() -> None:
    assert fed(LineFraming(), b"34 g\r\n", b"12.34 g\r\n") == [b"12.34 g"]


def test_a_number_cut_by_a_chunk_is_put_together() -> None:
    assert fed(LineFraming(), b"\n12.", b"3", b"4 g", b"\r", b"\n") == [b"12.34 g"]


def test_a_silent_device_answers_from_the_beginning() -> None:
    framing = LineFraming()
    framing.asked()
    assert fed(framing, b"S S 1.0 g\r\n") == [b"S S 1.0 g"]


def test_a_device_that_was_already_speaking_is_not_trusted_because_it_was_asked() -> None:
    framing = LineFraming()
    framing.feed(b"12.")
    framing.asked()
    assert fed(framing, b"34 g\r\n", b"5 g\r\n") == [b"5 g"]


def test_opening_again_forgets_what_came_before() -> None:
    framing = LineFraming()
    framing.feed(b"\n12.")
    framing.opened()
    assert fed(framing, b"34 g\r\n", b"5 g\r\n") == [b"5 g"]


def test_a_flood_without_an_end_is_one_piece_of_garbage_and_no_memory() -> None:
    framing = LineFraming()
    lines = fed(framing, b"\n", *[b"x" * 100] * 1000)
    assert lines == [None]
    assert len(framing._rest) <= MAX_LINE
    assert fed(framing, b"tail 3 g\r\n", b"4 g\r\n") == [b"4 g"]


def test_an_over_long_line_in_one_chunk_is_garbage() -> None:
    assert fed(LineFraming(), b"\n" + b"x" * (MAX_LINE + 1) + b"\n1 g\n") == [None, b"1 g"]


@given(st.lists(st.binary(max_size=40), max_size=20), st.randoms(use_true_random=False))
def test_how_bytes_are_cut_into_chunks_never_changes_the_lines(parts: list[bytes], random: object) -> None:
    stream = b"\n" + b"\n".join(parts) + b"\n"
    cuts = sorted(random.sample(range(len(stream) + 1), min(5, len(stream))))  # type: ignore[attr-defined]
    chunks = [stream[a:b] for a, b in zip([0, *cuts], [*cuts, len(stream)], strict=True)]
    assert fed(LineFraming(), *chunks) == fed(LineFraming(), stream)


def frame(body: bytes) -> bytes:
    return body + crc16(body)


def test_a_register_reply_is_as_long_as_its_third_byte_says() -> None:
    good = frame(b"\x01\x04\x04\x02\xc9\x02\xb1")
    assert fed(RtuFraming(), good[:1], good[1:4], good[4:]) == [good]
    assert fed(RtuFraming(), good + good) == [good, good]


def test_an_exception_reply_is_five_bytes() -> None:
    sorry = frame(b"\x01\x84\x02")
    assert fed(RtuFraming(), sorry) == [sorry]


def test_noise_is_handed_on_so_that_its_checksum_fails() -> None:
    assert fed(RtuFraming(), b"\xff\xff\xff\xff") == [b"\xff\xff\xff\xff"]


def test_leftovers_do_not_become_part_of_the_next_reply() -> None:
    framing = RtuFraming()
    framing.feed(b"\x01\x04")
    framing.asked()
    good = frame(b"\x01\x04\x02\x00\x07")
    assert fed(framing, good) == [good]
