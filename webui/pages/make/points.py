"""More points of a piece that lies on the table: typed at once, added to what is there."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import Blueprint, Response, request

from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import KINDS, ORDER, POINTS, Point
from fitcheck.records.readings import MAX_LOOKS
from fitcheck.words import deeds, wants
from fitcheck.words.phrases import spaced
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Field
from webui.forms.pieces import FIRST, STAGES, THEN, overhang_text, reading_at, stage_kind, tape_fields
from webui.pages import given_back, ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import listed_report_or_404, make_of, report_or_404
from webui.pages.make.path import Tick, path_of
from webui.pages.strip import Strip, figures_of, strip_of

pages = Blueprint("points_form", __name__)

AS_LAST = (("same", "as last"),)
HOW = (("readings", "with the tape"), ("overhangs", "laid on the sweater"))


@pages.get("/makes/<key>/points")
@given_back.draws_form
def ask(key: str) -> Response:
    """The form for the piece that lies on the table, or for one that is new."""
    make = make_of(key)
    asked = request.args.get("piece", "")
    piece = by_key(make.pieces, asked)
    if piece is None and asked not in KINDS:
        piece = next(iter(reversed(make.standing)), None)
    which = piece.id if piece else asked if asked in KINDS else "back"
    how = request.args.get("how", "")
    begin = {"how": how if how in dict(HOW) else _how(piece), "stage": "same" if _stage(piece) else "blocked"}
    return _form(make, ground.begun({"piece": which, **begin}))


@pages.post("/makes/<key>/points")
def take(key: str) -> Response:
    """Add the readings; or show another set of fields with everything typed in them."""
    make = make_of(key)
    typed = ground.typed(request.form)
    asked = typed.pop("show", "")
    if asked:
        name = "how" if asked in dict(HOW) else "piece"
        return _form(make, Draft({**typed, name: asked}))
    draft = Draft(typed)
    before = report_or_404(key, None)
    stored = views.store().get("makes", key)
    document, piece = draft.before(views.store(), stored), draft.text("piece")
    added = _add(draft, document, piece)
    if not added and draft.fits:
        draft.refuse(f"own_{_shown(make, piece)[0]}", wants.ONE_POINT)
    if not draft.fits:
        return _form(make, draft)
    kept = draft.keep(views.store(), "makes", key, document, stored.revision)
    if kept is None:
        return _form(make, draft)
    after = views.report_of(key)
    because = deeds.more_readings(added)
    return notices.go(f"/makes/{key}", views.changed(before, after, because), kept)


def _stage(piece: Piece | None) -> int | None:
    return stage_of(piece) if piece else None


def _how(piece: Piece | None) -> str:
    at = _stage(piece)
    return "overhangs" if piece and at is not None and piece.stages[at].overhangs else "readings"


def _kind(make: Make, piece: str) -> str:
    known = by_key(make.pieces, piece)
    return known.piece if known else piece if piece in KINDS else "back"


def _keys(kind: str) -> list[str]:
    """Points of a kind of piece: what comes first, what comes then, the others in the catalogue's order."""
    own = "sleeve" if "sleeve" in kind else "front" if "front" in kind else kind
    first = [*FIRST.get(own, ()), *THEN.get(own, ())]
    others = sorted((key for key in POINTS if kind in POINTS[key].pieces), key=ORDER.__getitem__)
    return [*first, *(key for key in others if key not in first)]


def _read(piece: Piece | None) -> set[str]:
    """Points that were read of a piece at its last stage."""
    at = _stage(piece)
    return {*piece.stages[at].readings, *piece.stages[at].overhangs} if piece is not None and at is not None else set()


def _shown(make: Make, asked: str) -> list[str]:
    """Points that the form shows at once: the usual ones that were not read yet."""
    read = _read(by_key(make.pieces, asked))
    usual = _keys(_kind(make, asked))[:6]
    return [key for key in usual if key not in read] or usual


@shown_by("points.html", "makes")
class PointsPage(Page):
    """More points of a piece that lies on the table."""

    make: Make
    ticks: tuple[Tick, ...]
    typed: dict[str, str]
    refusals: dict[str, Refusal]
    piece: str
    kind: str
    pieces: list[tuple[str, str]]
    new: list[tuple[str, str]]
    how: str
    hows: tuple[tuple[str, str], ...]
    stages: tuple[tuple[str, str], ...]
    points: list[tuple[Point, tuple[Field, ...]]]
    others: list[tuple[Point, tuple[Field, ...]]]
    open: bool
    again: bool
    strip: Strip


def _form(make: Make, draft: Draft) -> Response:
    kind = _kind(make, draft.text("piece"))
    piece = by_key(make.pieces, draft.text("piece"))
    at, read = _stage(piece), _read(piece)
    keys, shown = _keys(kind), _shown(make, draft.text("piece"))
    how = draft.text("how") if draft.text("how") in dict(HOW) else "readings"
    report = listed_report_or_404(make.id, None)
    figures = figures_of(shown, (point.key for point in report.points if point.key in keys))
    strip = strip_of(keys, piece=kind, construction=make.construction, figures=figures)
    kind, way = spaced(kind), "laid" if how == "overhangs" else "wardrobe"
    there = [(standing.id, spaced(standing.id)) for standing in make.standing]
    new = [(new_kind, f"a new {spaced(new_kind)}") for new_kind in KINDS if new_kind not in {key for key, _ in there}]
    return views.show(
        PointsPage(
            make=make,
            ticks=path_of(make, report),
            typed=draft.typed,
            refusals=draft.refusals,
            piece=draft.text("piece"),
            kind=kind,
            pieces=there,
            new=[choice for choice in new if choice[0] in ("back", "front", "sleeve")],
            how=how,
            hows=HOW,
            stages=(*(AS_LAST if at is not None else ()), *STAGES),
            points=[(POINTS[key], tape_fields(key, way, kind)) for key in shown],
            others=[(POINTS[key], tape_fields(key, way, kind)) for key in keys if key not in shown],
            open=any(name.partition("_")[2] not in shown for name in draft.refusals if name.startswith("own_")),
            again=bool(read),
            strip=strip,
        ),
        422 if draft.refusals else 200,
    )


def _add(draft: Draft, document: dict[str, Any], piece: str) -> int:
    """Put the readings into the document; return how many there were."""
    how, unit = "overhangs" if draft.text("how") == "overhangs" else "readings", views.unit()
    listed = document.setdefault("pieces", [])
    number = next((place for place, listed_piece in enumerate(listed) if listed_piece["id"] == piece), None)
    if number is None:
        kind = piece if piece in KINDS else "back"
        listed.append({"id": kind, "piece": kind})
        number = len(listed) - 1
    stages = listed[number].setdefault("stages", [])
    at = _last(stages)
    if at is None or draft.text("stage") in dict(STAGES):
        stages.append({"kind": stage_kind(draft.text("stage")), "on": date.today().isoformat()})
        at = len(stages) - 1
    there = stages[at].setdefault(how, {})
    every = [reading for listed_ in there.values() for reading in listed_]
    anew = draft.text("anew") != "no"
    laying = max((reading.get("laying", 1) for reading in every), default=0) + (1 if anew or not every else 0)
    count = 0
    for key in POINTS:
        text = overhang_text(draft, key, unit) if how == "overhangs" else draft.text(f"own_{key}")
        if not text:
            continue
        reading = reading_at(draft, f"own_{key}", text, unit, signed=how == "overhangs")
        before = there.setdefault(key, [])
        if before:
            reading["look"] = min(MAX_LOOKS, max(other.get("look", 1) for other in before) + 1)
        if every:
            reading["laying"] = max(1, laying)
        before.append(reading)
        path = ("pieces", number, "stages", at, how, key)
        draft.at((*path, len(before) - 1), f"own_{key}")
        draft.at(path, f"own_{key}")
        count += 1
    return count


def _last(stages: list[dict[str, Any]]) -> int | None:
    """Place of the stage that is judged: the last blocked one, without one the last."""
    blocked = [place for place, stage in enumerate(stages) if stage["kind"] == "blocked"]
    return blocked[-1] if blocked else len(stages) - 1 if stages else None
