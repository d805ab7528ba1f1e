"""Fabric groups (model 8b): which swatches are one fabric, which is taken, and when it is asked."""

from __future__ import annotations

import pytest

from fitcheck import words
from fitcheck.advice.fabric.of_make import FabricOf
from fitcheck.advice.groups import grouped
from fitcheck.reports.shaped import report
from fitcheck.terminal.fabric import printed_fabric
from fitcheck.words.fabric import group_asked_sentence, groups_sentences, left_out_sentence
from tests.advice.fabric_sample import BEFORE, STITCH, answered, back, household, lines, of, swatch


def strands(number: int, key: str, on: str = "2025-01-01", wider: float = 1.0) -> dict:
    made = swatch(key, "7", 7.0, strands=number)
    made["stages"][0] |= {"on": on, "across": lines(40 * STITCH * wider)}
    return made


SINGLE = [strands(1, f"single_{place}") for place in range(8)]
DOUBLE = strands(2, "double", "2026-05-01", 1.3)
"""The newest swatch, of two strands: its stitch is 30 % wider."""


def size(known: FabricOf) -> float:
    return known.fabric.gauge(known.dial).across.value  # type: ignore[union-attr]


def test_the_newest_swatch_never_outvotes_eight():
    known = of(*SINGLE, DOUBLE)
    assert size(known) == pytest.approx(size(of(*SINGLE)), abs=1e-9)
    assert [(group.swatches[0], len(group.swatches), group.taken) for group in known.groups] == [
        ("single_0", 8, True),
        ("double", 1, False),
    ]
    assert known.groups[0].settings["strands"] == "1"


def test_which_group_it_is_is_asked_where_neither_make_nor_pieces_say_it():
    answer = report(household(*SINGLE, DOUBLE))
    assert answer.first is not None
    assert answer.first.code == "which_fabric"
    asked = answer.first.which_fabric
    assert asked is not None
    assert (asked.setting, asked.taken, asked.others) == ("strands", ("1", 8), (("2", 1),))
    assert words.headline(answer).startswith(
        "One strand or two? 8 swatches are of one strand, taken here; 1 swatch is of two strands."
    )
    assert report(household(*SINGLE)).first.which_fabric is None  # type: ignore[union-attr]


@pytest.mark.parametrize("pattern", ["1x1 rib", "Rib 2-2"])
def test_a_swatch_for_the_bands_is_not_asked_about_but_a_sweater_may_be_all_rib(pattern: str):
    plain = [swatch(f"plain_{place}", "7", 7.0, stitch_pattern="plain") for place in range(2)]
    ribs = [swatch(f"rib_{place}", "7", 7.0, stitch_pattern=pattern) for place in range(3)]
    known = of(*plain, ribs[0])
    assert known.asked is None
    assert known.groups[0].settings["stitch_pattern"] == "plain"
    assert of(plain[0], *ribs).asked is not None
    assert of(*ribs).asked is None
    assert of(*ribs).groups[0].taken


@pytest.mark.parametrize(("number", "wider"), [(1, 1.0), (2, 1.3)])
def test_the_group_that_a_piece_belongs_to_is_taken_and_nothing_is_asked(number: int, wider: float):
    known = of(*SINGLE, DOUBLE, pieces=[back(strands=number, wider=wider)])
    assert known.asked is None
    assert known.groups[0].taken
    assert known.groups[0].settings["strands"] == str(number)
    assert size(known) == pytest.approx(STITCH * wider, rel=0.02)


def test_a_piece_is_judged_by_the_others_of_its_own_fabric():
    """Without the back nothing else says that it is of two strands; the fabric is still the one of two."""
    home = household(*SINGLE, DOUBLE, pieces=[back(strands=2, wider=1.3)])
    from fitcheck.advice.fabric.of_make import fabric_of

    others = fabric_of(home.makes[0], home).without("back")
    assert [specimen.key for specimen in others.specimens] == ["double"]


def test_the_makes_own_yarn_decides_among_the_groups():
    known = of(*SINGLE, swatch("other", "7", 7.0, yarn="other"), yarn="other")
    assert [specimen.key for specimen in known.specimens] == [*(one["id"] for one in SINGLE), "other"]
    wools = [{**one, "yarn": "wool"} for one in SINGLE]
    known = of(*wools, swatch("other", "7", 7.0, yarn="other"), yarn="other")
    assert [specimen.key for specimen in known.specimens] == ["other"]
    assert known.asked is None


@pytest.mark.parametrize(
    ("other", "one_fabric"), [("5", True), ("3", True), ("4.5", True), ("6", False), ("loose", False)]
)
def test_mast_tension_splits_only_beyond_one_mark(other: str, one_fabric: bool):
    known = of(swatch("a", mast_tension="4"), swatch("b", mast_tension="4"), swatch("c", mast_tension=other))
    assert (len(known.specimens) == 3) is one_fabric
    assert (len(known.groups) == 1) is one_fabric


def test_an_unsaid_setting_joins_any_group_and_founds_none():
    half = [swatch(f"half_{place}", needle_arrangement="every other") for place in range(2)]
    full, unsaid = swatch("full", needle_arrangement="every needle"), [swatch("unsaid"), swatch("unsaid_too")]
    known = of(*unsaid, full, *half)
    assert [group.swatches for group in known.groups] == [
        ("unsaid", "unsaid_too", "half_0", "half_1"),
        ("unsaid", "unsaid_too", "full"),
    ]


def before_and_after(key: str, dial: str, blocking: str) -> dict:
    """A swatch at a dial, rested and then blocked; pinned 6 % wider than it would lie."""
    wider = 1 + 0.07 * (float(dial) - 7)
    pins = 1.06 if blocking == "pinned" else 1.0
    stages = [
        {"kind": "rested", "across": lines(40 * STITCH * wider * BEFORE["rested"][0])},
        {"kind": "blocked", "blocking": blocking, "across": lines(40 * STITCH * wider * pins)},
    ]
    return {"id": key, "dial": dial, "stitches": {"count": 40}, "stages": stages}


def test_a_swatch_blocked_another_way_keeps_its_unblocked_stages_and_tells_the_slope():
    swatches = [
        before_and_after("at_7", "7", "patted"),
        *(before_and_after(f"at_{d}", d, "pinned") for d in ("6", "8")),
    ]
    known = of(*swatches)
    stages = {specimen.key: [stage.stage for stage in specimen.stages] for specimen in known.specimens}
    assert stages == {"at_7": ["rested", "blocked"], "at_6": ["rested"], "at_8": ["rested"]}
    assert known.fabric.slope("across").share_from_data > of(swatches[0]).fabric.slope("across").share_from_data + 0.3
    assert known.fabric.gauge(7.0).across.value == pytest.approx(STITCH, rel=0.02)  # type: ignore[union-attr]
    told = left_out_sentence(known.left_out[0])
    assert told == "at 6: left out since it was blocked, for it was blocked in another way (pinned, not patted)."


def test_a_swatch_always_has_a_gauge_of_its_own():
    answer = answered(*SINGLE, DOUBLE)
    double = next(specimen for specimen in answer.specimens if specimen.key == "double")
    assert not double.pooled
    width = next(gauge.size.value for gauge in double.gauges if gauge.direction == "across")
    assert width == pytest.approx(STITCH * 1.3, rel=1e-6)
    assert len(answer.pooled) == 8


def test_groups_are_told_as_groups():
    answer = answered(*SINGLE, DOUBLE)
    assert groups_sentences(answer) == (
        "Single 0, single 1, single 2 and 5 more: one strand, taken here.",
        "Double: two strands.",
    )
    text = " ".join(printed_fabric(answer).split())
    assert text.startswith("One strand or two?")
    assert "Fabrics among the swatches" in text
    alone = answered(*SINGLE)
    assert groups_sentences(alone) == ()
    assert group_asked_sentence(alone) == ""


def test_other_settings_are_asked_by_their_name():
    home = household(swatch("a", weights="2 claws"), swatch("b", weights="2 claws"), swatch("c", weights="4 claws"))
    assert words.headline(report(home)).startswith(
        "Which weights: 2 claws or 4 claws? 2 swatches are with weights 2 claws, taken here; 1 swatch is with weights"
    )
    assert grouped(home.makes[0], home.swatches).usual["weights"] == "2 claws"
