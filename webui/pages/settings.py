"""Settings: unit, decimal mark, who measures, the household's tape; backup, export and import."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import Blueprint, Response, make_response, request, url_for

from fitcheck import words
from fitcheck.estimates.readings import PRIOR_DOF, Pool
from fitcheck.records.faults import RecordsError
from fitcheck.store.documents import HOUSEHOLD
from fitcheck.store.faults import ImportConflicts, StaleWrite, StoreError
from webui.pages import ground, views
from webui.pages.drafts import Draft, Refusal
from webui.pages.wardrobe_measures import household_pool

pages = Blueprint("settings", __name__, url_prefix="/settings")
ROOM = "settings"
UNITS = (("cm", "centimetres"), ("in", "inches"))
MARKS = (("point", "point: 51.2"), ("comma", "comma: 51,2"))
MOST_FAULTS = 30
KINDS = ("garments", "wearers", "swatches", "yarns", "machines", "size_tables", "makes")
FIELDS = (("name", "Name of the household"), ("unit", "Unit"), ("notes", "Notes"))


@pages.get("")
def settings() -> Response:
    """Everything that can be set, and the ways in and out."""
    return _page(Draft(_typed()))


def _typed() -> dict[str, str]:
    stored = ground.store().get(HOUSEHOLD, HOUSEHOLD)
    one = stored.record
    return {
        "name": one.name,
        "unit": views.unit(),
        "mark": "comma" if ground.mark() == "," else "point",
        "by": ground.measurer(),
        "notes": one.notes,
        "revision": str(stored.revision),
    }


def _page(draft: Draft, status: int = 200, **more: Any) -> Response:
    household = ground.household()
    counts = [
        ground.counted(len(getattr(household, kind)), ground.noun(kind), ground.noun(kind, many=True))
        for kind in KINDS
        if getattr(household, kind)
    ]
    return ground.show(
        "settings.html",
        ROOM,
        status,
        typed={**_typed(), **draft.typed},
        refusals=draft.refusals,
        units=UNITS,
        marks=MARKS,
        counts=counts,
        tape=_tape_words(household_pool(household)),
        path_of=ground.store().path,
        deleted=ground.deleted(*KINDS),
        **more,
    )


def _tape_words(pool: Pool) -> dict[str, str]:
    """How steady the tape is, and whether that is measured, in a sentence each."""
    at = 500.0
    s = ground.decimal(pool.s_mm(at), 1)
    laying = ground.decimal(pool.laying_mm(at), 1)
    told = {
        "assumed": "Still assumed: nobody read anything twice yet.",
        "mixed": "Half assumed yet: more repeated readings will tell.",
        "measured": "Measured by your own repeated readings.",
    }[pool.basis]
    counted = max(0, round(pool.dof - PRIOR_DOF))
    again = f"{counted} repeated readings speak for it." if counted else "Two readings of one point begin to tell."
    laid = (
        f"Laying it anew adds about {laying} mm."
        if pool.laying_dof
        else f"Laying it anew adds about {laying} mm, which is assumed: nobody said that anything was laid anew."
    )
    return {
        "head": f"At 50 cm one reading of your tape is right to about {s} mm, more or less.",
        "basis": told,
        "again": again,
        "laid": laid,
    }


@pages.post("")
def change() -> Response:
    """Keep the settings: some of this device, some of the household."""
    draft = Draft(ground.typed(request.form))
    for name, known in (("unit", UNITS), ("mark", MARKS)):
        if draft.text(name) not in dict(known):
            draft.refuse(name, f"One of {words_list([label for _, label in known])}.")
    stored = ground.store().get(HOUSEHOLD, HOUSEHOLD)
    document = {**stored.doc, "name": draft.at("name", "name"), "notes": draft.at("notes", "notes")}
    document["unit"] = draft.text("unit")
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), HOUSEHOLD, HOUSEHOLD, document, revision)
    except StaleWrite as stale:
        return ground.conflict(stale, draft, url_for("settings.settings"), ROOM, FIELDS)
    if kept is None:
        return _page(draft, 422)
    changed = kept.revision != stored.revision
    response = ground.go(url_for("settings.settings"), "Kept.", kept if changed else None)
    cookies = ((views.UNIT_COOKIE, "unit"), (ground.MARK_COOKIE, "mark"), (ground.MEASURER_COOKIE, "by"))
    for cookie, name in cookies:
        response.set_cookie(cookie, draft.text(name)[:60], max_age=views.A_YEAR, httponly=True, samesite="Lax")
    return response


def words_list(names: list[str]) -> str:
    """Names to choose from: "centimetres or inches"."""
    return views.listed(names, "or")


# ---- out ---------------------------------------------------------------------------------------------------


@pages.post("/backup")
def backup() -> Response:
    """Copy everything, history too, into one new file beside the database."""
    try:
        path = ground.store().back_up()
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))
    return ground.go(url_for("settings.settings"), f"Everything is copied to {path}. Keep a copy on another disk.")


@pages.get("/household.json")
def bundle() -> Response:
    """The household as one file."""
    try:
        raw = ground.store().export_bundle()
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))
    return _file(raw, "application/json", "json")


@pages.get("/readings.csv")
def readings() -> Response:
    """Every reading as a table."""
    return _file(ground.store().readings_as_csv().encode(), "text/csv; charset=utf-8", "csv")


def _file(raw: bytes, kind: str, ending: str) -> Response:
    response = make_response(raw)
    response.headers["Content-Type"] = kind
    name = f"fitcheck-{date.today().isoformat()}.{ending}"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


# ---- in ----------------------------------------------------------------------------------------------------


@pages.post("/bundle")
def take_bundle() -> Response:
    """Take a household file in, all or nothing."""
    raw = _sent("bundle")
    how = "replace" if request.form.get("how") == "replace" else "merge"
    draft = Draft({})
    if not raw.strip():
        draft.refusals["bundle"] = Refusal("nothing chosen", "A household file, as it is exported here.")
        return _page(draft, 422)
    try:
        done = ground.store().import_bundle(raw, how)
    except RecordsError as error:
        return _page(draft, 422, faults=_faults(error), of="bundle")
    except ImportConflicts as error:
        names = [f"{key.replace('_', ' ')} ({ground.noun(kind)})" for kind, key in error.records]
        return _page(draft, 409, conflicts=names)
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))
    told = [
        f"{count} {word}"
        for count, word in (
            (len(done.created), "new"),
            (len(done.changed), "changed"),
            (len(done.deleted), "deleted"),
            (len(done.unchanged), "as they were"),
        )
        if count
    ]
    return ground.go(url_for("settings.settings"), f"Taken in: {', '.join(told) or 'nothing was in it'}.")


@pages.post("/readings")
def take_readings() -> Response:
    """Add the readings of a table, all or none."""
    raw = _sent("readings")
    draft = Draft({"readings_text": request.form.get("readings_text", "")})
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        draft.refusals["readings"] = Refusal("other characters", "A table saved as UTF-8.")
        return _page(draft, 422)
    if not text.strip():
        draft.refusals["readings"] = Refusal("nothing chosen", "A table of readings, as it is exported here.")
        return _page(draft, 422)
    try:
        done = ground.store().add_readings_from_csv(text)
    except RecordsError as error:
        return _page(draft, 422, faults=_faults(error), of="readings")
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))
    here = f", {done.already_here} were here already" if done.already_here else ""
    return ground.go(url_for("settings.settings"), f"{ground.counted(done.added, 'reading')} added{here}.")


def _sent(name: str) -> bytes:
    """The file of a form, else the text that was pasted."""
    found = request.files.get(name)
    raw = found.read() if found is not None else b""
    return raw or request.form.get(f"{name}_text", "").encode()


def _faults(error: RecordsError) -> list[str]:
    told = [words.fault_sentence(fault) for fault in error.faults[:MOST_FAULTS]]
    if len(error.faults) > MOST_FAULTS:
        told.append(f"And {len(error.faults) - MOST_FAULTS} more.")
    return told
