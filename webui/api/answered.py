"""What is answered to the example of each operation: real answers from the invented household, each list cut to two."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from fitcheck.records.frozen import frozen

FILE = "answered.json"


@frozen
class Answered:
    """An answer as it was given once.

    status  of the response
    body    its data
    """

    status: int
    body: Any


@cache
def answered() -> Mapping[str, Answered]:
    """Answers by the name of the operation; one that answers no JSON has none."""
    kept = json.loads(files("webui.api").joinpath(FILE).read_bytes())
    return {name: Answered(**answer) for name, answer in kept.items()}
