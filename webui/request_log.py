"""One line for each request: method, route, status, time. Never a key, a query or anything typed."""

from __future__ import annotations

import logging
import time

from flask import Flask, Response, g, request

from fitcheck.records.faults import where_of

log = logging.getLogger("webui.requests")
METHODS = ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE")
"""Methods that stand in the log as they are; any other word is whatever somebody typed there."""


def register(app: Flask) -> None:
    """Write a line for each request of an application."""

    @app.before_request
    def begun() -> None:
        g.begun = time.perf_counter()

    @app.after_request
    def done(response: Response) -> Response:
        if log.isEnabledFor(logging.INFO):
            route = request.url_rule.rule if request.url_rule is not None else "-"
            took = 1000 * (time.perf_counter() - g.get("begun", time.perf_counter()))
            log.info("%s %s %d %.1f ms", _method(), route, response.status_code, took)
        return response


def unexpected(error: BaseException) -> None:
    """Write where something went wrong. What the error says is left out: it may quote what was typed."""
    route = request.url_rule.rule if request.url_rule is not None else "-"
    log.error("%s %s failed: %s", _method(), route, where_of(error))


def _method() -> str:
    return request.method if request.method in METHODS else "-"
