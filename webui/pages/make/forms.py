"""The forms of a make: once one is kept, it says what that did to the answer."""

from __future__ import annotations

from flask import Blueprint

from webui.forms.fields import Form
from webui.pages import views
from webui.pages.make.found import report_or_404
from webui.pages.shelves import shelf
from webui.pages.shelves.shelf import Draw, Told


def register(pages: Blueprint, form: Form, draw: Draw, name: str, because: str) -> None:
    """Put on a blueprint the page of a make's form, which says in the end what it did to the answer.

    draw     draws the form;  name: of the page below the make's own
    because  what is changed, in words: "its settings"
    """

    def begin(key: str) -> Told:
        before = report_or_404(key, None)
        return lambda changed: views.changed(before, views.report_of(key), because)

    shelf.register_form(pages, "makes", "list of makes", form, draw, "makes", path=f"/makes/<key>/{name}", begin=begin)
