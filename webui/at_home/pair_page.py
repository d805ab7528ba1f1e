"""The page of a device that is not paired: whole by itself, for nothing else is answered to it.

It says nothing of the household, and is the same wherever it stands.
"""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from pathlib import Path
from typing import Any

from flask import Response, current_app
from markupsafe import Markup

from fitcheck.words import home as say
from webui.pages.context import Page, shown_by

STYLES = ("fitcheck.css", "forms.css", "pair.css")
SCRIPTS = ("pair.js", "waiting.js")
"""Files that stand in the page."""
_LETTERS = re.compile(r"@font-face\{[^}]*\}")
"""The house's letters are files of their own; the system's do."""


@shown_by("pair.html", "")
class PairPage(Page):
    """The code is typed here.

    told   why the one before was not taken; empty where none was typed
    name   what the device is to be called
    """

    style: Markup
    scripts: tuple[Markup, ...]
    told: str
    name: str
    words: Any


def pair_page(status: int, told: str = "", name: str = "") -> Response:
    """Return the page, whole, with what of it may be done."""
    style, scripts, policy = _parts()
    page = PairPage(style, scripts, told, name[:40] or "Phone", say)
    text = current_app.jinja_env.get_template(page.template).render(page.given())
    headers = {"Content-Security-Policy": policy, "Cache-Control": "no-store"}
    return Response(text, status, headers, mimetype="text/html")


@cache
def _parts() -> tuple[Markup, tuple[Markup, ...], str]:
    """The style, the scripts, and the policy that lets these and no others in."""
    static = Path(__file__).parents[1] / "static"
    style = _LETTERS.sub("", "".join((static / name).read_text("utf-8") for name in STYLES))
    scripts = tuple((static / name).read_text("utf-8") for name in SCRIPTS)
    policy = "; ".join(
        (
            "default-src 'none'",
            f"style-src {_hashed(style)}",
            f"script-src {' '.join(map(_hashed, scripts))}",
            "img-src data:",  # its empty icon, so that none is asked for
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )
    return Markup(style), tuple(map(Markup, scripts)), policy  # noqa: S704 - files of ours, named by the policy


def _hashed(text: str) -> str:
    """What a policy calls an inline text (CSP level 3, 6.7.2.3)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
