"""Fit rule 12: a drop shoulder and a raglan have no shoulder width.

Sleeves of different constructions compare only by centre back neck to cuff.
"""

import pytest

import fitcheck
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.words.why_not import why_not
from tests.worked.makes_rules_22_to_29 import MAKES

SLEEVE = {"piece": "sleeve"}
LINKED = {"armhole": "linked"}


def test_a_set_in_reference_gives_a_drop_shoulder_make_its_sleeve(answer):
    # 80.5 from centre back neck to cuff is 52.5 of sleeve for a body 56 wide (fit rule 12)
    for reference in (
        {"centre_back_to_cuff": "80.5", "chest": "56"},
        {"shoulder_width": "41", "sleeve_length": "60", "chest": "56"},  # 20.5 + 60 = 80.5
    ):
        got = answer(garment_reads=reference, construction="drop_shoulder", piece=SLEEVE, seams=LINKED)
        assert got.wanted("sleeve_length") == pytest.approx(525.0)
        assert "converted" in got.assumed


def test_a_body_wished_wider_takes_its_half_from_the_sleeve(answer):
    got = answer(
        garment_reads={"centre_back_to_cuff": "80.5", "chest": "52"},
        wishes={"chest": "4"},
        construction="drop_shoulder",
        piece=SLEEVE,
        seams=LINKED,
    )
    assert got.wanted("sleeve_length") == pytest.approx(525.0)


def test_without_what_the_comparison_takes_the_sleeve_is_refused(answer):
    bare = answer(garment_reads={"sleeve_length": "60", "chest": "56"}, construction="drop_shoulder", piece=SLEEVE)
    assert bare.refused["sleeve_length"] == "construction_differs"
    no_body = answer(garment_reads={"centre_back_to_cuff": "80.5"}, construction="drop_shoulder", piece=SLEEVE)
    assert no_body.refused["sleeve_length"] == "construction_differs"


def test_a_set_in_make_takes_its_sleeve_from_a_drop_shoulder_reference(answer):
    # 28 + 52.5 = 80.5; less half of the wanted shoulder of 41
    got = answer(
        garment={"construction": "drop_shoulder"},
        piece=SLEEVE,
        seams=LINKED,
        fits={"garment": "brown", "occasion": "first", "numbers": {"shoulder_width": "41"}},
        occasion={"readings": {"chest": "56", "sleeve_length": "52.5"}},
    )
    assert got.wanted("sleeve_length") == pytest.approx(600.0)


@pytest.mark.parametrize("construction", ["drop_shoulder", "raglan"])
def test_a_construction_without_shoulder_width_refuses_it(answer, construction):
    got = answer(garment_reads={"shoulder_width": "41", "chest": "52"}, construction=construction)
    assert got.refused["shoulder_width"] == "not_in_construction"
    assert got.wanted("chest") == pytest.approx(528.8)


@pytest.mark.parametrize("key", sorted(CONSTRUCTIONS["drop_shoulder"].lacks))
def test_everything_that_a_drop_shoulder_lacks_is_refused_with_its_reason(answer, key):
    piece = SLEEVE if key == "cap_height" else {}
    got = answer(garment_reads={key: "21"}, construction="drop_shoulder", piece=piece)
    (reason,) = (reason for name, reason in got.all.refused if name == key)
    assert reason.code == "not_in_construction"
    assert reason.values == {"point": key, "construction": "drop_shoulder"}
    assert "drop shoulder" in why_not(reason).lower()


@pytest.mark.parametrize("key", ["armhole_depth", "to_underarm", "shoulder_seam"])
def test_what_lies_elsewhere_in_another_construction_is_not_compared(answer, key):
    got = answer(garment_reads={key: "21"}, construction="drop_shoulder")
    assert got.refused == {key: "construction_differs"}
    number = answer(fits={"numbers": {key: "21"}}, construction="drop_shoulder")
    assert number.at(key).source == "numbers"


def test_side_panels_and_set_in_sleeves_share_their_shoulders(answer):
    got = answer(garment_reads={"shoulder_width": "41", "sleeve_length": "60"}, construction="side_panels")
    assert got.wanted("shoulder_width") == pytest.approx(418.8)


def test_a_shoulder_knitted_1_cm_wide_wants_a_sleeve_0_5_cm_shorter(answer):
    def sleeve(shoulder):
        back = {
            "id": "back",
            "piece": "back",
            "stages": [{"kind": "blocked", "readings": {"shoulder_width": shoulder}}],
        }
        return (
            answer(
                garment_reads={"shoulder_width": "41", "sleeve_length": "60"},
                pieces=[back],
                piece=SLEEVE,
                seams=LINKED,
            )
            .at("sleeve_length")
            .wanted
        )

    assert sleeve("42.0").value == pytest.approx(595.0)
    assert sleeve("41.0").value == pytest.approx(600.0)
    assert sleeve("42.0").u > 0.5 * 1.5  # what is not known of the shoulder is not known of the sleeve


def test_a_back_that_was_knitted_again_no_longer_asks_for_a_shorter_sleeve(answer):
    wide = {
        "id": "wide",
        "piece": "back",
        "stages": [{"kind": "blocked", "readings": {"shoulder_width": "43.0"}}],
    }
    again = {
        "id": "again",
        "piece": "back",
        "replaces": "wide",
        "stages": [{"kind": "blocked", "readings": {"shoulder_width": "41.0"}}],
    }
    for pieces, mm in (([wide], 590.0), ([wide, again], 600.0), ([wide, again | {"stages": []}], 600.0)):
        got = answer(
            garment_reads={"shoulder_width": "41", "sleeve_length": "60"},
            pieces=pieces,
            piece=SLEEVE,
            seams=LINKED,
        )
        assert got.wanted("sleeve_length") == pytest.approx(mm)


@pytest.mark.parametrize(
    ("how", "mm"),
    [
        ("added_later", (540 - 30) / 2 + 2 * 4.4),  # the rule's 25.5, plus side seam and picked-up edge
        ("knitted_on", (540 - 30) / 2 + 30 + 4.4),  # the band is in the piece: only the side seam
    ],
)
def test_open_fronts_closed_share_what_the_band_leaves(answer, how, mm):
    got = answer(
        garment_reads={"chest": "54"},
        piece={"piece": "left_front"},
        bands=[{"edge": "front", "depth": "3", "how": how}],
    )
    assert got.wanted("chest") == pytest.approx(mm)
    assert got.at("chest").garment_scale == 0.5


def test_a_half_front_without_its_band_or_across_the_opening_is_refused(answer):
    read = {"garment_reads": {"chest": "54", "shoulder_width": "41"}, "piece": {"piece": "right_front"}}
    assert answer(**read).refused == {"chest": "front_band_unsaid"}
    across = [{"kind": "blocked", "readings": {"shoulder_width": "20"}}]
    assert answer(**read, stages=across).refused["shoulder_width"] == "half_front"


def test_an_overhang_of_a_half_front_is_refused_and_its_tape_readings_are_not(answer):
    stage = {"kind": "blocked", "overhangs": {"chest": "+2 mm"}}
    both = stage | {"readings": {"chest": "26.4"}}
    make = {"piece": {"piece": "left_front"}, "front_band": "3", "garment_reads": {"chest": "54"}}
    assert answer(**make, stages=[stage]).refused == {"chest": "overhang_half_front"}
    assert answer(**make, stages=[both]).difference("chest") == pytest.approx(264 - 255 - 8.8)


def test_rows_of_a_raglans_front_make_up_nothing_for_all_its_slanting_edges_have_the_same():
    """Fit rule 27, raglan rows equal: the worked back whose armhole is 8 rows deep is ripped, its front left alone."""
    raglan = next(worked for worked in MAKES if worked.id == "raglan_rows")
    told = fitcheck.report(raglan.file)
    answers = {one.by for action in told.actions for one in action.alterations if one.point == "armhole_depth"}
    assert answers == {"this_piece"}
