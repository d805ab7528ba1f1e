"""Fit rule 17: from which stage a piece was read matters, and its hours are kept."""

import pytest

GARMENT = {"chest": "52"}


def stage(kind, chest=None, **more):
    return {"kind": kind, "readings": {"chest": chest} if chest else {}, **more}


@pytest.mark.parametrize("kind", ["off_machine", "rested", "hung"])
def test_a_piece_that_was_never_blocked_says_at_which_stage_it_was_read(answer, kind):
    got = answer(garment_reads=GARMENT, stages=[stage(kind, "50.0", hours=2)])
    assert (got.all.state, got.all.hours, got.all.stage) == (kind, 2.0, 0)
    assert got.at("chest").measured.value == 500.0


def test_the_last_blocking_speaks_and_not_what_was_read_before(answer):
    stages = [
        stage("off_machine", "49.0", hours=1),
        stage("blocked", "51.0"),
        stage("rested", "50.0"),
        stage("blocked", "52.5", hours=14),
        stage("hung", "50.5"),
    ]
    got = answer(garment_reads=GARMENT, stages=stages)
    assert (got.all.state, got.all.stage, got.all.hours) == ("blocked", 3, 14.0)
    assert got.at("chest").measured.value == 525.0


def test_a_piece_blocked_again_and_not_read_since_has_no_measure(answer):
    got = answer(garment_reads=GARMENT, stages=[stage("blocked", "51.0"), stage("blocked")])
    assert got.at("chest").measured is None


def test_off_the_machine_and_rested_are_different_stages_with_their_hours(answer):
    fresh = answer(garment_reads=GARMENT, stages=[stage("off_machine", "50.0", hours=0)])
    stages = [stage("off_machine", "49"), stage("rested", "50", hours=24)]
    rested = answer(garment_reads=GARMENT, stages=stages)
    assert (fresh.all.state, fresh.all.hours) == ("off_machine", 0.0)
    assert (rested.all.state, rested.all.hours) == ("rested", 24.0)


def test_a_piece_without_any_stage_still_knows_what_is_wanted(answer):
    got = answer(garment_reads=GARMENT)
    assert (got.all.state, got.all.stage, got.all.hours) == (None, None, None)
    assert got.wanted("chest") == pytest.approx(528.8)


def test_readings_of_later_rounds_are_looks(answer):
    reads = [{"text": "52.9", "laying": 1}, {"text": "52.8", "laying": 2, "look": 2}]
    assert answer(garment_reads=GARMENT, piece_reads={"chest": reads}).at("chest").taped.looks == 2
