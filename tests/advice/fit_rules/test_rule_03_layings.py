"""Fit rule 3: readings of one laying never reach a narrower interval than the laying allows.

The garment is laid out too.
Laying 0.4 % of the length is assumed until two layings exist (model, section 1).
"""

import pytest


def many(text, count, laying=None):
    one = {"text": text} | ({"laying": laying} if laying else {})
    return [dict(one) for _ in range(count)]


@pytest.mark.parametrize("count", [1, 3, 10, 40])
def test_readings_of_one_laying_never_reach_past_the_laying(answer, count):
    reads = {"garment_reads": {"chest": many("52.0", count)}, "piece_reads": {"chest": many("52.9", count)}}
    got = answer(**reads).at("chest")
    assert got.measured.u > 0.004 * 529.0
    assert got.garment_figure.u > 0.004 * 520.0  # the reference is laid out too
    assert got.difference.u > 0.004 * (529.0**2 + 520.0**2) ** 0.5


def test_laying_again_reaches_past_what_one_laying_allows(answer):
    four = [{"text": "52.9", "laying": laying} for laying in (1, 2, 3, 4)]
    got = answer(garment_reads={"chest": "52"}, piece_reads={"chest": four}).at("chest")
    assert got.taped.layings == 4
    assert got.measured.u < 0.004 * 529.0


def test_several_readings_without_a_laying_are_taken_as_one_and_named(answer):
    silent = answer(garment_reads={"chest": "52"}, piece_reads={"chest": many("52.9", 3)})
    said = answer(garment_reads={"chest": "52"}, piece_reads={"chest": many("52.9", 3, laying=1)})
    assert ("one_laying", "tested") in {(one.code, one.about) for one in silent.all.assumed}
    assert "one_laying" not in said.assumed
    assert silent.at("chest").measured == said.at("chest").measured
    one = answer(garment_reads={"chest": many("52.0", 2)}, piece_reads={"chest": "52.9"})
    assert ("one_laying", "brown") in {(a.code, a.about) for a in one.all.assumed}


def test_a_reading_set_aside_does_not_count(answer):
    odd = [{"text": "52.9"}, {"text": "25.9", "set_aside": "read the wrong end"}]
    got = answer(garment_reads={"chest": "52"}, piece_reads={"chest": odd}).at("chest")
    assert got.measured.value == 529.0
    assert got.taped.readings == 1


def test_a_point_whose_readings_were_all_set_aside_has_no_measure(answer):
    gone = [{"text": "25.9", "set_aside": "read the wrong end"}]
    got = answer(garment_reads={"chest": "52"}, piece_reads={"chest": gone}).at("chest")
    assert got.measured is None
    assert got.difference is None
