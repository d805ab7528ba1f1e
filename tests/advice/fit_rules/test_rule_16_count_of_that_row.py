"""Fit rule 16: points 2.5 cm below the underarm are compared with the count of *that* row, not the widest."""


def test_a_tapered_sleeve_is_reckoned_with_the_2_stitches_less_of_that_row(answer):
    # 84 stitches at the widest; 2.5 cm below, before the last increase, 82 (invented counts)
    got = answer(
        garment_reads={"upper_arm": "18"},
        piece_reads={"upper_arm": "36.0"},
        piece={"piece": "sleeve", "counts": {"upper_arm": 82, "cap_height": 60}},
        planned={"sleeve": {"upper_arm": 84}},
    ).at("upper_arm")
    assert got.count == 82


def test_the_count_of_a_wider_place_never_stands_in_for_it(answer):
    got = answer(garment_reads={"chest": "52"}, piece_reads={"chest": "52.9"}, piece={"counts": {"hem": 126}})
    assert got.at("chest").count is None
    assert "count_at_that_row" in got.all.asks


def test_a_count_of_that_row_is_not_asked_for_twice(answer):
    got = answer(garment_reads={"chest": "52"}, piece={"counts": {"chest": 120}})
    assert "count_at_that_row" not in got.all.asks


def test_what_was_counted_on_the_piece_wins_over_what_was_believed_and_planned(answer):
    counts = {"chest": {"planned": 122, "knitted": 120, "counted": 118}}
    got = answer(garment_reads={"chest": "52"}, piece={"counts": counts}, planned={"back": {"chest": 124}})
    assert got.at("chest").count == 118
    plan = answer(garment_reads={"chest": "52"}, planned={"back": {"chest": 124}})
    assert plan.at("chest").count == 124
