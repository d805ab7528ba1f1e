"""The decision: least expected loss, every action reachable, and what it must never say."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from fitcheck.advice.decide.decision import ACTIONS, DEFAULT_COSTS, recommend
from fitcheck.advice.decide.remedies import DecisionState, Remedies, lattice
from fitcheck.records.makes import Costs
from tests.advice.backs import COUNTS, back

KNOWN = {"u": 0.0}


def advised(differences: dict[str, float] | None = None, **more: object) -> str:
    return recommend(back(differences, **more)).action.code  # type: ignore[arg-type]


def action(state: DecisionState, code: str):
    return next(one for one in recommend(state).actions if one.code == code)


def test_a_right_back_is_carried_on():
    assert advised() == "carry_on"


def test_a_narrow_chest_is_made_up_by_a_wider_front():
    found = recommend(back({"chest": -12.0}))
    assert found.action.code == "other_counts"
    (change,) = found.action.alterations
    # Front 24 mm wider in an even number of 4.4 mm stitches: 6 are 26.4 mm, 4 are 17.6 mm; 6 lie nearer.
    assert (change.point, change.stitches, change.count) == ("chest", 6, 126)


@pytest.mark.parametrize(
    ("repeat", "stitches"),
    [
        # 24 mm are 5.5 stitches of 4.4 mm: 6 is the nearest even number, and a whole number of repeats of 3.
        (3, 6),
        (8, 8),  # 35.2 mm lie nearer than nothing
        (5, None),  # an even number of repeats is 10 stitches, 44 mm: more than front and back may lie apart
    ],
)
def test_a_wider_front_keeps_whole_repeats_of_the_pattern(repeat, stitches):
    state = back({"chest": -12.0})
    points = tuple(replace(one, repeat=repeat) if one.key == "chest" else one for one in state.points)
    plan = action(replace(state, points=points), "other_counts")
    changed = {one.point: one.stitches for one in plan.alterations}
    assert changed.get("chest") == stitches


def test_lengths_that_are_long_are_taken_off_at_the_hem():
    found = recommend(back({"body_length": 24.0, "to_underarm": 24.0}))
    assert found.action.code == "alter_hem"
    assert {change.stitches for change in found.action.alterations} == {-8}  # 24 mm in rows of 3.1 mm


def test_an_all_over_narrow_wool_back_is_blocked_again():
    # Neck and shoulder beyond what band and seam can give back, 2 % narrow everywhere, a little long.
    narrow = {"shoulder_width": -14.0, "neck_width": -9.0, "chest": -12.0, "hem": -12.0, "body_length": 4.0}
    found = recommend(back(narrow, holds=True, u=0.5, more=False))
    assert found.action.code == "block_again"
    assert found.action.stretch is not None
    assert found.action.stretch[0] == "across"


def test_shoulders_far_too_narrow_are_ripped_back_to_the_underarm():
    found = recommend(back({"shoulder_width": -28.0}))
    assert found.action.code == "rip_back"
    changed = {one.point: one.count for one in found.action.alterations}
    assert changed["shoulder_width"] == 100  # 94 + 6: 28 mm in an even number of 4.4 mm stitches


def test_a_back_wrong_below_the_underarm_too_is_knitted_again():
    assert advised({"chest": -60.0, "hem": -60.0, "shoulder_width": -40.0}) == "knit_again"


def test_measuring_again_comes_first_where_it_can_change_the_plan():
    found = recommend(back({"shoulder_width": -19.0}, u=4.0))
    assert found.action.code == "measure_again"
    assert (found.reason, found.about) == ("worth_measuring", "shoulder_width")
    assert found.then.code in ACTIONS
    assert found.then.code != "measure_again"


def test_nothing_is_measured_a_fourth_time():
    assert advised({"shoulder_width": -19.0}, u=4.0, looks=3) != "measure_again"


def test_no_measuring_where_no_number_of_readings_settles_it():
    state = back({"shoulder_width": -19.0}, u=4.0)
    hopeless = DecisionState(
        tuple(type(p)(**{**{f: getattr(p, f) for f in p.__slots__}, "readings_needed": 40}) for p in state.points),
        state.covariance,
    )
    assert recommend(hopeless).action.code != "measure_again"


def test_a_wild_reading_and_a_doubted_count_come_before_everything():
    assert recommend(back({"chest": -60.0}, outliers=("chest",))).reason == "wild_reading"
    found = recommend(back({"chest": -60.0}, miscount="chest"))
    assert (found.action.code, found.reason, found.about) == ("measure_again", "miscount", "chest")


def test_every_action_is_listed_with_its_loss_or_its_reason():
    for one in recommend(back({"chest": -12.0})).actions:
        assert (one.expected_loss is None) == (one.impossible is not None) or one.code == "measure_again"
    assert [one.code for one in recommend(back()).actions] == list(ACTIONS)


def test_the_same_state_gives_the_same_answer_to_the_last_digit():
    assert recommend(back({"chest": -9.0})) == recommend(back({"chest": -9.0}))


def test_chances_lie_between_nought_and_one_and_all_is_never_likelier_than_one():
    for one in recommend(back({"chest": -9.0, "neck_width": 5.0})).actions:
        if one.chance is not None:
            assert 0.0 <= one.chance <= min(one.chances) + 1e-12


@pytest.mark.parametrize(
    "differences",
    [{}, {"chest": -12.0}, {"shoulder_width": -28.0}, {"chest": -60.0, "hem": -60.0}, {"body_length": 24.0}],
)
def test_with_nothing_uncertain_the_advice_is_what_one_who_knows_all_would_do(differences):
    state = back(differences, holds=True, **KNOWN)
    found = recommend(state)
    remedies = Remedies(state, DEFAULT_COSTS)
    known = {code: float(loss[0]) for code, loss in remedies.losses(remedies.d[None], remedies.nothing).items()}
    assert found.action.expected_loss == pytest.approx(known[found.action.code], abs=1e-6)
    assert found.action.expected_loss <= min(known.values()) + 0.05 + 1e-9  # equal within 0.05: less work wins
    assert found.value_of_measuring <= 0.05 + 1e-9


@pytest.mark.parametrize("field", ["other_counts", "alter_hem", "block_again", "rip_back", "knit_again"])
def test_a_dearer_act_is_never_advised_where_the_cheaper_was_not(field):
    """Monotone in each cost: raising an act's cost never brings it in, and never lowers its expected loss."""
    cases = [
        {"chest": -12.0},
        {"shoulder_width": -28.0},
        {"body_length": 24.0},
        {"chest": -60.0, "hem": -60.0},
    ]
    for differences in cases:
        seen, losses = [], []
        for price in (0.0, 0.1, 0.4, 1.0, 3.0):
            costs = Costs().model_copy(update={field: price})
            found = recommend(back(differences, holds=True, looks=3), costs)
            seen.append(found.action.code == field)
            loss = next(one for one in found.actions if one.code == field).expected_loss
            losses.append(loss)
        assert seen == sorted(seen, reverse=True)
        known = [loss for loss in losses if loss is not None]
        assert all(a <= b + 1e-9 for a, b in itertools.pairwise(known))


def test_points_decide_only_where_their_truth_leads_to_other_advice():
    found = recommend(back({"shoulder_width": -19.0}, u=4.0))
    assert "shoulder_width" in found.deciding
    assert recommend(back(u=0.5)).deciding == ()


def test_no_points_are_refused():
    with pytest.raises(ValueError, match="at least one point"):
        recommend(DecisionState((), np.zeros((0, 0))))


def test_the_lattice_has_the_moments_of_a_standard_normal():
    z = lattice(512, len(COUNTS))
    assert np.abs(z.mean(axis=0)).max() < 1e-9
    assert np.abs(z.T @ z / 512 - np.eye(len(COUNTS))).max() < 1e-9
    # Not only the moments: Kolmogorov's distance of each coordinate from the normal.
    placed = np.sort(ndtr(z), axis=0)
    assert np.abs(placed - (np.arange(512)[:, None] + 0.5) / 512).max() < 0.03


def test_chances_of_a_plan_agree_with_a_simulated_garment():
    """Seeded: the front four stitches wider, a thousand sweaters drawn from the state."""
    state = back({"chest": -12.0}, u=3.0)
    found = action(state, "other_counts")
    rng = np.random.default_rng(11)
    at = list(COUNTS).index("chest")
    d = -12.0 + 3.0 * rng.standard_normal(40_000)
    piece = 528.0 + d
    front = piece * (1 + 0.015 * rng.standard_normal(d.size)) + 6 * 4.4
    garment = (d + front - 528.0) / 2
    assert found.chances[at] == pytest.approx(np.mean(np.abs(garment) <= 10.0), abs=0.006)
