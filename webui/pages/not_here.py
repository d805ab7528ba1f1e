"""What a device that may only measure gets where it may not."""

from __future__ import annotations

from flask import Response

from fitcheck.words import home as say
from webui.pages import views
from webui.pages.failed import ProblemPage


def not_here() -> Response:
    """Say what it may, and how it may more; nothing that was sent is looked at."""
    return views.show(ProblemPage(say.MEASURES_HEAD, 403, say.MEASURES_TOLD, {}, [], ""), 403)
