"""The API against its own description: made-up requests, well-formed and not, through the whole application.

Run it alone for a long look: ``.venv/bin/python -m tests.webui.contract 100``, the number being requests made up
per operation, and its own seed as a second number.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import schemathesis
from flask import Flask
from schemathesis.config import (
    ChecksConfig,
    GenerationConfig,
    PhasesConfig,
    PositiveDataAcceptanceConfig,
    ProjectConfig,
    ProjectsConfig,
    SchemathesisConfig,
    SimpleCheckConfig,
    StatefulPhaseConfig,
)
from schemathesis.config._checks import MissingRequiredHeaderConfig, NegativeDataRejectionConfig
from schemathesis.engine import events, from_schema

from tests.webui.demo_app import demo_app

ACCEPTED = ["2xx", "304", "404", "409", "422", "428"]
"""Answers to well-formed data: a schema cannot say that a length reads as a length, or that a record is there."""
REJECTED = ["400", "403", "404", "406", "409", "413", "415", "422", "428"]


@dataclass
class Found:
    """What a run found: requests sent, and what was wrong with the answers."""

    requests: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)


def run(app: Flask, examples: int, seed: int = 1, *, only: str | None = None) -> Found:
    """Send made-up requests to every operation and check every answer.

    only  a regular expression for the names of the operations; None for all of them
    """
    checks = ChecksConfig(
        positive_data_acceptance=PositiveDataAcceptanceConfig(expected_statuses=ACCEPTED),
        negative_data_rejection=NegativeDataRejectionConfig(expected_statuses=REJECTED),
        missing_required_header=MissingRequiredHeaderConfig(expected_statuses=REJECTED),
        ignored_auth=SimpleCheckConfig(enabled=False),  # there is nothing to log in to
    )
    project = ProjectConfig(
        checks=checks,
        continue_on_failure=True,
        generation=GenerationConfig(max_examples=examples, deterministic=True, no_shrink=True),
        phases=PhasesConfig(stateful=StatefulPhaseConfig(enabled=False)),
    )
    config = SchemathesisConfig(seed=seed, projects=ProjectsConfig(default=project))
    schema = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", app, config=config)
    if only is not None:
        schema = schema.include(operation_id_regex=only)
    found = Found()
    for event in from_schema(schema).execute():
        if isinstance(event, events.ScenarioFinished):
            for name, case in event.recorder.cases.items():
                found.requests += 1
                interaction = event.recorder.interactions.get(name)
                if interaction is not None and interaction.response is not None:
                    found.statuses[interaction.response.status_code] += 1
                for check in event.recorder.checks.get(name, []):
                    if check.failure_info is not None:
                        failure = check.failure_info.failure
                        made = case.value
                        found.failures.append(
                            f"{made.method} {made.operation.path}: {failure.title}: {failure.message}\n"
                            f"    {made.formatted_path} {made.query} {dict(made.headers or {})} {made.body!r:.300}"
                        )
        elif isinstance(event, events.NonFatalError):
            found.errors.append(f"{event.label}: {event.value!r}")
        elif isinstance(event, events.FatalError):
            found.errors.append(repr(event.exception))
    return found


def main() -> int:
    """Run it long and print what was found."""
    examples = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        store, app = demo_app(Path(folder))
        with store:
            found = run(app, examples, seed)
    took = time.perf_counter() - begun
    print(f"{found.requests} requests in {took:.0f} s: {dict(sorted(found.statuses.items()))}")
    print(f"{len(found.failures)} answers wrong, {len(found.errors)} errors of the run itself")
    for one in [*found.failures, *found.errors][:50]:
        print(one)
    return 1 if found.failures or found.errors else 0


if __name__ == "__main__":
    sys.exit(main())
