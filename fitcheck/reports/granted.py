"""What was taken for granted, and the usual cautions that apply."""

from __future__ import annotations

from collections.abc import Iterator

from fitcheck.advice.decide.state import PIECE_TO_PIECE
from fitcheck.advice.decide.ways import SPRINGS_BACK, SPRINGS_BACK_SD
from fitcheck.estimates.numbers import Assumed, CannotSay
from fitcheck.records.makes import Piece
from fitcheck.records.repeatability import OVERHANG_MM
from fitcheck.records.wearers import Wearer
from fitcheck.records.yarns import FELTS, Yarn
from fitcheck.reports.reads import Read
from fitcheck.reports.steps import Steps

DIAL_UNSAID = "piece_dial_unsaid"
"""Said before everything else that was taken for granted: which fabric the piece is of hangs on it."""


def assumed_of(told: Steps) -> tuple[Assumed, ...]:
    """What was taken for granted, each once: a dial that nobody said, then what costs most certainty."""
    listed: dict[tuple[str, str], Assumed] = {}
    for assumed in _every(told):
        listed.setdefault((assumed.code, assumed.about), assumed)
    return tuple(sorted(listed.values(), key=lambda assumed: (assumed.code != DIAL_UNSAID, -assumed.share)))


def _every(told: Steps) -> Iterator[Assumed]:
    if told.given.piece is not None and _dial_unsaid(told, told.given.piece):
        yield Assumed(DIAL_UNSAID, told.given.piece.id)
    if told.targets is not None:
        yield from told.targets.assumed
    if share := max((_share_of_tape(read) for read in told.points), default=0.0):
        yield Assumed("tape_hand", "", 3.0, None, "mm", share)
    if share := max((_share_of_overhang(read) for read in told.points), default=0.0):
        yield Assumed("overhang_hand", "", OVERHANG_MM, None, "mm", share)
    if any(read.target.wanted is None for read in told.points):
        yield Assumed("level")
    if not isinstance(told.decided, CannotSay):
        if told.decided.state.piece_sd == PIECE_TO_PIECE:
            yield Assumed("piece_to_piece", "", 100 * PIECE_TO_PIECE, None, "percent")
        blocking = next(action for action in told.decided.advice.actions if action.code == "block_again")
        if blocking.impossible is None and told.given.make.finished is None:
            yield Assumed("springs_back", "", 100 * SPRINGS_BACK, 100 * SPRINGS_BACK_SD, "percent")
    piece, garment = told.given.piece, told.given.garment
    if any(read.target.taped and read.target.taped.laying_assumed for read in told.points):
        yield Assumed("one_laying", piece.id if piece else "")
    if any(read.target.reference and read.target.reference.laying_assumed for read in told.points):
        yield Assumed("one_laying", garment.id if garment else "")


def _dial_unsaid(told: Steps, piece: Piece) -> bool:
    """Whether nobody said the dial of the piece, so that the swatches do not speak for it."""
    read = told.fabric.specimens if told.fabric is not None and piece.stages else ()
    return piece.dial is None and any(not specimen.piece for specimen in read)


def _share_of_tape(read: Read) -> float:
    """Share of the difference's variance that the usual hand of the tape brings, where nothing else is known [1]."""
    target, own = read.target, read.target.measured
    difference = target.difference if own is not None and own.basis == "assumed" else None
    if own is None or difference is None or not difference.u:
        return 0.0
    theirs = target.reference.estimate.u * target.garment_scale if target.reference else 0.0
    return min(1.0, (own.u**2 + theirs**2) / difference.u**2)


def _share_of_overhang(read: Read) -> float:
    """The same of the usual hand that lays a piece on a garment [1]."""
    over = read.target.overhang
    laid = read.target.overhang_difference if over is not None and over.basis == "assumed" else None
    if over is None or laid is None or not laid.u:
        return 0.0
    difference = read.target.difference
    beside = 1.0 if difference is None else difference.u**2 / (difference.u**2 + laid.u**2)
    return min(1.0, over.u**2 / laid.u**2) * beside


def cautions_of_yarn(yarn: Yarn | None) -> tuple[str, ...]:
    """Codes of what can ruin a piece of this yarn as it is washed and blocked; of one whose fibres nobody said, all."""
    fibres = {share.fibre for share in yarn.fibres} if yarn else set()
    felts, acrylic = not fibres.isdisjoint(FELTS), "acrylic" in fibres
    return tuple(code for code, can in (("felting", felts), ("steam_acrylic", acrylic)) if can or not fibres)


def cautions_of_wearer(wearer: Wearer | None) -> tuple[str, ...]:
    """Codes of what to mind about who wears it."""
    return ("children",) if wearer is not None and wearer.child else ()


def _steamed(told: Steps) -> Iterator[str]:
    """Codes of acrylic that was steamed: the piece, or a swatch that others would be blocked like."""
    given = told.given
    if given.yarn is None or all(share.fibre != "acrylic" for share in given.yarn.fibres):
        return
    if given.piece and any(stage.blocking == "steamed" for stage in given.piece.stages):
        yield "steamed_acrylic"
    if any(stage.blocking == "steamed" for swatch in given.swatches for stage in swatch.stages):
        yield "steamed_swatch"


def cautions_of(told: Steps) -> tuple[str, ...]:
    """Codes of what to ask oneself about the reference, and of the usual cautions that apply to this make."""
    given = told.given
    codes = [*(told.targets.asks if told.targets else ()), *cautions_of_yarn(given.yarn), *_steamed(told), "care_label"]
    if given.make.costs.before is not None:
        codes.append("costs_taken_over")
    if given.swatches:
        codes += ["wash_alike", "small_sample"]
    return *codes, *cautions_of_wearer(given.wearer), "advice_only"
