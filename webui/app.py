"""The application: a store in, an answering service out."""

from __future__ import annotations

from flask import Flask, Response, request

from fitcheck.store import Store
from webui import api, guard, one_moment, pages, request_log
from webui.api.problems import problem_of
from webui.config import Config
from webui.last_page import last_page
from webui.service import Service


def create_app(store: Store, *, config: Config | None = None) -> Flask:
    """Return the application for a store.

    The order of the parts matters: a request is guarded before anything else looks at it, and what guards it
    dresses every answer too, errors included.
    """
    config = config or Config()
    app = Flask("webui", static_folder="static", template_folder="templates")
    app.config["MAX_CONTENT_LENGTH"] = config.largest_body
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    Service.of(store, config).attach(app)
    request_log.register(app)
    one_moment.register(app)
    guard.register(app)
    api.register(app)
    pages.register(app)

    def failed(error: Exception) -> Response:
        try:
            return problem_of(error) if request.path.startswith(api.PREFIX) else pages.failed(error)
        except Exception as fault:
            request_log.unexpected(fault)
            return last_page()

    # One handler for all, so that no page's handler answers for the API.
    app.register_error_handler(Exception, failed)
    return app
