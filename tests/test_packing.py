"""What is packed is what stands in the source: neither more, from a build before, nor less."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("fitcheck", "webui", "demo_garments")


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """A copy of the source, as it lies in a checkout."""
    copy = tmp_path / "checkout"
    copy.mkdir()
    for name in ("pyproject.toml", "README.md", ".gitignore"):
        shutil.copy(ROOT / name, copy)
    for name in PACKAGES:
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    return copy


def packed(tree: Path) -> set[str]:
    """Names of the files that a wheel of a tree holds, without the wheel's own."""
    out = tree.parent / "wheels"
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(out)],
        cwd=tree, capture_output=True, text=True, check=True,
    )  # fmt: skip
    (wheel,) = out.iterdir()
    with zipfile.ZipFile(wheel) as held:
        names = set(held.namelist())
    wheel.unlink()
    return {name for name in names if ".dist-info/" not in name}


def source(tree: Path) -> set[str]:
    """Names of the files of the packages."""
    return {
        path.relative_to(tree).as_posix() for name in PACKAGES for path in (tree / name).rglob("*") if path.is_file()
    }


def test_everything_in_the_source_is_packed_and_nothing_else(tree: Path) -> None:
    names = packed(tree)
    assert names == source(tree)
    assert {"fitcheck/py.typed", "webui/templates/base.html", "demo_garments/household.json"} <= names


def test_a_page_that_was_renamed_is_packed_under_its_new_name_only(tree: Path) -> None:
    page = tree / "webui" / "pages" / "attic.py"
    page.write_text('"""The attic."""\n', encoding="utf-8")
    for left_behind in ("build/lib", "build/bdist.linux-x86_64/wheel"):  # as setuptools leaves it
        shutil.copytree(tree / "webui", tree / left_behind / "webui")
    page.rename(page.with_name("loft.py"))
    names = packed(tree)
    assert "webui/pages/loft.py" in names
    assert "webui/pages/attic.py" not in names
    assert names == source(tree)
