"""What a make must fit: a garment and one of its measurings, numbers, body and ease; wishes and what is allowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck.records.base import as_typed
from fitcheck.records.lengths import write_length
from fitcheck.records.makes import Make
from fitcheck.records.points import BODY, DECIDING_FIRST, POINTS
from fitcheck.store.faults import StaleWrite
from webui.pages import views
from webui.pages.drafts import Draft
from webui.pages.makes import make_of, report_or_404

pages = Blueprint("fits", __name__)

THEN = ("body_length", "to_underarm", "hem", "neck_width")
FIELDS = ("number", "ease", "wish", "smaller", "larger")
MEANT = (("flat", "flat"), ("round", "round"), ("piece", "on the piece"))


@pages.get("/makes/<key>/fits")
def form(key: str) -> Response:
    """The form with what is kept now."""
    make = make_of(key)
    return _form(make, Draft(_kept(make, views.store().get("makes", key).revision)))


@pages.post("/makes/<key>/fits")
def change(key: str) -> Response:
    """Keep what it must fit."""
    make = make_of(key)
    before = report_or_404(key, None)
    draft = Draft(request.form)
    stored = views.store().get("makes", key)
    document = _document(draft, stored.doc, views.unit())
    if not draft.fits:
        return _form(make, draft)
    from_revision = views.revision(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(views.store(), "makes", key, document, from_revision)
    except StaleWrite as stale:
        if stale.theirs is None or stale.theirs.deleted:
            return views.go("/makes", "It was deleted on another device meanwhile.")
        theirs = _kept(stale.theirs.record, stale.theirs.revision)
        return views.conflict(draft.typed, theirs, url_for("fits.form", key=key))
    if kept is None:
        return _form(make, draft)
    after = views.report_of(key)
    undo = views.Undo("makes", key, kept.revision) if kept.revision != stored.revision else None
    return views.go(f"/makes/{key}", views.changed(before, after, "what it must fit", views.unit()), undo)


def _points(make: Make) -> tuple[list[str], list[str]]:
    """The points of the make: those to see at once, and those that stand folded."""
    kinds = {one.piece for one in make.pieces} or {"back", "front", "sleeve"}
    here = [key for key, point in POINTS.items() if not point.pieces or kinds & set(point.pieces)]
    said = {*make.fits.numbers, *make.fits.ease, *make.wishes, *make.tolerances}
    sleeve = () if kinds & set(BODY) else ("upper_arm", "sleeve_to_underarm", "cuff")
    wanted = [*DECIDING_FIRST, *sleeve, *THEN]
    first = [key for key in here if key in wanted or key in said]
    return sorted(first, key=lambda key: wanted.index(key) if key in wanted else len(wanted)), [
        key for key in here if key not in first
    ]


def _form(make: Make, draft: Draft) -> Response:
    household = views.store().household()
    first, rest = _points(make)
    occasions = [("", "no sweater of the wardrobe")]
    for garment in household.garments:
        for occasion in reversed(garment.occasions):
            day = f", measured {occasion.on}" if occasion.on else ""
            occasions.append((f"{garment.id} {occasion.id}", f"{garment.name}{day}"))
    return views.page(
        "fits.html",
        422 if draft.refusals else 200,
        room="makes",
        make=make,
        typed=draft.typed,
        refusals=draft.refusals,
        occasions=occasions,
        wearers=[("", "nobody in particular"), *((one.id, one.name) for one in household.wearers)],
        first=[POINTS[key] for key in first],
        others=[POINTS[key] for key in rest],
        meant=MEANT,
        usual={key: [write_length(mm, views.unit()) for mm in point.tolerance] for key, point in POINTS.items()},
        open=any(name.rpartition("-")[2] in rest for name in draft.refusals),
    )


def _kept(make: Make, revision: int) -> dict[str, str]:
    typed = {"revision": str(revision), "wearer": make.wearer or ""}
    typed["occasion"] = f"{make.fits.garment} {make.fits.occasion}" if make.fits.garment else ""
    for key, number in make.fits.numbers.items():
        typed |= {f"number-{key}": as_typed(number.length), f"meant-{key}": number.meant}
    for key, ease in make.fits.ease.items():
        typed[f"ease-{key}"] = as_typed(ease)
    for key, wish in make.wishes.items():
        typed |= {f"wish-{key}": as_typed(wish.by), f"wish_meant-{key}": wish.meant}
    for key, allowed in make.tolerances.items():
        typed |= {f"smaller-{key}": as_typed(allowed.smaller), f"larger-{key}": as_typed(allowed.larger)}
        typed[f"allowed_meant-{key}"] = allowed.meant
    return typed


def _document(draft: Draft, document: dict[str, Any], unit: str) -> dict[str, Any]:
    """The make's document with this form's parts put in place of the old ones."""
    numbers: dict[str, Any] = {}
    ease: dict[str, Any] = {}
    wishes: dict[str, Any] = {}
    tolerances: dict[str, Any] = {}
    old: Mapping[str, Any] = document.get("fits", {}).get("numbers", {})
    for key in POINTS:
        if draft.text(f"number-{key}"):
            length = draft.length(f"fits.numbers.{key}", f"number-{key}", unit)
            numbers[key] = {"length": length, "meant": draft.text(f"meant-{key}") or "flat"}
            if old.get(key, {}).get("confirmed") and old[key]["length"] == length:
                numbers[key]["confirmed"] = True
        if draft.text(f"ease-{key}"):
            ease[key] = draft.length(f"fits.ease.{key}", f"ease-{key}", unit)
        if draft.text(f"wish-{key}"):
            by = draft.length(f"wishes.{key}", f"wish-{key}", unit)
            wishes[key] = {"by": by, "meant": draft.text(f"wish_meant-{key}") or "flat"}
        sides = [side for side in ("smaller", "larger") if draft.text(f"{side}-{key}")]
        if sides:
            one = {side: draft.length(f"tolerances.{key}.{side}", f"{side}-{key}", unit) for side in sides}
            usual = dict(zip(("smaller", "larger"), POINTS[key].tolerance, strict=True))
            tolerances[key] = {
                **{side: one.get(side) or f"{usual[side]:g} mm" for side in usual},
                "meant": draft.text(f"allowed_meant-{key}") or "flat",
            }
    there = document.get("fits", {})
    fits: dict[str, Any] = {"numbers": _as_before(numbers, old), "ease": _as_before(ease, there.get("ease", {}))}
    garment, _, occasion = draft.at("fits.garment", "occasion").partition(" ")
    if garment:
        fits |= {"garment": garment, "occasion": occasion}
    fresh = {
        **document,
        "fits": fits,
        "wishes": _as_before(wishes, document.get("wishes", {})),
        "tolerances": _as_before(tolerances, document.get("tolerances", {})),
    }
    wearer = draft.at("wearer", "wearer")
    if wearer:
        fresh["wearer"] = wearer
    else:
        fresh.pop("wearer", None)
    return fresh


def _as_before(fresh: Mapping[str, Any], before: Mapping[str, Any]) -> dict[str, Any]:
    """The points in the order in which they stood, new ones behind: what nobody changed makes no revision."""
    return {key: fresh[key] for key in [*(key for key in before if key in fresh), *fresh]}
