"""Fit rule 2: a pinned piece measures its pins; only the direction that was pinned."""

import pytest

READ = {"chest": ["51.2", "51.3"], "armhole_depth": "20.0", "shoulder_seam": "12.4"}


def pinned(*directions):
    return [
        {
            "kind": "blocked",
            "blocking": "pinned" if directions else "patted",
            "pinned": list(directions),
            "readings": READ,
            "held_at": {"chest": "51.0"} if directions else {},
        }
    ]


@pytest.mark.parametrize(
    ("directions", "held"),
    [
        ((), set()),
        (("across",), {"chest", "shoulder_seam"}),  # an edge runs in both directions
        (("along",), {"armhole_depth", "shoulder_seam"}),
        (("across", "along"), {"chest", "armhole_depth", "shoulder_seam"}),
    ],
)
def test_the_same_readings_pinned_against_patted(answer, directions, held):
    garment = {"chest": "52", "armhole_depth": "20.0", "shoulder_seam": "12.0"}
    got = answer(garment_reads=garment, stages=pinned(*directions))
    assert {target.key for target in got.all.points if target.pinned} == held
    assert got.difference("chest") == pytest.approx(512.5 - 528.8)  # pins change no figure


def test_what_counts_is_what_it_reads_not_what_it_was_pinned_to(answer):
    got = answer(garment_reads={"chest": "52"}, stages=pinned("across"))
    assert got.at("chest").measured.value == 512.5  # pinned to 51 cm
