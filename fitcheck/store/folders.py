"""Where the household's data lives on each system."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from fitcheck.store.faults import plainly

FILE = "fitcheck.db"
"""Name of the database in the data folder."""


def data_folder() -> Path:
    """Return the usual folder for data of this system; nothing is made yet.

    Linux and others: $XDG_DATA_HOME/fitcheck (XDG Base Directory Specification: a relative path there is
    ignored), else ~/.local/share/fitcheck. macOS: ~/Library/Application Support/Fitcheck. Windows:
    %APPDATA%/Fitcheck.
    """
    home = Path.home()
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "Fitcheck"
    if sys.platform == "win32":
        roaming = os.environ.get("APPDATA", "")
        return (Path(roaming) if roaming else home / "AppData" / "Roaming") / "Fitcheck"
    named = Path(os.environ.get("XDG_DATA_HOME", ""))
    return (named if named.is_absolute() else home / ".local" / "share") / "fitcheck"


def made(folder: Path) -> Path:
    """Make a folder that only its owner may look into; one that is there keeps its permissions."""
    with plainly(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder
