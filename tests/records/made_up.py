"""Household files and lengths made up by chance, in numbers that no run of the tests has time for.

``.venv/bin/python -m tests.records.made_up files 10000 1`` mangles so many household files with that seed, and
``lengths 100000 1`` reads so many lengths and numbers; what falls is printed with what it fell on.
"""

from __future__ import annotations

import sys
import time
from types import ModuleType

from hypothesis import HealthCheck, seed, settings

from tests.records import test_lengths_properties, test_mangled_files

KINDS = {"files": test_mangled_files, "lengths": test_lengths_properties}
"""What is made up, and where what holds of it stands."""


def properties(module: ModuleType) -> list[tuple[str, object]]:
    """Name and property of each test of a module that is drawn."""
    return [(name, test.holds) for name, test in vars(module).items() if hasattr(test, "holds")]


def main() -> int:
    """Try every property on its share of so many examples, and print how many were tried and what fell."""
    kind, count, of = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 1
    all_of_kind, fell, begun = properties(KINDS[kind]), 0, time.perf_counter()
    each = settings(
        max_examples=-(-count // len(all_of_kind)),
        deadline=None,
        database=None,
        derandomize=False,
        suppress_health_check=list(HealthCheck),
    )
    for name, holds in all_of_kind:
        try:
            seed(of)(each(holds))()  # type: ignore[operator,arg-type]
        except Exception as error:
            fell += 1
            print(f"{name}: {error!r}", *getattr(error, "__notes__", ()), sep="\n")
    tried = each.max_examples * len(all_of_kind)
    print(f"{tried} {kind} with seed {of} in {time.perf_counter() - begun:.0f} s: {fell} of {len(all_of_kind)} fell")
    return 1 if fell else 0


if __name__ == "__main__":
    sys.exit(main())
