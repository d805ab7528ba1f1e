"""What somebody is answered is of the records as they were at one moment or later: when he asked.

A page asks for one report in many places. While others write all the time each would be another, worked out anew. Who
changes something is answered by what was read after that, so for him each is asked for by itself.

Who asks for a page while others are answered may be given what was read a little before he asked (`cache.LATE_S`), but
never less than what his own device changed; whoever is alone waits for nobody and is told what is there now. A device
is told by its address, so that all who share one are answered by nothing older than the last change of any of them. A
program that asks the API is told nothing older than its question.
"""

from __future__ import annotations

from contextlib import ExitStack

from flask import Flask, g, request

from webui.api.operations import PREFIX
from webui.at_home.guard import SAFE
from webui.service import service


def register(app: Flask) -> None:
    """Tell the cache when a request came and who asked, and who changed something before he is answered."""

    @app.before_request
    def came() -> None:
        g.moment = ExitStack()
        g.moment.enter_context(service().cache.answering())
        if request.method in SAFE:
            page = not request.path.startswith(PREFIX)
            g.moment.enter_context(service().cache.asked(_device() if page else None))

    @app.teardown_request
    def answered(_: BaseException | None) -> None:
        if request.method not in SAFE:
            service().cache.changed(_device())
        if (moment := g.pop("moment", None)) is not None:
            moment.close()


def _device() -> str:
    return request.remote_addr or ""
