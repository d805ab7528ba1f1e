"""At the machine: a begun sheet on a phone, one act on the screen, and the taps on it without a script."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from typing import Any

from flask import Blueprint, Response, abort, request

from fitcheck.drawing.needle_bed import carriage_path, work_path
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.by_counter import line_at
from fitcheck.knitting.lines import SheetLine
from fitcheck.knitting.written import sheet_of
from fitcheck.records.begun_sheets import BegunSheet, Tap
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.sheet_kinds import SHEET_KINDS
from fitcheck.reports.progress import Progress, progress_of
from fitcheck.reports.shown_sheet import begun_of
from fitcheck.store.faults import NotFound, SheetEnded, SheetNotFound, TapBeyondSheet
from fitcheck.words import at_machine
from fitcheck.words.at_machine import ActTold, acts_told
from fitcheck.words.phone import AT_MACHINE, MACHINE
from fitcheck.words.sheet_page import absent_at_machine
from webui.beginning import SheetChanged, begin_sheet, newer_sheet, rest_of_make, sheet_shown
from webui.forms.typed import whole_number
from webui.pages import notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import make_of
from webui.service import service

pages = Blueprint("machine", __name__)

LONGEST_COUNTER = 5
"""Figures of a row counter that are read; no counter has more."""


@frozen
class Strip:
    """What is said above the act: its first words, the rest, and where a link of it leads."""

    head: str
    told: str
    link: str = ""
    to: str = ""


@frozen
class Jump:
    """Another row, as it was typed.

    typed   what was typed;  refused: why it is not taken
    told    sentences;  between: rows and act of each run of acts
    target  number of the line to go to; None where nothing can be gone to
    do, go  the words of the button
    """

    typed: str
    refused: str = ""
    told: str = ""
    between: tuple[tuple[str, str], ...] = ()
    more: str = ""
    then: str = ""
    target: int | None = None
    do: str = ""
    go: str = ""


@shown_by("machine.html", "makes")
class MachinePage(Page):
    """A sheet at the machine.

    here, sheet   addresses of this page and of the sheet
    title         of the tab
    act, work     the act in hand with the bar of its needles; None where none is: the sheet is not begun, or finished
    carriage      the block of the carriage, by its side
    place         number of the line in hand, from 0
    following     the act after it; None where it is the last
    half          the half that is finished, before the act
    jump          another row, as it was typed; None where none is asked for
    stay          words of the link that leaves it
    strip         what is said above the act
    head, told    heading and sentence where no act is in hand
    begin         digest of the lines that a button begins; empty where there is nothing to begin
    begun         id of the begun sheet; empty where none is
    tap           id of the tap that the form makes
    make          address of the make
    words         labels of the page
    data          what the script needs; None where there is nothing to tap
    """

    here: str
    sheet: str
    title: str
    act: ActTold | None
    work: str
    carriage: Mapping[str, str]
    place: int
    following: ActTold | None
    half: bool
    jump: Jump | None
    stay: str
    strip: Strip | None
    head: str
    told: str
    begin: str
    begun: str
    tap: str
    make: str
    words: Mapping[str, str]
    data: Mapping[str, Any] | None


@frozen
class _Begun:
    """A begun sheet with its lines, its acts in words and how far it is."""

    record: BegunSheet
    lines: tuple[SheetLine, ...]
    acts: tuple[ActTold, ...]
    progress: Progress

    @property
    def place(self) -> int:
        """Number of the line in hand; as many as there are lines where all of it is done."""
        return len(self.lines) if self.progress.next is None else self.progress.next


@pages.get("/makes/<key>/sheets/<piece>/machine")
def show_machine(key: str, piece: str) -> Response:
    """The act in hand, the end of a half, another row that was asked for, or a sheet that is not begun yet."""
    record = make_of(key)
    if piece not in SHEET_KINDS:
        abort(404)
    begun = begun_of(record, piece)
    if begun is None:
        return _not_begun(key, piece)
    return _in_hand(key, piece, _read(key, begun))


SHORTEST_TAP = 8
"""Signs of the name that a form gives its taps; what has fewer is none, and is not taken for one sent twice."""


@pages.post("/makes/<key>/sheets/<piece>/machine")
def tap(key: str, piece: str) -> Response:
    """Begin the sheet, do an act, take one back, or go to another row; a form that is sent twice is one."""
    record = make_of(key)
    if piece not in SHEET_KINDS:
        abort(404)
    here = _address(key, piece)
    if request.form.get("do") == "begin":
        try:
            begin_sheet(service(), key, piece, request.form.get("digest", ""))
        except SheetChanged as error:
            return notices.go(here, str(error))
        return notices.go(here)
    sheet = by_key(record.sheets, request.form.get("sheet"))
    if sheet is None or sheet.piece != piece:
        abort(404)
    begun = _read(key, sheet)
    place = whole_number(request.form.get("line", ""), 0, len(begun.lines))
    if place is None:
        abort(404)
    try:
        for made in _taps(begun, request.form.get("do", ""), place, request.form.get("tap", "")):
            views.store().add_tap(key, sheet.id, made)
    except SheetEnded:
        return notices.go(here, f"{MACHINE['ended']} {MACHINE['ended_told']}")
    except (SheetNotFound, TapBeyondSheet, NotFound) as error:
        abort(404, str(error))
    return notices.go(here)


def _taps(begun: _Begun, do: str, place: int, form: str) -> list[Tap]:
    """The taps that a form makes: the act of a line done, the one before it not done, or all up to or back to it."""
    if do == "done":
        lines, done = [place], True
    elif do == "back":
        lines, done = [place - 1], False
    else:
        lines, done = list(range(begun.place, place)), True
        if place < begun.place:
            lines, done = [line for line in reversed(begun.progress.done) if line >= place], False
    return [_tap(begun, line, done, form) for line in lines if 0 <= line < len(begun.lines)]


def _tap(begun: _Begun, line: int, done: bool, form: str) -> Tap:
    """One tap, later than the one that stands of its line whatever the clocks say."""
    at, standing = datetime.now(UTC), begun.progress.latest.get(line)
    if standing is not None and standing.at.astimezone(UTC) >= at:
        at = standing.at.astimezone(UTC) + timedelta(milliseconds=1)
    shows = begun.acts[line].shows or 0
    name = "".join(letter for letter in form.lower() if letter.isascii() and letter.isalnum())[:40]
    if len(name) < SHORTEST_TAP:
        name = secrets.token_hex(12)
    document = {"id": f"{name}-{line}-0", "line": line, "done": done, "counter": shows}
    return Tap.model_validate({**document, "at": at.isoformat(timespec="milliseconds")})


def _read(key: str, begun: BegunSheet) -> _Begun:
    sheet = sheet_of(begun.sheet)
    return _Begun(begun, sheet.unfolded(), acts_told(sheet), progress_of(begun, views.store().taps_on(key, begun.id)))


def _address(key: str, piece: str) -> str:
    return f"/makes/{key}/sheets/{piece}/machine"


# What is shown


def _not_begun(key: str, piece: str) -> Response:
    """A button that begins the sheet, or why there is none."""
    shown = newer_sheet(service(), key, piece)  # type: ignore[arg-type]
    if isinstance(shown, CannotSay):
        (head, told), digest = absent_at_machine(piece, shown), ""  # type: ignore[arg-type]
    else:
        head, told, digest = at_machine.begin_head(piece), at_machine.begin_told(acts_told(shown.sheet)), shown.digest
    return _page(key, piece, head=head, told=told, begin=digest)


def _in_hand(key: str, piece: str, begun: _Begun) -> Response:
    place, acts = begun.place, begun.acts
    strip = _older(key, piece, begun.record)
    if place == len(acts):
        head, told = at_machine.finished_head(piece), _finished_told(key, begun)
        return _page(key, piece, begun, head=head, told=told, strip=strip)
    jump = _jump(begun, request.args["shows"]) if "shows" in request.args else None
    half = acts[place].half is not None and "on" not in request.args and jump is None
    return _page(key, piece, begun, jump=jump, half=half, strip=strip)


def _finished_told(key: str, begun: _Begun) -> str:
    return at_machine.finished_told(begun.record.piece, begun.acts, views.cautions_of(make_of(key).yarn))


def _older(key: str, piece: str, begun: BegunSheet) -> Strip | None:
    """What is said of a sheet whose counts have become others."""
    shown = sheet_shown(service(), key, piece)  # type: ignore[arg-type]
    if isinstance(shown, CannotSay) or not shown.older:
        return None
    told = at_machine.older_counts(begun.counts, _counts_now(key, piece))
    return Strip(MACHINE["older"], told, MACHINE["older_go"], f"/makes/{key}/sheets/{piece}")


def _counts_now(key: str, piece: str) -> Mapping[str, int]:
    rest, _ = rest_of_make(service(), key)
    counted = next((coming.counts for coming in rest.answer.pieces if coming.kind == piece), {})
    return {point: count.count for point, count in counted.items()}


def _jump(begun: _Begun, typed: str) -> Jump:
    """What lies between the act in hand and what a counter shows."""
    place, acts = begun.place, begun.acts
    typed = typed.strip()
    if not typed:
        return Jump("")
    if not typed.isascii() or not typed.isdecimal() or len(typed) > LONGEST_COUNTER:
        return Jump(typed, MACHINE["whole_number"])
    target = line_at(begun.lines, place, int(typed))
    if target is None:
        last = max(act.shows or 0 for act in acts if act.stretch == acts[place].stretch)
        return Jump(typed, MACHINE["beyond"].format(last=last))
    first, end = min(place, target), max(place, target)
    count = end - first
    here = [MACHINE["here_is"].format(row=acts[place].figure)] if acts[place].figure else []
    way = "up_to" if target > place else "back_to"
    lies = MACHINE[f"{way}_{'one' if count == 1 else 'many'}"] if count else MACHINE["nothing_between"]
    between = tuple(at_machine.between_told(acts, first, end))
    listed = at_machine.acts_listed(acts, first, end)
    go = acts[target].shows
    question = "were_done" if target > place else "were_not_done"
    bed = acts[target - 1].bed if target else acts[0].bed
    return Jump(
        typed,
        told=" ".join([*here, lies.format(counter=typed, count=count)]),
        between=between,
        more=MACHINE["and_more"].format(count=count - listed) if count > listed else "",
        then=MACHINE[question].format(bed=bed) if count and target else "",
        target=target,
        do=MACHINE["all_done" if target > place else "not_done" if count else "same_act"],
        go=MACHINE["go_to_rib"] if go is None else MACHINE["go_to_row"].format(row=go),
    )


def _page(
    key: str,
    piece: str,
    begun: _Begun | None = None,
    *,
    jump: Jump | None = None,
    half: bool = False,
    strip: Strip | None = None,
    head: str = "",
    told: str = "",
    begin: str = "",
) -> Response:
    acts: Sequence[ActTold] = begun.acts if begun is not None else ()
    place = begun.place if begun is not None else 0
    act = acts[place] if place < len(acts) else None
    stay = MACHINE["stay"].format(row=act.figure) if act is not None and act.figure else MACHINE["stay_here"]
    said = notices.said_once()
    page = MachinePage(
        here=_address(key, piece),
        sheet=f"/makes/{key}/sheets/{piece}",
        title=act.title if act is not None else at_machine.tab_title(piece),
        act=act,
        work=_bars(begun)[place] if act is not None and begun is not None else "",
        carriage={side: carriage_path(side) for side in ("left", "right")},
        place=place,
        following=acts[place + 1] if place + 1 < len(acts) else None,
        half=half,
        jump=jump,
        stay=stay,
        strip=Strip("", said.text) if said is not None else strip,
        head=head,
        told=told,
        begin=begin,
        begun=begun.record.id if begun is not None else "",
        tap=secrets.token_hex(12),
        make=f"/makes/{key}",
        words=AT_MACHINE,
        data=_data(key, piece, begun, strip) if begun is not None else None,
    )
    response = views.show(page)
    response.headers["Cache-Control"] = "no-store"
    return response


def _bars(begun: _Begun) -> list[str]:
    """The bar of the needles in work after each act."""
    head = sheet_of(begun.record.sheet).head
    return [work_path(line.needles, head.widest) for line in begun.lines]


def _data(key: str, piece: str, begun: _Begun, strip: Strip | None) -> Mapping[str, Any]:
    """What the script needs: every act with its bar, what is done and since when, addresses and sentences."""
    sheet = begun.record.id
    at = f"/api/v1/makes/{key}/sheets/{sheet}"
    return {
        "acts": [{**asdict(act), "bar": bar} for act, bar in zip(begun.acts, _bars(begun), strict=True)],
        "latest": {line: [tap.done, tap.at.isoformat(), tap.device] for line, tap in begun.progress.latest.items()},
        "taps": f"{at}/taps/",
        "progress": f"{at}/progress",
        "scope": f"{key}/{piece}/{sheet}",
        "finished": {"head": at_machine.finished_head(piece), "told": _finished_told(key, begun)},
        "tab": at_machine.tab_title(piece),
        "older": asdict(strip) if strip is not None else None,
        "sheet": f"/makes/{key}/sheets/{piece}",
        "pair": "/pair",
        "scales": f"/makes/{key}/rest/yarn#weigh",
        "words": AT_MACHINE,
        "most": at_machine.MOST_ACTS,
        "say": MACHINE,
    }
