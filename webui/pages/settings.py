"""Settings: unit, decimal mark, who measures, the household's tape; backup, export and import."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any, ClassVar

from flask import Blueprint, Response, request, url_for

from fitcheck import words
from fitcheck.advice.hands import pools, sets_to_freeze
from fitcheck.estimates.readings import Pool
from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, TapePool
from fitcheck.records.places import Place
from fitcheck.store.album import MAGIC
from fitcheck.store.bundle import HOWS, How, Imported
from fitcheck.store.daily import DAILY_KEPT
from fitcheck.store.faults import ImportConflicts, StaleWrite, StoreError
from fitcheck.store.stored import HOUSEHOLD, Settings, Stored, readable
from fitcheck.words import backups as say_backups
from fitcheck.words import deeds, wants
from fitcheck.words import left_out as words_left_out
from fitcheck.words import pages as say
from fitcheck.words import photographs as say_photographs
from fitcheck.words.names import kind_counted, kind_name
from fitcheck.words.phrases import count_words, spaced
from webui.forms.drafts import FORM, Draft, Refusal
from webui.forms.fields import Filled
from webui.forms.settings import SETTINGS
from webui.pages import given_back, ground, left_out, views
from webui.pages.attached import album as attached_album
from webui.pages.attached import attached
from webui.pages.conflicts import conflict
from webui.pages.context import Page
from webui.pages.devices import Devices, devices

pages = Blueprint("settings", __name__, url_prefix="/settings")
ROOM = "settings"
THUMB_COOKIE = "thumb"
COOKIES = {
    views.UNIT_COOKIE: "unit",
    views.MARK_COOKIE: "mark",
    ground.PARTS_COOKIE: "parts",
    THUMB_COOKIE: "thumb",
    ground.MEASURER_COOKIE: "by",
}
"""What this device remembers: cookie and field."""
MOST_FAULTS = 30
KINDS = ("garments", "wearers", "swatches", "yarns", "machines", "size_tables", "makes")


@pages.get("")
@given_back.draws_form
def settings() -> Response:
    """Everything that can be set, and the ways in and out."""
    return _page(ground.begun(_typed()))


def _typed() -> dict[str, str]:
    return {**ground.written(SETTINGS, _kept()).typed, **_of_device()}


def _kept() -> Stored:
    """The household's settings; those of a new household where what is kept of them cannot be read."""
    stored = ground.store().get(HOUSEHOLD, HOUSEHOLD)
    if readable(HOUSEHOLD, stored.text):
        return stored
    return replace(stored, text=Settings(unit="cm").model_dump_json(exclude_defaults=True))


def _of_device() -> dict[str, str]:
    """What this device remembers, by field."""
    return {
        "unit": views.unit(),
        "mark": "comma" if ground.mark() == "," else "point",
        "parts": str(ground.parts()),
        "thumb": "left" if request.cookies.get(THUMB_COOKIE) == "left" else "right",
        "by": ground.measurer(),
    }


@frozen
class SettingsPage(Page):
    """The settings, how steady the tape is, and what is kept.

    counts   how many records of each kind there are;  path_of: where they are kept
    tape     None where the program fails over it
    pictures how many photographs are kept, and how large they are together; empty without any
    backups  each that stands beside the database;  backups_stay: which of them stay
    deleted  what can be brought back
    devices  who else finds the service; None where the program fails over it
    faults      what was wrong in a file that was to be taken in
    conflicts   records of it that are here in another version
    """

    template: ClassVar[str] = "settings.html"
    room: ClassVar[str] = ROOM
    form: Filled
    counts: Sequence[str]
    pictures: str
    tape: Mapping[str, Any] | None
    path_of: Path
    backups: Sequence[str]
    backups_stay: str
    deleted: Sequence[tuple[str, str]]
    devices: Devices | None
    faults: Sequence[str] = ()
    conflicts: Sequence[str] = ()


def _page(draft: Draft, status: int = 200, *, faults: Sequence[str] = (), conflicts: Sequence[str] = ()) -> Response:
    draft.typed = {**_typed(), **draft.typed}
    household = ground.household()
    counts = [kind_counted(kind, len(getattr(household, kind))) for kind in KINDS if getattr(household, kind)]
    form, deleted = ground.filled(SETTINGS, draft, Place(HOUSEHOLD, HOUSEHOLD)), ground.deleted(*KINDS)
    kept = ground.store().photographs_kept()
    pictures = say_photographs.in_all(kept.count, kept.size) if kept.count else ""
    backups, stay = _backups()
    of_here, of_home, path = None, None, ground.store().path
    with left_out.named(words_left_out.TAPE, ""):
        of_here = _tape(household)
    with left_out.named(words_left_out.DEVICES, ""):
        of_home = devices()
    page = SettingsPage(form, counts, pictures, of_here, path, backups, stay, deleted, of_home, faults, conflicts)
    return views.show(page, status)


def _backups() -> tuple[Sequence[str], str]:
    """Each backup beside the database as a line, and which of them stay; or why nobody can tell."""
    try:
        found = ground.store().backups()
    except StoreError as error:
        return (), str(error)
    lines = [say_backups.backup_line(backup.at.astimezone(), backup.size, backup.why, date.today()) for backup in found]
    return lines, say_backups.which_stay(DAILY_KEPT) if lines else say_backups.NONE


# ---- the household's tape ----------------------------------------------------------------------------------


def _tape(household: Household) -> dict[str, Any]:
    """How steady the tape is, from what, and whether that is frozen for every make."""
    now = sets_to_freeze(household)
    frozen = household.tape.sets
    pool, _ = pools((), (), TapePool(sets=frozen or now), frozenset())
    degrees = round(sum(readings_set.dof for readings_set in frozen or now if readings_set.kind == "readings"))
    return {
        "head": say.tape_is_right_to(_at()[1], _hand_mm(pool)),
        "said": say.TAPE_KNOWN_FROM[pool.basis],
        "counted": count_words(degrees, "repeated reading") if degrees else "none yet",
        "basis": say.TAPE_BASIS[pool.basis],
        "value": say.hand_at(_hand_mm(pool), _at()[1]),
        "assumed": f"{_hand_mm(Pool())} mm",
        "records": count_words(len({readings_set.of for readings_set in now}), "record"),
        "frozen": bool(frozen),
        "moved": bool(frozen) and frozen != now,
        "can": bool(now),
    }


def _at() -> tuple[float, str]:
    """A length to tell the hand by: half a body [mm], and as it is written."""
    return (508.0, "20 in") if ground.unit() == "in" else (500.0, "50 cm")


def _hand_mm(pool: Pool) -> str:
    return ground.decimal(pool.s_mm(_at()[0]), 1)


@pages.post("/tape")
def freeze_tape() -> Response:
    """Freeze what all readings say of the tape for every make, or free it again."""
    stored = _kept()
    free = request.form.get("do") == "free"
    sets = [] if free else [readings_set.model_dump() for readings_set in sets_to_freeze(ground.household())]
    tape = {"revision": stored.record.tape.revision + 1, "sets": sets}
    try:
        kept = ground.store().put(HOUSEHOLD, HOUSEHOLD, {**stored.doc, "tape": tape}, stored.revision)
    except StaleWrite:
        return ground.go(url_for("settings.settings"), deeds.CHANGED_ELSEWHERE)
    said = deeds.FREE_AGAIN if free else deeds.FROZEN
    return ground.go(url_for("settings.settings"), said, kept)


# ---- keeping -----------------------------------------------------------------------------------------------


@pages.post("")
def change() -> Response:
    """Keep the settings: some of this device, some of the household."""
    device = {name: value for name, value in _of_device().items() if name != "unit"}
    draft = Draft({**device, **ground.typed(request.form)})
    stored = _kept()
    document = SETTINGS.read(draft, views.unit(), draft.before(ground.store(), stored))
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), HOUSEHOLD, HOUSEHOLD, document, revision)
    except StaleWrite as stale:
        return conflict(stale, draft, SETTINGS, url_for("settings.settings"), ROOM)
    if kept is None:
        return _page(draft, 422)
    changed = kept.revision != stored.revision
    response = ground.go(url_for("settings.settings"), "Kept.", kept if changed else None)
    for cookie, name in COOKIES.items():
        # The walk sets the thumb too, so a script must reach that one.
        said, hidden = draft.text(name)[:60], cookie != THUMB_COOKIE
        response.set_cookie(cookie, said, max_age=views.A_YEAR, httponly=hidden, samesite="Lax")
    return response


# ---- out ---------------------------------------------------------------------------------------------------


@pages.post("/backup")
def backup() -> Response:
    """Copy everything, history too, into one new file beside the database."""
    try:
        path = ground.store().back_up()
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))
    return ground.go(url_for("settings.settings"), deeds.backed_up(str(path)))


@pages.get("/household.json")
def bundle() -> Response:
    """The household as one file."""
    try:
        raw = ground.store().export_bundle()
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))
    return attached(raw, "application/json", _dated("json"))


@pages.get("/household.zip")
def album() -> Response:
    """The household as one file with its photographs."""
    try:
        return attached_album(ground.store(), _dated("zip"))
    except StoreError as error:
        return ground.go(url_for("settings.settings"), str(error))


@pages.get("/readings.csv")
def readings() -> Response:
    """Every reading as a table."""
    return attached(ground.store().readings_as_csv().encode(), "text/csv; charset=utf-8", _dated("csv"))


def _dated(ending: str) -> str:
    return f"fitcheck-{date.today().isoformat()}.{ending}"


# ---- in ----------------------------------------------------------------------------------------------------


@pages.post("/bundle")
def take_bundle() -> Response:
    """Take a household file in, all or nothing."""
    raw = _sent("bundle")
    how: How = next((how for how in HOWS if how == request.form.get("how")), "merge")
    draft = Draft({})
    if not raw.strip():
        draft.refusals["bundle"] = Refusal("nothing chosen", wants.HOUSEHOLD_FILE)
        return _page(draft, 422)
    try:
        done = _taken(raw, how)
    except RecordsError as error:
        return _page(draft, 422, faults=_faults(error))
    except ImportConflicts as error:
        names = [f"{spaced(key)} ({kind_name(kind)})" for kind, key in error.records]
        return _page(draft, 409, conflicts=names)
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
    makes = [key for kind, key in (*done.created, *done.changed) if kind == "makes"]
    alone = len(makes) == 1 and not done.deleted
    to = ground.page_of("makes", makes[0]) if alone else url_for("settings.settings")
    return ground.go(to, deeds.taken_in(told), together=ground.store().together(done.form, done.at))


def _taken(raw: bytes, how: How) -> Imported:
    """What was taken in of a household file, with photographs or without."""
    if raw.startswith(MAGIC):
        return ground.store().import_album(BytesIO(raw), how)
    return ground.store().import_bundle(raw, how)


@pages.post("/readings")
def take_readings() -> Response:
    """Add the readings of a table, all or none."""
    raw = _sent("readings")
    draft = Draft({name: request.form.get(name, "") for name in ("readings_text", FORM)})
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        draft.refusals["readings"] = Refusal("other characters", wants.UTF8_FILE)
        return _page(draft, 422)
    if not text.strip():
        draft.refusals["readings"] = Refusal("nothing chosen", wants.READINGS_FILE)
        return _page(draft, 422)
    try:
        done = ground.store().add_readings_from_csv(text)
    except RecordsError as error:
        return _page(draft, 422, faults=_faults(error))
    said = deeds.readings_added(done.added, done.already_here)
    stored = done.records[0] if len(done.records) == 1 else None
    together = ground.store().together(done.form, done.at) if len(done.records) > 1 else None
    return ground.go(url_for("settings.settings"), said, stored, together=together)


def _sent(name: str) -> bytes:
    """The file of a form, else the text that was pasted."""
    sent = request.files.get(name)
    raw = sent.read() if sent is not None else b""
    return raw or request.form.get(f"{name}_text", "").encode()


def _faults(error: RecordsError) -> list[str]:
    told = [words.fault_sentence(fault) for fault in error.faults[:MOST_FAULTS]]
    if len(error.faults) > MOST_FAULTS:
        told.append(say.and_more(len(error.faults) - MOST_FAULTS))
    return told
