"""What every page and every answer of the API works with."""

from __future__ import annotations

from flask import Flask, current_app

from fitcheck.records.frozen import frozen
from fitcheck.store import Store
from webui.answers import Answers
from webui.cache import Cache
from webui.config import Config

_NAME = "fitcheck"


@frozen
class Service:
    """The store, the answers computed from it, what is kept of them, and the settings."""

    store: Store
    answers: Answers
    cache: Cache
    config: Config

    @classmethod
    def of(cls, store: Store, config: Config) -> Service:
        """Return the service on a store, with nothing kept yet."""
        cache = Cache()
        return cls(store, Answers(store, cache), cache, config)

    def attach(self, app: Flask) -> None:
        """Make this the service of an application."""
        app.extensions[_NAME] = self


def service() -> Service:
    """Return the service of the application that is answering now."""
    return service_of(current_app)


def service_of(app: Flask) -> Service:
    """Return the service of an application."""
    attached: Service = app.extensions[_NAME]
    return attached
