"""Everything that is kept and everything that is computed, as JSON under one version prefix."""

from __future__ import annotations

from flask import Flask, Response

from webui.api.operations import PREFIX, Operation
from webui.api.problems import problem_of
from webui.api.table import OPERATIONS

__all__ = ["PREFIX", "register"]


def register(app: Flask) -> None:
    """Put every operation of the table on an application."""
    for operation in OPERATIONS:

        def answer(operation: Operation = operation, **path: str) -> Response:
            try:
                return operation.answer(path)
            except Exception as error:
                # Answered here, so that no handler of a page ever sees it.
                return problem_of(error)

        app.add_url_rule(
            PREFIX + operation.route,
            f"api.{operation.name}",
            answer,
            methods=[operation.method],
            provide_automatic_options=False,
        )
