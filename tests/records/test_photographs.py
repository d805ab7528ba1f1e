"""Photographs are cleaned by walking their segments: the picture stays, what was noted beside it goes."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.records.faults import RecordsError
from fitcheck.records.photographs import LARGEST_BYTES, LONGEST_SIDE, cleaned
from tests.jpegs import COLOURS, NOTES, PLACE, WHOLE, jpeg, segment

SO_MANY = settings(max_examples=150)


def refusal(raw: bytes) -> tuple[str, str]:
    with pytest.raises(RecordsError) as caught:
        cleaned(raw)
    (fault,) = caught.value.faults
    return fault.read, fault.accepts.code


def test_place_and_comments_and_what_stands_behind_the_end_are_gone():
    raw = jpeg()
    assert raw.count(PLACE) == 6
    assert cleaned(raw) == WHOLE


def test_what_says_how_colours_are_meant_stays():
    assert COLOURS in cleaned(jpeg(notes=NOTES + COLOURS))


def test_a_small_picture_inside_the_first_segment_is_gone():
    jfif = b"JFIF\0\x01\x02\x01\0\x48\0\x48"
    assert cleaned(jpeg(notes=segment(0xE0, jfif + b"\x01\x01abc"))).count(jfif + b"\0\0\xff") == 1
    assert b"JFXX" not in cleaned(jpeg(notes=segment(0xE0, b"JFXX\0\x10" + PLACE)))


def test_fill_bytes_restarts_and_stuffed_bytes_are_walked_over():
    whole = WHOLE[:-2] + b"\xff\x00\xff\xd0\xff\xd7\xff\x00\xff\xd9"
    assert cleaned(whole) == whole
    assert cleaned(WHOLE[:2] + b"\xff\xff\xff" + WHOLE[2:]) == WHOLE


def test_a_progressive_one_of_two_scans_is_taken():
    scan = WHOLE[WHOLE.index(b"\xff\xda") : -2]
    whole = WHOLE.replace(b"\xff\xc0", b"\xff\xc2")[:-2] + scan + b"\xff\xd9"
    assert cleaned(whole) == whole


@pytest.mark.parametrize(
    ("raw", "read"),
    [
        (b"", "nothing"),
        (b"\x89PNG\r\n\x1a\n", "another kind of file"),
        (WHOLE[:-2], "a scan without an end"),
        (WHOLE[:30], "a segment that is cut off"),
        (WHOLE[:20], "a file that is cut off"),
        (WHOLE[:20] + b"\x00" + WHOLE[20:], "something between two segments"),
        (WHOLE[:2] + b"\xff\xd9", "no picture"),
        (WHOLE[:-2] + WHOLE[WHOLE.index(b"\xff\xc0") :], "more than one picture"),
        (WHOLE[:2] + WHOLE[WHOLE.index(b"\xff\xda") :], "a scan without a frame"),
        (jpeg(notes=b"\xff\xdc\x00\x04\xff\xff"), "a segment DC"),
        (jpeg(notes=b"\xff\xe1\x00\x01"), "a segment that is cut off"),
        (jpeg(width=0), "a frame that is none"),
        (WHOLE.replace(b"\xff\xc0\x00\x0b\x08", b"\xff\xc0\x00\x0b\x0c"), "a frame that is none"),
    ],
)
def test_what_is_no_whole_jpeg_is_refused(raw, read):
    assert refusal(raw) == (read, "photograph_as_jpeg")


def test_too_many_pixels_are_refused_by_the_frame_alone():
    assert cleaned(jpeg(width=LONGEST_SIDE, height=LONGEST_SIDE))
    assert refusal(jpeg(width=LONGEST_SIDE + 1)) == ("3201 by 8 pixels", "photograph_of_pixels")
    assert refusal(jpeg(height=LONGEST_SIDE + 1)) == ("8 by 3201 pixels", "photograph_of_pixels")


def test_what_is_too_large_once_it_is_cleaned_is_refused():
    room = LARGEST_BYTES - len(WHOLE)
    assert len(cleaned(WHOLE[:-2] + b"\x01" * room + b"\xff\xd9")) == LARGEST_BYTES
    assert refusal(WHOLE[:-2] + b"\x01" * (room + 1) + b"\xff\xd9") == ("1.8 MB", "photograph_of_bytes")
    assert cleaned(jpeg(behind=b"\x00" * LARGEST_BYTES)) == WHOLE


def clean_or_refused(raw: bytes) -> bytes:
    """What comes of any bytes: a refusal, or a photograph that is clean already."""
    try:
        photograph = cleaned(raw)
    except RecordsError:
        return b""
    assert cleaned(photograph) == photograph
    return photograph


@SO_MANY
@given(st.binary(max_size=400))
def test_any_bytes_are_refused_or_clean(raw):
    clean_or_refused(raw)
    clean_or_refused(b"\xff\xd8" + raw)


@SO_MANY
@given(st.data())
def test_a_mangled_photograph_is_refused_or_clean(data):
    raw = bytearray(jpeg(notes=NOTES + COLOURS))
    for _ in range(data.draw(st.integers(1, 6))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.sampled_from((0, 1, 2, 0xFF, 0xD9, 0xE1, 0xDA)))
    cut = data.draw(st.integers(0, len(raw)))
    clean_or_refused(bytes(raw))
    clean_or_refused(bytes(raw[:cut]))


NOTED = st.tuples(st.sampled_from((*range(0xE0, 0xF0), 0xFE)), st.binary(max_size=40))


@SO_MANY
@given(st.lists(NOTED, max_size=8), st.binary(max_size=40))
def test_whatever_is_noted_beside_a_picture_it_stays_the_same_picture_without_its_place(noted, behind):
    notes = b"".join(segment(marker, PLACE + held) for marker, held in noted)
    assert clean_or_refused(jpeg(notes=notes, behind=PLACE + behind)) == WHOLE
