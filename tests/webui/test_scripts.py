"""Scripts lay out and reckon: what they say comes with the page or the answer, from the words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fitcheck.words import phone

STATIC = Path(__file__).parents[2] / "webui" / "static"
SCRIPTS = sorted(STATIC.glob("*.js"))
NO_SENTENCE = {
    "use strict",
    "taken=; Max-Age=0; Path=/; SameSite=Lax",  # a cookie
    "strip noprint",  # classes
    '<path class="tk ${now ? "now" : isDone(step) ? "done" : ""}" d="M${x} ${now ? 2 : 7}V18"/>',
    "input, select, textarea",  # selectors
    "main [data-length]",
    "form:not(.finder, .both, [data-put])",
    "(max-width: 44.99rem)",
    "(hover: hover) and (pointer: fine)",
    'input[name=eighths][value="${count >> 1}"]',
    "#drawing .align a",
    "#drawing .align a[aria-current]",
    ".grid-wrap [aria-invalid]",
    "td input",
}
"""Texts with a space in them that nobody reads as a sentence."""
_COMMENT = re.compile(r"^\s*//.*$|\s//\s.*$", re.M)
_REGEX = re.compile(r"(?<=[(=,:!&|?{};\s])/(?![/*\s])(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n])+/[gimsu]*")
_TEXT = re.compile(r'"((?:\\.|[^"\\\n])*)"|\'((?:\\.|[^\'\\\n])*)\'|`((?:\\.|[^`\\])*)`')


def texts(script: str) -> list[str]:
    """Every text in a script, without its quotes."""
    code = _REGEX.sub("0", _COMMENT.sub("", script))
    return [next(part for part in found if part) if any(found) else "" for found in _TEXT.findall(code)]


def sentences(script: str) -> list[str]:
    return [
        text for text in texts(script) if " " in text and re.search("[A-Za-z]{2}", text) and text not in NO_SENTENCE
    ]


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_no_script_makes_a_sentence(path: Path) -> None:
    assert sentences(path.read_text()) == []


def test_every_sentence_of_the_page_at_the_machine_is_there_and_every_one_is_used() -> None:
    code = (STATIC / "machine.js").read_text()
    asked = {text for text in texts(code) if text in phone.MACHINE}
    asked |= {f"{way}_{many}" for way in ("up_to", "back_to") for many in ("one", "many")}
    assert '(forward ? "up_to_" : "back_to_")' in code
    assert set(phone.MACHINE) - asked == {"older", "older_go"}  # they come with the sheet that is older
    assert set(re.findall(r"data\.words\.(\w+)", code)) == set(phone.AT_MACHINE) - {"begin", "stays", "to_sweater"}


def test_a_sentence_made_in_a_script_is_found() -> None:
    assert sentences('say(kept + " of " + all); // "a comment"') == [" of "]
    assert sentences("at(`${what} at ${time}.`)") == ["${what} at ${time}."]
    assert sentences('text.replace(/"/g, ""); told = "Nothing to undo.";') == ["Nothing to undo."]


def test_no_screen_jumps_to_a_first_field_but_where_there_is_a_keyboard() -> None:
    templates = Path(__file__).parents[2] / "webui" / "templates"
    assert [path.name for path in templates.rglob("*.html") if "autofocus" in path.read_text(encoding="utf-8")] == []
    asking = [path for path in SCRIPTS if "[data-first]" in path.read_text()]
    assert [path.name for path in asking] == ["fitcheck.js"]
    handler = asking[0].read_text().partition('querySelector("[data-first]")')[2].partition("\n});")[0]
    condition, focus, _ = handler.partition("field.focus(")
    assert focus
    assert 'matchMedia("(hover: hover) and (pointer: fine)").matches &&' in condition


def test_every_sentence_that_a_script_asks_for_is_there_and_every_one_is_asked_for() -> None:
    there = phone.READING | phone.WALK
    assert len(there) == len(phone.READING) + len(phone.WALK)
    code = "".join((STATIC / name).read_text() for name in ("walk.js", "walk_field.js", "walk_reading.js"))
    asked = {text for call in re.findall(r"\bsay\((.*)", code) for text in texts(call)}
    begun = {key.rstrip("_") for key in asked if key.endswith("_")}  # "round_" + look
    assert {key for key in asked if "_" in key.strip("_")} <= {*there, "only_round_", "to_read_"}
    unasked = {key for key in there if key not in asked and key.rpartition("_")[0] not in begun}
    assert unasked == {"full", "unpaired", "shut", "away"}  # the outbox's names for what is the matter


NOT_ON_PLAIN_HTTP = re.compile(
    r"""\b(?:navigator\.(?:serviceWorker|clipboard|wakeLock|share|canShare|storage|locks|mediaDevices|geolocation"""
    r"""|credentials|permissions)|crypto\.(?:randomUUID|subtle)|caches|cookieStore|Notification|SharedArrayBuffer"""
    r"""|show(?:Open|Save)FilePicker)\b"""
)
"""What a browser has on loopback and https alone: a phone at home has none of it."""
DONE_WITHOUT = {
    ("share.js", "navigator.clipboard"): "if (navigator.clipboard) return navigator.clipboard.writeText(text);",
    ("machine.js", "navigator.wakeLock"): 'if ("wakeLock" in navigator) {',
}
"""What a script uses of it all the same, and the line that asks first whether it is there."""


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_no_script_needs_what_plain_http_at_home_does_not_have(path: Path) -> None:
    code = _COMMENT.sub("", path.read_text())
    used = {(path.name, name) for name in NOT_ON_PLAIN_HTTP.findall(code)}
    assert used <= set(DONE_WITHOUT)
    assert [DONE_WITHOUT[use] for use in used if DONE_WITHOUT[use] not in code] == []


def test_walk_and_sheet_never_load_themselves_again() -> None:
    loads = re.compile(r"location\.(?:reload|replace|href\s*=)|history\.go|http-equiv")
    for name in ("walk.js", "walk_field.js", "walk_reading.js", "machine.js", "outbox.js", "waiting.js"):
        assert loads.findall((STATIC / name).read_text()) == [], name
