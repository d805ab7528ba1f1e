"""Print the lowest version that pyproject.toml allows of each dependency, as pip takes them: name==version."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[1] / "pyproject.toml"
_AT_LEAST = re.compile(r"([A-Za-z0-9_.-]+)>=([0-9.]+)(?:,<[0-9.]+)?")


def lowest() -> list[str]:
    """Pins of the dependencies. Raises ValueError for one that does not begin with its lowest version."""
    pins = []
    for dependency in tomllib.loads(PROJECT.read_text(encoding="utf-8"))["project"]["dependencies"]:
        bound = _AT_LEAST.fullmatch(dependency)
        if bound is None:
            raise ValueError(f"dependencies: read {dependency!r}; name>=version is accepted")
        pins.append(f"{bound[1]}=={bound[2]}")
    return pins


if __name__ == "__main__":
    print("\n".join(lowest()))
