"""The pages: server-rendered, each working without JavaScript."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from flask import Blueprint, Flask

from webui.pages import kept, views
from webui.pages.views import failed

__all__ = ["failed", "register"]


def register(app: Flask) -> None:
    """Put every page on the application: each module here that has a Blueprint named `pages`."""
    views.prepare(app)
    kept.prepare(app)
    for found in iter_modules(__path__):
        pages = getattr(import_module(f"{__name__}.{found.name}"), "pages", None)
        if isinstance(pages, Blueprint):
            app.register_blueprint(pages)
