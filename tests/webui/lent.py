"""Applications made once a run and lent to one test after another, each put on that test's own database.

The routes of an application and its templates take 0.2 s to make ready, which most tests would wait for and none of
them is about. What an application knows beside them is the service (the store, the answers computed from it and
what is kept of them), which is new for every test. A test of how the application is put together makes its own.
"""

from __future__ import annotations

from flask import Flask

from fitcheck.store import Store
from webui.app import create_app
from webui.config import Config
from webui.service import Service

_free: dict[Config, list[Flask]] = {}
_lent: list[tuple[Config, Flask]] = []


def lend(store: Store, port: int = 80) -> Flask:
    """Return an application on a store, as `create_app` makes it; it is the test's until it ends."""
    config = Config(port=port)
    if _free.get(config):
        app = _free[config].pop()
        put_on(app, store, config)
    else:
        app = create_app(store, config=config)
    _lent.append((config, app))
    return app


def put_on(app: Flask, store: Store, config: Config) -> None:
    """Give an application everything anew that belongs to a store."""
    Service.of(store, config).attach(app)


def take_back() -> None:
    """Everything that was lent is free for the next test."""
    for config, app in _lent:
        _free.setdefault(config, []).append(app)
    _lent.clear()
