"""Every command, setting and route of the service is named in the documents."""

from __future__ import annotations

import argparse
import re
from dataclasses import fields
from pathlib import Path

import pytest

from fitcheck.cli.service import add_commands, add_demo_options
from fitcheck.records.cross_checks import KINDS
from fitcheck.store.stored import HOUSEHOLD
from webui.api.table import OPERATIONS
from webui.config import Config

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
_KIND = re.compile(rf"^/({'|'.join((*KINDS, HOUSEHOLD))})(?=/|$)")
_OF_MAKES = ("/report", "/verdict", "/fabric", "/sizes", "/what-if", "/take-counts", "/done", "/finish")


def commands() -> dict[str, argparse.ArgumentParser]:
    parser = argparse.ArgumentParser()
    found = parser.add_subparsers()
    add_commands(found)
    add_demo_options(found.add_parser("demo"))
    return dict(found.choices)


def documented(path: str) -> str:
    """A route as the document has it: kinds in one row, the household's settings as one of them."""
    if path.endswith(_OF_MAKES):
        return path
    return _KIND.sub(lambda kind: "/{kind}/{key}" if kind[1] == HOUSEHOLD else "/{kind}", path)


@pytest.mark.parametrize("name", commands())
def test_every_command_and_option_is_in_the_readme(name):
    assert f"`fitcheck {name}" in README
    for action in commands()[name]._actions:
        for option in set(action.option_strings) - {"-h", "--help"}:
            assert f"`{option}" in README, option


@pytest.mark.parametrize("route", sorted({f"{one.method} {documented(one.path)}" for one in OPERATIONS}))
def test_every_route_is_in_the_developers_document(route):
    assert f"`{route}`" in DEVELOPERS


@pytest.mark.parametrize("query", sorted({one.name for each in OPERATIONS for one in each.parameters}))
def test_every_query_and_header_is_in_the_developers_document(query):
    assert f"`{query}`" in DEVELOPERS


@pytest.mark.parametrize("name", [f"Config.{one.name}" for one in fields(Config)])
def test_every_setting_is_in_the_developers_document(name):
    assert f"`{name}`" in DEVELOPERS
