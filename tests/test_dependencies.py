"""Dependencies: every licence is listed as the package says it, and the lowest versions are pinned as declared."""

from __future__ import annotations

import re
import runpy
import tomllib
from importlib.metadata import metadata, requires
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
DECLARED = [Requirement(dependency) for dependency in PROJECT["dependencies"]]


def listed(heading: str) -> dict[str, str]:
    """Licence by package, as a table of DEVELOPERS.md has it whose first column is so called."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.partition(f"| {heading} | licence |")[2].partition("\n\n")[0]
    rows = [[cell.strip() for cell in row.split("|")] for row in table.splitlines()[2:]]
    return {canonicalize_name(row[1]): row[2] for row in rows}


def comes_along(declared: list[Requirement]) -> set[str]:
    """Names of what is installed with some packages, they among them."""
    names: set[str] = set()
    waiting = list(declared)
    while waiting:
        requirement = waiting.pop()
        name = canonicalize_name(requirement.name)
        if name in names or (requirement.marker and not requirement.marker.evaluate({"extra": ""})):
            continue
        names.add(name)
        waiting += [Requirement(further) for further in requires(name) or ()]
    return names


def licence_said(name: str) -> str:
    """What a package says of its licence, in whichever of its three places."""
    told = metadata(name)
    classifiers = [line for line in told.get_all("Classifier") or () if line.startswith("License")]
    return " ".join([told.get("License-Expression") or "", told.get("License") or "", *classifiers])


def not_as_said(licences: dict[str, str]) -> list[str]:
    """Packages whose listed licence is of another family than they say themselves."""
    return [
        name for name, licence in licences.items() if not re.search(rf"\b{licence.split('-')[0]}\b", licence_said(name))
    ]


def test_every_licence_of_what_is_installed_with_it_is_listed_as_the_package_says():
    licences = listed("package") | listed("comes along")
    assert set(listed("package")) == {canonicalize_name(requirement.name) for requirement in DECLARED}
    assert set(licences) == comes_along(DECLARED)
    assert not_as_said(licences) == []
    assert not_as_said({"flask": "MIT"}) == ["flask"]


def test_every_licence_of_what_tests_and_tools_use_is_listed():
    extras = [Requirement(dependency) for extra in PROJECT["optional-dependencies"].values() for dependency in extra]
    licences = listed("for tests and tools")
    assert set(licences) == {canonicalize_name(requirement.name) for requirement in extras}
    of_line = [Requirement(dependency) for dependency in PROJECT["optional-dependencies"]["test"]]
    here = {canonicalize_name(requirement.name) for requirement in of_line}
    assert not_as_said({name: licences[name] for name in here}) == []


def test_the_lowest_versions_are_pinned_as_they_are_declared():
    lowest = runpy.run_path(str(ROOT / ".ci" / "lowest.py"))["lowest"]
    for requirement, pin in zip(DECLARED, lowest(), strict=True):
        pinned = Requirement(pin)
        (version,) = (part.version for part in pinned.specifier)
        assert (pinned.name, requirement.specifier.contains(version)) == (requirement.name, True)
