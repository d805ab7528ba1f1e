"""Lines and their inverses against published values; the sources stand in check_values.json."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from fitcheck.estimates.line import Inverse, Line, line_through
from fitcheck.estimates.student import student_quantile

Published = Callable[[str], Any]


def _line(entry: Any, **options: float) -> Line:
    line = line_through(entry.data["x"], entry.data["y"], **options)
    assert isinstance(line, Line)
    return line


def test_the_thermometer_calibration_line_of_the_gum(published: Published) -> None:
    # JCGM 100:2008 Annex H.3: corrections b(t) = y1 + y2 (t - 20).
    entry = published("gum_h3")
    line = line_through([t - entry.data["t0"] for t in entry.data["t"]], entry.data["b"])
    assert isinstance(line, Line)
    got = {"y1": line.intercept, "u1": line.u_intercept, "y2": line.slope, "u2": line.u_slope, "s": line.s}
    for name, value in got.items():
        assert entry.agrees(name, value)
    assert entry.agrees("r", line.r)
    at_30 = line.at(30 - entry.data["t0"])
    assert entry.agrees("b30", at_30.value)
    assert entry.agrees("u30", at_30.u)
    assert at_30.dof == 9  # H.3.2: 11 readings


def test_the_certified_line_of_norris_to_ten_digits(published: Published) -> None:
    # NIST StRD, Norris; a relative tolerance, as the certified values have 15 digits.
    entry = published("nist_norris")
    line = _line(entry)
    got = {
        "b0": line.intercept,
        "s_b0": line.u_intercept,
        "b1": line.slope,
        "s_b1": line.u_slope,
        "rsd": line.s,
    }
    assert got == pytest.approx(entry.expected, rel=entry.tolerance)


def test_the_line_width_calibration(published: Published) -> None:
    # NIST/SEMATECH e-Handbook 2.3.6.7.
    entry = published("nist_linewidth")
    line = _line(entry)
    for name, value in {"b0": line.intercept, "b1": line.slope, "rsd": line.s}.items():
        assert entry.agrees(name, value)


@pytest.mark.parametrize("name", ["chamber_dial", "crystal_5", "arsenic_3"])
def test_a_dial_found_from_a_wanted_value_with_its_published_limits(name: str, published: Published) -> None:
    # Graybill & Iyer (1994), ch. 6: the reaction chamber's dial, crystal weights; arsenic, one new reading.
    entry = published(name)
    new = None if entry.data["mean_response"] else 1
    inverse = _line(entry).x_for(entry.data["y0"], new=new, level=entry.data["level"])
    assert isinstance(inverse, Inverse)
    assert entry.agrees("x0", inverse.value)
    assert entry.agrees("lo", inverse.low)
    assert entry.agrees("hi", inverse.high)


def test_the_symmetric_half_width_of_din_32645_is_t_times_the_first_order_uncertainty(
    published: Published,
) -> None:
    # DIN 32645:2008 takes the slope as known once fitted; Fieller's interval is a little wider.
    entry = published("din32645")
    line, level = _line(entry), entry.data["level"]
    inverse = line.x_for(entry.data["y0"], new=1, level=level)
    assert isinstance(inverse, Inverse)
    half = student_quantile(0.5 + level / 2, line.dof) * inverse.u
    assert entry.agrees("half", half)
    assert (inverse.high - inverse.low) / 2 > half
