"""The application on the invented household, for what runs by itself and makes its requests up."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from flask import Flask

from fitcheck.store import Store
from webui.app import create_app
from webui.config import Config


def demo_app(folder: Path) -> tuple[Store, Flask]:
    """The application on the invented household."""
    store = Store.open(folder / "fitcheck.db")
    store.import_bundle((files("demo_garments") / "household.json").read_bytes())
    return store, create_app(store, config=Config(port=80))
