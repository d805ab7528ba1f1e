"""What a way changes, as a list for the knitter: a count, a length, or a share where no count is known."""

from __future__ import annotations

import numpy as np

from fitcheck.advice.alteration import Alteration, of_halves
from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.stage import Sewn, Stage
from fitcheck.advice.decide.ways import Way
from fitcheck.advice.decide.widths import odd_counts


def changes(garment: Garment, way: Way, stage: Stage, sewn: Sewn) -> tuple[Alteration, ...]:
    """What a way changes.

    sewn  what it alone leads to
    """
    odd = odd_counts(garment, way, stage, sewn) if way.code == "carry_on" else {}
    listed = [*_panels(garment, sewn)]
    width, part, mean = (each[0, 0].tolist() for each in (sewn.width, sewn.part, sewn.mean))
    end = -float(sewn.end[0, 0])
    for j in range(garment.J):
        left = mean[j]
        if width[j]:
            listed += _width(garment, way, stage, j, width[j], odd.get(j), left)
        if part[j]:
            rows = _rows(garment, j, part[j])
            listed.append(Alteration(garment.points[j].key, garment.makers[j], part[j], rows, left_mm=left))
        if end and garment.ends[j]:
            listed.append(_end(garment, j, end, left))
        if way.rip is not None and way.anew[j]:
            listed += _anew(garment, j, left)
        if way.twin_right and j in garment.twins:
            listed += _twin(garment, j)
    return tuple(listed)


def changes_anew(garment: Garment, way: Way, stage: Stage, sewn: Sewn) -> tuple[Alteration, ...]:
    """What is knitted otherwise where all of the piece is knitted again, and beside it if it comes out as expected."""
    seams = _rows_to_sew(garment)
    listed = [change for change in seams.values() if change.stitches]
    for j in range(garment.J):
        if garment.points[j].key not in seams:
            listed += _anew(garment, j, None, again=True)
    listed += _panels(garment, sewn)
    for j, amount in enumerate(sewn.width[0, 0].tolist()):
        if amount:
            listed += _width(garment, way, stage, j, amount, None, float(sewn.mean[0, 0, j]))
    return tuple(listed)


def worth_at_the_end(garment: Garment, sewn: Sewn, v: int) -> bool:
    """Whether rows at the lower end answer something that the tape can tell, or a seam that does not agree."""
    end = float(sewn.end[v, 0])
    off = garment.noticeable(sewn.mean[v, 0, : garment.J] + end) & garment.hem
    seams = garment.seam_ends & (np.abs(garment.seam_mm) > garment.low[garment.J + garment.T :])
    return end != 0 and bool(off.any() or seams.any())


def _width(
    garment: Garment, way: Way, stage: Stage, j: int, amount: float, odd: int | None, left: float
) -> list[Alteration]:
    other = garment.by[j]
    if other is None:
        return []
    key, by = garment.points[j].key, "other_body_piece"
    planned = float(stage.planned[j])
    before = float(stage.as_planned[j] * way.rest[j])
    if planned != planned:
        return [Alteration(key, by, amount, left_mm=left, percent=100 * amount / before)]
    count = round((before + amount) / float(garment.other_size[j] * way.rest[j]))
    said = other.planned is not None
    stitch = float(garment.other_size[j])
    bed = _wall(garment, j, count, count * stitch - left / float(garment.other_share[j]), stitch)
    step = count - int(planned)
    halves = None
    if other.halves is not None:
        halves = other.halves[0] + of_halves(step)[0], other.halves[1] + of_halves(step)[1]
    plan = before - float(garment.other_wanted[j])
    share = _of_plan(garment, j, way, stage, plan, amount) if said else 0.0
    return [Alteration(key, by, amount, step, count, left, None, said, plan if said else None, share, odd, bed, halves)]


def _of_plan(garment: Garment, j: int, way: Way, stage: Stage, plan: float, amount: float) -> float:
    """The plan's share of what a change takes away [1]: of this piece and the plan, what lies on the other side of it.

    plan, amount  what the piece to come is as planned more than wanted, and the change of it [mm]
    """
    own = float(garment.share[j] * (way.scale[j] * stage.d[0, j] + way.offset[j]))
    theirs = float(garment.other_share[j]) * plan
    off = [max(0.0, -side if amount > 0 else side) for side in (own, theirs)]
    return off[1] / sum(off) if any(off) else 0.0


def _wall(garment: Garment, j: int, count: int, wanted_mm: float, stitch_mm: float) -> int | None:
    """The needles of the bed, where it and nothing else keeps a count from coming nearer to what is wanted."""
    needles = garment.state.needles
    at_the_end = needles is not None and garment.across[j] and count + garment.step[j] > needles
    return needles if at_the_end and wanted_mm / stitch_mm > count + 1 else None


def _panels(garment: Garment, sewn: Sewn) -> list[Alteration]:
    amount, panel = float(sewn.panel[0, 0]), garment.panel
    if not amount or panel is None:
        return []
    stitch = garment.panel_stitch
    if stitch != stitch:
        return [Alteration("panel_width", "side_panel", amount, percent=100 * amount / panel.wanted_mm)]
    stitches = round(amount / stitch)
    count = panel.planned + stitches if panel.planned is not None else round((panel.wanted_mm + amount) / stitch)
    return [Alteration("panel_width", "side_panel", amount, stitches, count, planned=panel.planned is not None)]


def _end(garment: Garment, j: int, amount: float, left: float) -> Alteration:
    by = garment.makers[j] if garment.hem[j] else "hem"
    percent = None if garment.counted[j] else 100 * amount / float(garment.length[j])
    rows = _rows(garment, j, amount)
    return Alteration(garment.points[j].key, by, amount, rows, left_mm=left, percent=percent)


def _rows(garment: Garment, j: int, amount: float) -> int | None:
    size = garment.points[j].size_mm
    return round(amount / size) if size and garment.along[j] else None


def _anew(garment: Garment, j: int, left: float | None, *, again: bool = False) -> list[Alteration]:
    """What a point that is knitted anew has otherwise: another count, or where none is known what the tape can tell."""
    point = garment.points[j]
    amount = float(garment.makes_up[j]) - point.difference
    if garment.counted[j] and point.count is not None:
        count = int((garment.counts_again if again else garment.counts_anew)[j])
        steps = count - point.count
        bed = _wall(garment, j, count, point.wanted_mm + float(garment.makes_up[j]), point.size_mm or 1.0)
        return [Alteration(point.key, "this_piece", amount, steps, count, left, bed=bed)] if steps else []
    if not garment.stands_out[j] or abs(amount) < garment.least[j]:
        return []
    return [Alteration(point.key, "this_piece", amount, left_mm=left, percent=100 * amount / point.piece_mm)]


def _rows_to_sew(garment: Garment) -> dict[str, Alteration]:
    """The rows of a piece that is knitted again where they are those of a piece that it is sewn to, per length."""
    seams: dict[str, Alteration] = {}
    for seam in garment.state.seams:
        j = garment.place.get(seam.key)
        if seam.rows is not None:
            own, theirs = seam.rows
        elif j is not None and garment.counted[j]:
            own = int(garment.count[j])
            theirs = own - round(seam.difference / float(garment.size[j]))
        else:
            continue
        seams[seam.key] = Alteration(seam.key, "this_piece", -seam.difference, theirs - own, theirs)
    return seams


def _twin(garment: Garment, j: int) -> list[Alteration]:
    """What the twin has otherwise than this piece where it is knitted as it is wanted."""
    point = garment.points[j]
    amount = float(garment.twin_left[j]) - point.difference
    if not garment.stands_out[j] or abs(amount) < garment.least[j]:
        return []
    if not garment.counted[j] or point.count is None:
        return [Alteration(point.key, "twin", amount, percent=100 * amount / point.piece_mm)]
    count = int(garment.counts_again[j])
    if count == point.count:
        return []
    return [Alteration(point.key, "twin", amount, count - point.count, count, planned=False)]
