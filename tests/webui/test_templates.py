"""Templates lay out: what they say with a figure in it is a sentence of the words, and their lines are short.

A run is the text between two tags. It may hold labels, or a value that is a sentence already; text joined to a value
is a sentence made in the template, unless the value is a unit, a span of gauge, a day or somebody's own name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from jinja2 import Environment, nodes

TEMPLATES = sorted((Path(__file__).parents[2] / "webui" / "templates").rglob("*.html"))
VALUE, OTHERWISE = "\0", "\1"
LONGEST = 140
UNITS = {"unit", "span", "parts.span", "walk.unit"}
NAMES = {"name", "make.name", "garment.name", "parts.stage_names[stage]"}
"""What people or the catalogue call something, as it stands in a heading: "What the grey pullover must fit"."""
SPOKEN = ("aria-label", "title", "placeholder", "alt", "content")
"""Attributes whose text is read out or seen."""
_SPOKEN = re.compile(rf'\s(?:{"|".join(SPOKEN)})="([^"]*)"')
_TAG = re.compile(r"<[^<>]*>")
_WORD = re.compile(r"[A-Za-z]{2}")


def source(node: nodes.Node) -> str:
    """An expression as it is written, filters left out: "make.name"."""
    match node:
        case nodes.Name():
            return node.name
        case nodes.Getattr():
            return f"{source(node.node)}.{node.attr}"
        case nodes.Getitem():
            return f"{source(node.node)}[{source(node.arg)}]"
        case nodes.Filter() if node.node is not None:
            return source(node.node)
        case _:
            return ""


def written(node: nodes.Node, allowed: set[str]) -> str:
    """What stands in the page for a node: its text, a mark for a value, nothing for a unit or a name."""
    match node:
        case nodes.TemplateData():
            return node.data
        case nodes.Const():
            return str(node.value) if isinstance(node.value, str) else ""
        case nodes.CondExpr():
            first = written(node.expr1, allowed)
            return f"{first}{OTHERWISE}{written(node.expr2, allowed)}" if node.expr2 is not None else first
        case nodes.Output():
            return "".join(written(part, allowed) for part in node.nodes)
        case nodes.If():
            ways = [node.body, *(way.body for way in node.elif_), node.else_]
            return OTHERWISE.join(flow(way, allowed) for way in ways if way)
        case nodes.For():
            return flow(node.body, allowed)
        case nodes.Block() | nodes.Macro() | nodes.CallBlock() | nodes.FilterBlock():
            return f"<>{flow(node.body, allowed)}<>"
        case nodes.Expr():
            return "" if source(node) in allowed else VALUE
        case _:
            return ""


def flow(body: list[nodes.Node], allowed: set[str]) -> str:
    return "".join(written(node, allowed) for node in body)


def runs(text: str) -> Iterator[str]:
    """Text between tags, and what attributes say aloud; what stands in either of two cases is two runs."""
    spoken = [said for tag in _TAG.findall(text) for said in _SPOKEN.findall(tag)]
    for run in (*spoken, *_TAG.split(text)):
        yield from run.split(OTHERWISE)


def joined(template: str) -> list[str]:
    """Runs and concatenations of a template that join words to a value."""
    tree = Environment().parse(template)
    allowed = UNITS | NAMES
    found = [run for run in runs(flow(tree.body, allowed)) if VALUE in run and _WORD.search(run)]
    for concat in tree.find_all(nodes.Concat):
        text = "".join(written(node, allowed) for node in concat.nodes)
        if VALUE in text and _WORD.search(text) and " " in text.strip():
            found.append(text)
    return [" ".join(run.replace(VALUE, "{}").split()) for run in found]


def test_no_template_makes_a_sentence() -> None:
    made = {path.name: joined(path.read_text()) for path in TEMPLATES}
    assert {name: sentences for name, sentences in made.items() if sentences} == {}
    assert len(made) > 50


@pytest.mark.parametrize(
    "template",
    [
        "<p>{{ count }} readings</p>",
        "<p>Kept {% if spread %}{{ spread }}{% endif %}.</p>",
        "<p>{{ 'was' if one else 'were' }} {{ count }}</p>",
        '<p aria-label="Row {{ row }}">text</p>',
        "{% call m.fold('Deleted (' ~ count ~ ')') %}{% endcall %}",
        "<p>For {% for wearer in wearers %}{{ wearer }} {% endfor %}</p>",
    ],
)
def test_a_sentence_made_in_a_template_is_found(template: str) -> None:
    assert joined(template)


@pytest.mark.parametrize(
    "template",
    [
        "<p>{{ say.readings(count) }}</p>",
        "<h1>What {{ make.name|capital }} must fit</h1>",
        "<p>{% if told %}{{ told }}{% else %}Nothing was read.{% endif %}</p>",
        "<th>stitches to {{ span }}</th><td>{{ figure }}</td>",
        '<a href="/makes/{{ key }}">Measure it</a>',
    ],
)
def test_labels_units_and_names_may_stand_beside_values(template: str) -> None:
    assert joined(template) == []


def test_a_template_is_read_like_code() -> None:
    assert [
        f"{path.name}:{number}"
        for path in TEMPLATES
        for number, line in enumerate(path.read_text().splitlines(), 1)
        if len(line) >= LONGEST
    ] == []
