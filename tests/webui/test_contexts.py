"""Each template and the class of what it shows belong together: no name without a field, no field without a use."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

import pytest
from jinja2 import Environment, nodes
from jinja2.meta import find_undeclared_variables

from webui.pages.context import Page

EVERYWHERE = {"request", "url_for", "g", "session", "config", "get_flashed_messages"}
"""What Flask gives every template."""


def contexts() -> list[type[Page]]:
    """Every class of what a page shows; they are known once the pages are registered."""
    import webui.app  # noqa: F401

    found, waiting = [], [Page]
    for context in waiting:
        waiting += context.__subclasses__()
        found += [context] if "template" in vars(context) else []
    # A class with slots is made anew from the one that was written, which may live on beside it.
    return sorted({context.__qualname__: context for context in found}.values(), key=lambda context: context.template)


@dataclass(frozen=True, slots=True)
class Names:
    """Names in one template.

    own      those that it makes itself
    given    those that it takes from elsewhere
    made_of  the templates that it is made of, and whether each is included, and so sees what stands in this one
    """

    own: frozenset[str]
    given: frozenset[str]
    made_of: tuple[tuple[str, bool], ...]


@cache
def names_of(env: Environment, template: str) -> Names:
    """The names in a template; most templates are part of many."""
    tree = env.parse(env.loader.get_source(env, template)[0])
    # A block has names of its own, which are looked for outside it too.
    own = {name.name for name in tree.find_all(nodes.Name) if name.ctx in ("store", "param")}
    own |= {part.target for part in tree.find_all(nodes.Import)} | {macro.name for macro in tree.find_all(nodes.Macro)}
    parts = tree.find_all((nodes.Extends, nodes.Include, nodes.Import, nodes.FromImport))
    made_of = [
        (part.template.value, isinstance(part, nodes.Include)) for part in parts if getattr(part, "with_context", True)
    ]
    return Names(frozenset(own), frozenset(find_undeclared_variables(tree)), tuple(made_of))


def names_in(env: Environment, template: str, known: frozenset[str] = frozenset()) -> set[str]:
    """Names that a template takes from what it is given, with those of the templates that it is made of.

    known  names of the template that includes it
    """
    names = names_of(env, template)
    found = set(names.given - names.own - known)
    for part, included in names.made_of:
        found |= names_in(env, part, known | names.own if included else frozenset())
    return found


@pytest.mark.parametrize("context", contexts(), ids=lambda context: context.template)
def test_a_template_and_what_it_is_shown_belong_together(app, context):
    with app.test_request_context():
        given: dict[str, object] = {}
        app.update_template_context(given)
        names = names_in(app.jinja_env, context.template) - EVERYWHERE - set(given) - set(app.jinja_env.globals)
    ours = {field.name for field in fields(context)}
    assert names - ours - {"room"} == set()
    assert ours - names - set(given) == set()


def test_a_template_has_one_class():
    templates = [context.template for context in contexts()]
    assert len(set(templates)) == len(templates)


def test_the_comparison_sees_a_name_that_nobody_gives(app):
    tree = app.jinja_env.parse("{% set here = 1 %}{{ here }}{{ elsewhere }}")
    assert find_undeclared_variables(tree) == {"elsewhere"}
