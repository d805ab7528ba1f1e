"""What an operation of the API is: its address, what is sent, what is answered, and what answers it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import field
from typing import Literal

from flask import Response

from fitcheck.records.frozen import frozen
from webui.api.calls import JSON, Call
from webui.api.examples import EXAMPLES, Example
from webui.api.schemas import Schema

PREFIX = "/api/v1"
"""Address under which every operation stands."""


Needs = Literal["measure", "everything", "here"]
"""What one has to be allowed: to measure, everything, or to sit at this machine itself."""


@frozen
class Parameter:
    """A query or header of an operation."""

    name: str
    where: str
    schema: Schema
    about: str
    required: bool = False


@frozen
class Operation:
    """One thing that the API does.

    name      its own name
    group     what it is about
    method, path   as OpenAPI writes them, under the prefix
    about     one sentence
    run       what answers
    answers   the schema of the answer, or None for another kind of text
    media     kind of the answer
    status    statuses of an answer that is no problem
    body      schema of what is sent, None where nothing is
    body_media   its kind
    problems  statuses of the problems that are its own; those of every operation come on top
    right     what a device has to be allowed, to ask for it
    examples  an example per part of the path, from the invented household
    """

    name: str
    group: str
    method: str
    path: str
    about: str
    run: Callable[[Call], Response]
    answers: Schema | None = None
    media: str = JSON
    status: tuple[int, ...] = (200,)
    parameters: tuple[Parameter, ...] = ()
    body: Schema | None = None
    body_media: str = JSON
    problems: tuple[int, ...] = ()
    right: Needs = "everything"
    examples: Mapping[str, str] = field(default_factory=dict)

    @property
    def example(self) -> Example:
        """What can be sent to it as it stands."""
        return EXAMPLES.get(self.name, Example())

    @property
    def route(self) -> str:
        """The path as Flask writes it."""
        return re.sub(r"\{(\w+)\}", r"<\1>", self.path)

    @property
    def every_problem(self) -> tuple[int, ...]:
        """Statuses of every problem that it can answer with."""
        statuses = {401, 403, 422, 500, 503, *self.problems}
        if self.body is not None:
            statuses |= {400, 413, 415}
        if self.method != "GET":
            statuses.add(507)
        return tuple(sorted(statuses))

    def answer(self, path: Mapping[str, str]) -> Response:
        """Answer a request."""
        call = Call(path)
        call.keys()
        call.queries(parameter.name for parameter in self.parameters if parameter.where == "query")
        return self.run(call)
