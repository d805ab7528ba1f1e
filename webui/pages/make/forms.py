"""Keeping a form of a make: refused with everything typed, in conflict with both texts, or kept and told."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response, request

from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Form
from webui.pages import ground, notices, views
from webui.pages.conflicts import Typed, conflict
from webui.pages.make.page import report_or_404

WHERE = "list of makes"


def keep(
    stored: Stored,
    draft: Draft,
    document: Document,
    form: Form,
    because: str,
    again: Callable[[], Response],
    usual: Typed | None = None,
) -> Response:
    """Keep a make's document as a form of it says.

    stored    the make as it is now, before the change
    document  what the form made of it
    because   what was changed, in words: "its settings"
    again     shows the form with what was refused
    usual     as in conflicts.conflict
    """
    key = stored.key
    before = report_or_404(key, None)
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(views.store(), "makes", key, document, revision)
    except StaleWrite as stale:
        return conflict(stale, draft, form, request.path, "makes", usual=usual)
    if kept is None:
        return again()
    after = views.report_of(key)
    done = kept if kept.revision != stored.revision else None
    return notices.go(f"/makes/{key}", views.changed(before, after, because), done)
