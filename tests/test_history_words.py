"""Each change is told by its place in words, what stood there, and what stands there now."""

from __future__ import annotations

import pytest

from fitcheck.words import history

STAGES = {("pieces", "back", "stages", 1): "blocked", ("stages", 0): "off_machine"}
NAMES = {("yarns", "grey_wool"): "grey wool", ("garments", "brown"): "brown pullover"}


@pytest.mark.parametrize(
    ("path", "before", "after", "said"),
    [
        (
            ("pieces", "back", "stages", 1, "readings", "chest", "r2"),
            {"id": "r2", "text": "56.3", "unit": "cm"},
            {"id": "r2", "text": "53.6 cm", "unit": "cm", "set_aside": "a slip"},
            ("Back, washed, blocked and dry: chest", "56.3 cm", "53.6 cm, set aside: a slip"),
        ),
        (
            ("pieces", "back", "stages", 1, "overhangs", "chest", "r2"),
            None,
            {"text": "level", "unit": "cm"},
            ("Back, washed, blocked and dry: chest, overhang", "", "level"),
        ),
        (
            ("pieces", "back", "counts", "chest", "counted"),
            120,
            118,
            ("Back: stitches at the chest, as counted", "120", "118"),
        ),
        (
            ("pieces", "back", "counts", "to_underarm", "knitted"),
            None,
            108,
            ("Back: rows of the length to underarm", "", "108"),
        ),
        (("pieces", "back", "dial"), {"number": 7}, {"number": 7, "marks": 1}, ("Back: dial", "7", "7.1")),
        (
            ("pieces", "back", "stages", 1, "kind"),
            "rested",
            "blocked",
            ("Back, washed, blocked and dry: stage", "rested", "washed, blocked and dry"),
        ),
        (
            ("pieces", "back", "stages", 1, "on"),
            None,
            "2026-09-16",
            ("Back, washed, blocked and dry: date", "", "16 Sept 2026"),
        ),
        (
            ("pieces", "front"),
            None,
            {
                "id": "front",
                "piece": "front",
                "stages": [{"kind": "blocked", "readings": {"hem": [{"text": "1"}, {"text": "2"}]}}],
            },
            ("Front", "", "front, 2 readings"),
        ),
        (("planned", "front", "chest"), 122, None, ("Planned for the front: chest", "122", "nothing")),
        (("wishes", "chest"), None, {"by": "+1 cm"}, ("Chest, wished", "", "+1 cm")),
        (("fits",), None, {"garment": "brown", "occasion": "first"}, ("What it must fit", "", "brown pullover")),
        (("fits", "numbers", "chest"), {"length": "52 cm"}, {"length": "53 cm"}, ("Chest, wanted", "52 cm", "53 cm")),
        (("bands", "neck", "depth"), "3 cm", "2.5 cm", ("Neck band: depth", "3 cm", "2.5 cm")),
        (("yarn",), None, "grey_wool", ("Yarn", "", "grey wool")),
        (
            ("sizes", 2, "pieces", "back", "chest"),
            {"count": 120, "measure": "54 cm"},
            {"count": 122},
            ("Size 3, back: chest", "120, 54 cm", "122"),
        ),
        (
            ("stages", 0, "across", "r1"),
            {"text": "20.1", "unit": "cm"},
            {"text": "20.4", "unit": "cm"},
            ("Off the machine: width between the marks", "20.1 cm", "20.4 cm"),
        ),
        (
            ("occasions", "2026-11-25", "readings", "hem", "r1"),
            None,
            {"text": "50 cm"},
            ("Measured on 25 Nov 2026: hem", "", "50 cm"),
        ),
        (
            ("occasions", "2026_11_30_2"),
            None,
            {"id": "2026_11_30_2", "on": "2026-11-30", "readings": {"hem": [{"text": "51 cm"}, {"text": "52 cm"}]}},
            ("Measured on 30 Nov 2026", "", "2 readings"),
        ),
        (("occasions", "first", "state"), "worn", "washed_flat", ("First: state", "worn", "washed flat")),
        (
            ("stitches",),
            {"count": 36},
            {"first": 10, "last": 46, "rule": "centre_to_centre"},
            ("Stitches", "36", "10 to 46"),
        ),
        (("rib",), True, None, ("Rib", "yes", "nothing")),
        (("choices", "neck"), None, "cast_off", ("Neck", "", "cast off")),
        (("choices", "end_rule"), "last", "half", ("Where even steps end", "last", "half")),
        (
            ("choices", "lifted", 0),
            None,
            {"piece": "front", "demand": "repeat", "points": ["chest"]},
            ("Lifted", "", "no whole repeats of the front"),
        ),
        (
            ("sheets", "front-1"),
            {"id": "front-1", "number": 1, "digest": "a"},
            {"id": "front-1", "number": 1, "digest": "a", "kept_against": "b"},
            ("Front 1", "sheet 1", "sheet 1, kept though its counts became others"),
        ),
        ((), None, {"name": "grey"}, ("Written down", "", "")),
    ],
)
def test_a_change_is_told_by_its_place_and_its_two_sides(path, before, after, said):
    told = history.told(path, before, after, names=NAMES, stages=STAGES)
    assert (told.what, told.was, told.now) == said
