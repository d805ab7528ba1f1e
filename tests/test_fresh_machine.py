"""README's test line on a fresh machine: without Playwright every test is collected, or skips and says why."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
WITHOUT = "import sys; sys.modules['playwright'] = None; import pytest; sys.exit(pytest.main(sys.argv[1:]))"
"""pytest in a process in which `playwright` cannot be imported."""


def run_at_import(node: ast.AST) -> Iterator[ast.AST]:
    """Every statement that runs when the module is imported: all but what stands in functions."""
    for child in ast.iter_child_nodes(node):
        if not isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            yield child
            yield from run_at_import(child)


def imported_at_once(text: str) -> set[str]:
    """Names of the packages that a module imports when it is imported itself."""
    names: set[str] = set()
    for node in run_at_import(ast.parse(text)):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").partition(".")[0])
    return names


def without_playwright(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run pytest where there is no Playwright."""
    kept = {name: value for name, value in os.environ.items() if name not in ("CI", "PYTEST_ADDOPTS")}
    return subprocess.run(
        [sys.executable, "-c", WITHOUT, "-p", "no:cacheprovider", "--assert=plain", *arguments],
        cwd=ROOT, env={**kept, **environment}, capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_no_test_imports_playwright_before_it_runs() -> None:
    importing = [
        str(path.relative_to(ROOT))
        for path in sorted((ROOT / "tests").rglob("*.py"))
        if "playwright" in imported_at_once(path.read_text(encoding="utf-8"))
    ]
    assert importing == []


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("from playwright.sync_api import expect", True),
        ("try:\n    import playwright.sync_api\nexcept ImportError:\n    pass", True),
        ("class Page:\n    import playwright", True),
        ("def expect():\n    from playwright.sync_api import expect", False),
    ],
)
def test_an_import_of_playwright_at_module_level_is_seen(text: str, seen: bool) -> None:
    assert ("playwright" in imported_at_once(text)) is seen


@pytest.mark.full
def test_every_browser_test_is_collected_without_playwright_and_skips_saying_why_and_fails_in_ci() -> None:
    done = without_playwright("-rs", "tests/browser", "-k", "test_table")  # all are collected, a few are run
    assert done.returncode == pytest.ExitCode.OK, done.stdout
    assert " deselected" in done.stdout
    assert " passed" not in done.stdout
    assert "no Playwright in this environment" in done.stdout or "no Chromium on this machine" in done.stdout
    done = without_playwright("tests/browser/test_table.py", CI="true")
    assert done.returncode == pytest.ExitCode.TESTS_FAILED
    assert "browser tests must run in CI" in done.stdout
