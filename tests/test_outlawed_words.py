"""No fixed text of a page, a script, a form, the terminal or a drawing has a wording that no sentence has.

Sentences themselves are held in `test_words.py`. Fixed text is what stands between the tags of a template and in the
texts of its expressions, and the texts of modules but for their docstrings.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from tests.outlawed import NEVER, OUTLAWED

ROOT = Path(__file__).parents[1]
TEMPLATES = sorted((ROOT / "webui" / "templates").rglob("*.html"))
FOR_KNITTERS = [path for path in TEMPLATES if path.parent.name != "api"]
"""The API's page is for whoever writes a program."""
SCRIPTS = sorted((ROOT / "webui" / "static").rglob("*.js"))
MODULES = sorted(
    path
    for folder in ("fitcheck/words", "fitcheck/terminal", "fitcheck/drawing", "fitcheck/cli", "webui")
    for path in (ROOT / folder).rglob("*.py")
)
SURE_BY_HAND = re.compile(r"\b\d+ in (?:50\b|20 sure)")
"""How sure a verdict is, which comes from the label's quantile and is written nowhere by hand."""


def fixed_text(path: Path) -> str:
    """All that a template, a script or a module may put before a person."""
    source = path.read_text(encoding="utf-8")
    match path.suffix:
        case ".html":
            return " ".join(re.sub(r"\{#.*?#\}", " ", source, flags=re.S).split())
        case ".js":
            return re.sub(r"/\*.*?\*/|//[^\n]*", "", source, flags=re.S)
        case _:
            return "\n".join(texts(ast.parse(source)))


def texts(tree: ast.AST) -> Iterator[str]:
    """The texts of a module, but for docstrings; what an f-string fills in stands as a gap."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "…" for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        else:
            yield from texts(node)


def visible(source: str) -> str:
    """The text of a template between its tags and expressions."""
    return re.sub(r"<(?:style|script)\b.*?</(?:style|script)>|<[^<>]*>|\{%.*?%\}|\{\{.*?\}\}", " ", source, flags=re.S)


def test_no_fixed_text_has_a_wording_that_no_sentence_has() -> None:
    assert len(TEMPLATES) > 50
    assert len(SCRIPTS) > 5
    assert len(MODULES) > 150
    assert [
        f"{path.relative_to(ROOT)}: {found[0]}"
        for path in (*TEMPLATES, *SCRIPTS, *MODULES)
        for pattern in (OUTLAWED, SURE_BY_HAND)
        for found in pattern.finditer(fixed_text(path))
    ] == []


def test_no_template_has_a_word_of_a_program() -> None:
    said = {path.name: visible(fixed_text(path)).casefold() for path in FOR_KNITTERS}
    assert [f"{name}: {word}" for name, text in said.items() for word in NEVER if re.search(rf"\b{word}", text)] == []


def test_what_is_outlawed_is_found_in_each_of_them(tmp_path: Path) -> None:
    for name, source in (
        ("a.html", "<h2>{{ 'Counts bound to no size' }}</h2>{# on the line #}"),
        ("a.js", "say('it lies on the line'); // with misfits"),
        ("a.py", '"""With misfits."""\nHEAD = f"{1} with misfits"\n'),
    ):
        (tmp_path / name).write_text(source, encoding="utf-8")
        assert len(OUTLAWED.findall(fixed_text(tmp_path / name))) == 1, name
    assert visible("<p title='fail'>Kept. {{ error }}</p>").split() == ["Kept."]


def test_an_apostrophe_is_set_as_one() -> None:
    straight = re.compile(r"[a-z…]'(?:s|t|re|ll)?(?=[ .,:;?!]|$)")
    typeset = [path for path in MODULES if "words" in path.parts or "forms" in path.parts]
    shown = {path: fixed_text(path) for path in typeset}
    shown |= {path: visible(fixed_text(path)) for path in FOR_KNITTERS}
    assert [(path.name, found.group()) for path, text in shown.items() if (found := straight.search(text))] == []
