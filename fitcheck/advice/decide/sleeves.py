"""Sleeves that are still to come beside a body piece: their best counts in the fabric that this piece shows.

They are the same whatever is done with the piece on the table, so they are in no loss and no chance of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.count_to_come import of_target
from fitcheck.advice.decide.garment import NINE_IN_TEN
from fitcheck.advice.left import kinds_left, pair_there
from fitcheck.advice.rest.count_series import like_planned
from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.rest.programme import Programme, candidates
from fitcheck.advice.target.parts import total
from fitcheck.advice.target.to_come import ToCome
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, POINTS

LENGTH, BELOW = "sleeve_length", "sleeve_to_underarm"
"""The length that a sleeve is knitted to, and the part of it up to the cap."""
SLEEVE_ROWS = (LENGTH, BELOW)


def sleeve_counts(
    make: Make,
    household: Household,
    piece: Piece,
    sizes: Mapping[CountedDirection, tuple[float, float]],
    *,
    coming: ToCome,
    whole: Mapping[str, tuple[int, int]] | None = None,
    needles: int | None = None,
) -> tuple[Alteration, ...]:
    """Other counts than planned for the sleeves; none beside a sleeve, or where nothing tells the stitch.

    Their widths come as near as they can. Rows are counted anew only where the planned ones leave what is allowed: at
    the cuff a row more or less is nothing that is settled before the sleeve is knitted.

    sizes    stitch width and row height of the next piece [mm], each with its standard uncertainty, relative [1]
    coming   what the pieces that are still to come must measure
    whole    stitches of the pattern repeat, and those over, at the points that hold whole ones
    """
    planned = planned_counts(make, household, "sleeve")
    if piece.piece not in BODY or not planned:
        return ()
    if "sleeve" not in kinds_left(make, piece) or pair_there(make, "sleeve"):
        # One that is there already is what the other is knitted like.
        return ()
    wanted = [target for target in coming.of("sleeve").points if target.wanted is not None and target.key in planned]
    widths = [target for target in wanted if POINTS[target.key].direction == "across"]
    across, along = sizes.get("across"), sizes.get("along")
    changed = [] if across is None else [*_changed(widths, planned, across, whole or {}, needles)]
    for target in wanted:
        if target.key == LENGTH and along is not None:
            changed += _other_rows(target, planned, along[0])
    return tuple(changed)


def beside_new_shoulders(
    make: Make,
    household: Household,
    changes: Sequence[Alteration],
    sizes: Mapping[CountedDirection, tuple[float, float]],
    coming: ToCome,
) -> tuple[Alteration, ...]:
    """Rows of the sleeves, of some changes, where the shoulders of the body piece are knitted anew and right.

    Beside shoulders as they were knitted, a sleeve is half as much longer as they are narrow (fit rule 12).
    """
    if not any(change.point == LENGTH for change in changes):
        return ()
    target = coming.of("sleeve").get(LENGTH)
    assert target is not None
    wanted = total(tuple(part for part in target.parts if part.code != "shoulder"))
    planned = planned_counts(make, household, "sleeve")
    return tuple(_other_rows(replace(target, wanted=wanted), planned, sizes["along"][0]))


def _changed(
    widths: Sequence[Target],
    planned: Mapping[str, int],
    stitch: tuple[float, float],
    whole: Mapping[str, tuple[int, int]],
    needles: int | None,
) -> Iterator[Alteration]:
    """Each width that gets another count by more than the tape's own doubt, or because the bed has not as many."""
    size, unsure = stitch
    choices = []
    for target in widths:
        assert target.wanted is not None
        near = _near(target.wanted.value / size, planned[target.key], whole.get(target.key, (1, 0)), needles)
        if near:
            choices.append(of_target(target, near, size, unsure, planned=planned[target.key]))
    counts = counts_for_rest(Programme(tuple(choices))).counts
    for target in widths:
        assert target.wanted is not None
        before = planned[target.key]
        count = counts.get(target.key, before)
        change, wall = (count - before) * size, needles is not None and before > needles
        if change and (wall or abs(change) > NINE_IN_TEN * target.wanted.u):
            left = count * size - target.wanted.value
            yield Alteration(target.key, "sleeve", change, count - before, count, left)


def _other_rows(target: Target, planned: Mapping[str, int], row: float) -> Iterator[Alteration]:
    """The rows that come nearest to what is wanted, where those that were planned leave what is allowed.

    What the cap does not take of them lies below the underarm.
    """
    assert target.wanted is not None
    before = planned[LENGTH]
    plain = target.wanted.value - target.not_plain_mm
    smaller, larger = target.tolerance_mm
    count = max(1, round(plain / row))
    if -smaller <= before * row - plain <= larger:
        return
    yield Alteration(LENGTH, "sleeve", (count - before) * row, count - before, count, count * row - plain)
    if below := planned.get(BELOW):
        rows = count - planned.get("cap_height", before - below)
        if rows not in (0, below):
            yield Alteration(BELOW, "sleeve", (rows - below) * row, rows - below, rows)


def _near(ideal: float, before: int, repeat: tuple[int, int], needles: int | None) -> list[int]:
    """Counts of whole repeats, or of the parity of the planned one, on the bed; and the planned one where it is."""
    series = like_planned(before, repeat)
    near = [count for count in candidates(ideal, step=series.step, most=needles) if series.has(count)]
    return sorted({*near, *([before] if needles is None or before <= needles else [])})
