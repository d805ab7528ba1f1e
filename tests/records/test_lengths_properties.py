"""What holds for every length, however it is typed."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import assume, example
from hypothesis import strategies as st

from fitcheck.records.lengths import PARTS, UNITS, Length, LengthError, read_length, write_bare, write_length
from tests.drawn import drawn

units = st.sampled_from(sorted(UNITS))
# Up to 100 m, to which yarn, pieces and overhangs belong.
millimetres = st.floats(min_value=-1e5, max_value=1e5)
# The step that each unit is written to [mm]: a millimetre, 1/8 in, a hundredth of a foot or yard.
WRITTEN_TO = {"mm": 1.0, "cm": 1.0, "m": 1.0, "in": 25.4 / 8, "ft": 3.048, "yd": 9.144}


def read_or_refusal(text: object, **how: object) -> Length | LengthError:
    try:
        return read_length(text, **how)  # type: ignore[arg-type]
    except LengthError as refusal:
        return refusal


@drawn(150, 300, mm=millimetres, unit=units, plus=st.booleans())
@example(mm=23.8125, unit="in", plus=True)
@example(mm=0.5, unit="mm", plus=False)
def test_what_is_written_reads_back_within_half_a_step(mm: float, unit: str, plus: bool) -> None:
    written = write_length(mm, unit, signed=plus)
    read = read_length(written, signed=True)
    # 1e-8 steps: a half that floating arithmetic left a hair short is written up.
    assert abs(read.value_mm - mm) <= WRITTEN_TO[unit] * (0.5 + 1e-8)
    assert abs(read.value_mm - mm) <= read.resolution_mm * (0.5 + 1e-8)
    assert read.unit == unit
    assert read_length(write_bare(mm, unit, signed=plus), unit=unit, signed=True).value_mm == read.value_mm
    assert write_length(read.value_mm, unit, signed=plus) == written


WORDS = "cm mm in inches ft yd dm mile level nan inf e x 58.7 1/8"
pieces = st.sampled_from([*"0123456789", *" .,/-+−–'\"″′½⅓⅛⁄∞\u00a0", *WORDS.split()])
typed = st.one_of(st.text(), st.lists(pieces, max_size=6).map("".join))


@drawn(15, 400, text=typed, unit=st.one_of(st.none(), units, st.text(max_size=5)), signed=st.booleans())
@example(text="\ud800", unit="cm", signed=True)
@example(text="9" * 59 + "/7", unit="m", signed=False)
@example(text="9" * 60, unit="yd", signed=False)
@example(text="5 " + "a" * 50, unit=None, signed=False)
def test_any_text_is_a_finite_length_or_a_refusal(text: str, unit: str | None, signed: bool) -> None:
    read = read_or_refusal(text, unit=unit, signed=signed)
    if isinstance(read, LengthError):
        assert read.code
        assert read.accepts.values
        assert str(read).encode("utf-8").startswith(b"read ")
        return
    assert math.isfinite(read.value_mm)
    assert math.isfinite(read.resolution_mm)
    assert read.resolution_mm > 0
    assert signed or read.value_mm >= 0
    assert read.unit in UNITS
    assert read.text == text.strip()
    assert read_length(read.text, unit=read.unit, signed=signed) == read


@drawn(150, 300, number=st.one_of(st.integers(), st.floats(), st.integers(-(10**400), 10**400)), unit=units)
@example(number=5e-324, unit="in")
@example(number=1.7976931348623157e308, unit="in")
def test_any_number_is_a_finite_length_or_a_refusal(number: float, unit: str) -> None:
    read = read_or_refusal(number, unit=unit, signed=True)
    if isinstance(read, LengthError):
        assert read.code == "not_finite"
        assert not abs(number) < 1e305
        return
    # The number times the unit, by exact fractions.
    exact = Fraction(repr(number)) * Fraction(str(UNITS[unit]))
    assert math.isfinite(read.value_mm)
    assert read.value_mm == float(exact)


@drawn(150, 300, whole=st.integers(0, 10**6), decimals=st.text("0123456789", min_size=1, max_size=6), unit=units)
def test_a_decimal_comma_is_a_decimal_point(whole: int, decimals: str, unit: str) -> None:
    point = read_length(f"{whole}.{decimals} {unit}")
    comma = read_length(f"{whole},{decimals}{unit}")
    assert (point.value_mm, point.resolution_mm) == (comma.value_mm, comma.resolution_mm)
    exact = Fraction(f"{whole}.{decimals}") * Fraction(str(UNITS[unit]))
    assert point.value_mm == float(exact)
    assert point.resolution_mm == float(Fraction(str(UNITS[unit])) / 10 ** len(decimals))


@drawn(150, 300, value=st.decimals(min_value=0, max_value=9999, places=3), unit=units)
def test_a_bare_number_is_read_as_its_text(value: object, unit: str) -> None:
    number = float(str(value))
    text = repr(number)
    assume("e" not in text)
    assert read_length(number, unit=unit) == read_length(text, unit=unit)


VULGAR = {
    (1, 2): "½",
    (1, 3): "⅓",
    (2, 3): "⅔",
    (1, 4): "¼",
    (3, 4): "¾",
    (1, 8): "⅛",
    (3, 8): "⅜",
    (5, 8): "⅝",
    (7, 8): "⅞",
}
fractions = st.sampled_from(PARTS).flatmap(lambda parts: st.tuples(st.integers(0, parts - 1), st.just(parts)))
INCH = ["in", "in.", "inch", "inches", "IN", '"', "″", "”", "''", "′′"]


@drawn(150, 300, whole=st.integers(0, 2000), fraction=fractions, inch=st.sampled_from(INCH), negative=st.booleans())
def test_every_spelling_of_inches_and_a_fraction_agrees(
    whole: int, fraction: tuple[int, int], inch: str, negative: bool
) -> None:
    above, below = fraction
    spellings = [f"{whole} {above}/{below}", f"{whole}-{above}/{below}", f"{whole}  {above} / {below}"]
    spellings += [f"{whole} {above}⁄{below}", f"{whole}–{above}/{below}", f"{whole}\u00a0{above}/{below}"]
    if whole == 0:
        spellings.append(f"{above}/{below}")
    if fraction in VULGAR:
        sign = VULGAR[fraction]
        spellings += [f"{whole}{sign}", f"{whole} {sign}", f"{whole}-{sign}"]
        if whole == 0:
            spellings.append(sign)
    expected = (whole + Fraction(above, below)) * Fraction("25.4")
    step = float(Fraction("25.4") / below)
    minus = "-" if negative else ""
    for spelling in spellings:
        for text in (f"{minus}{spelling} {inch}", f"{minus}{spelling}{inch}"):
            read = read_length(text, unit="cm", signed=negative)
            assert read == Length(float(-expected if negative else expected), step, "in", text)
        bare = read_length(minus + spelling, unit="in", signed=negative)
        assert (bare.value_mm, bare.resolution_mm) == (read.value_mm, read.resolution_mm)


@drawn(150, 300, feet=st.integers(0, 300), inches=st.integers(0, 11), fraction=fractions)
def test_feet_with_inches_are_the_inches_in_all(feet: int, inches: int, fraction: tuple[int, int]) -> None:
    above, below = fraction
    in_all = read_length(f"{12 * feet + inches} {above}/{below} in")
    for text in (
        f"{feet} ft {inches} {above}/{below} in",
        f"{feet}'{inches}-{above}/{below}\"",
        f"{feet}′ {inches} {above}/{below}″",
        f"{feet} Feet {inches} {above}/{below} Inches",
    ):
        read = read_length(text)
        assert (read.value_mm, read.resolution_mm, read.unit) == (in_all.value_mm, in_all.resolution_mm, "in")


@drawn(150, 300, mm=st.floats(min_value=0, max_value=1e5), unit=units)
def test_both_signs_are_written_and_read_alike(mm: float, unit: str) -> None:
    plus, minus = write_length(mm, unit, signed=True), write_length(-mm, unit, signed=True)
    assert minus == plus.replace("+", "−")
    for sign in "-−–":
        mirrored = read_length(plus.replace("+", sign), signed=True)
        assert mirrored.value_mm == -read_length(plus, signed=True).value_mm


@drawn(150, 300, whole=st.integers(0, 10**6), above=st.integers(1, 10**6), below=st.sampled_from(PARTS))
def test_a_fraction_of_a_whole_or_more_is_refused_with_the_sum(whole: int, above: int, below: int) -> None:
    assume(above >= below)
    refusal = read_or_refusal(f"{whole} {above}/{below} in")
    assert isinstance(refusal, LengthError)
    assert refusal.code == "fraction_too_big"
    offered = read_length(refusal.accepts.values["meant"][-1], unit="in")
    assert offered.value_mm == float((whole + Fraction(above, below)) * Fraction("25.4"))


@drawn(
    150,
    300,
    whole=st.integers(1, 999),
    parts=st.sampled_from(PARTS),
    share=st.floats(0, 1),
    mark=st.sampled_from([".", ",", ". ", ","]),
    unit=st.sampled_from(["", " in", '"', "in", " cm"]),
)
def test_a_mark_typed_for_the_space_before_a_fraction_is_refused_and_the_offer_reads_as_it_was_meant(
    whole: int, parts: int, share: float, mark: str, unit: str
) -> None:
    count = 1 + int(share * (parts - 2))
    refusal = read_or_refusal(f"{whole}{mark}{count}/{parts}{unit}", unit="in")
    assert isinstance(refusal, LengthError)
    offered = refusal.accepts.values["meant"]
    mm = (whole + count / parts) * (10 if "cm" in unit else 25.4)
    assert read_length(offered, unit="in").value_mm == pytest.approx(mm, rel=1e-12)
