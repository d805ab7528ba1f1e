"""The application: a store in, an answering service out."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec

from flask import Flask, Response, request

from fitcheck.store import Store
from webui import api, guard, request_log
from webui.answers import Answers
from webui.api.problems import problem_of
from webui.config import Config
from webui.service import Service

PAGES = "webui.pages"
"""The pages: a package with `register(app)`, and `failed(error)` for errors outside the API where it has one."""


def create_app(store: Store, *, config: Config | None = None) -> Flask:
    """Return the application for a store.

    The order of the parts matters: a request is guarded before anything else looks at it, and what guards it
    dresses every answer too, errors included.
    """
    config = config or Config()
    app = Flask("webui", static_folder="static", template_folder="templates")
    app.config["MAX_CONTENT_LENGTH"] = config.largest_body
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    Service(store, Answers(store), config).attach(app)
    request_log.register(app)
    guard.register(app, config)
    api.register(app)
    page_failed: Callable[[Exception], Response] | None = None
    if find_spec(PAGES) is not None:
        pages = import_module(PAGES)
        pages.register(app)
        page_failed = getattr(pages, "failed", None)

    def failed(error: Exception) -> Response:
        if page_failed is None or request.path.startswith(api.PREFIX):
            return problem_of(error)
        return page_failed(error)

    # One handler for all, so that no page's handler answers for the API.
    app.register_error_handler(Exception, failed)
    return app
