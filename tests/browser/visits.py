"""Going to a page of the list in a real browser, in the state that the list says."""

from __future__ import annotations

import re
import urllib.error
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from urllib.parse import urlencode

from fitcheck.store import Store
from tests.browser.pages_list import EMPTY, STATES, Page, pages

HEIGHT = 844
OPEN = "document.querySelectorAll('details').forEach(one => { one.open = true; })"


def every(demo, bare):
    """Every page with the address of its service: of the invented household, its states, and of an empty one."""
    with Store.open(demo.path) as store:
        found = [(demo.url, page) for page in [*pages(store.household()), *STATES]]
    return found + [(bare.url, Page(path)) for path in EMPTY]


def shown(url: str, page: Page) -> set[tuple[str, ...]]:
    """What a page shows, as kinds: its status and each kind of element.

    A kind of element is a tag with one class, its type or its role; a verdict is one of its words.
    """
    form = urlencode(page.form).encode() if page.form else None
    asked = urllib.request.Request(url + page.path, data=form, headers={"Origin": url})
    try:
        with urllib.request.urlopen(asked, timeout=60) as answer:
            html = answer.read().decode()
    except urllib.error.HTTPError as refused:
        html = refused.read().decode()
    kinds = {("status", str(page.status))}
    for tag, attributes in set(re.findall(r"<([a-z][\w-]*)([^>]*)>", html)):
        kinds.add((tag,))
        for name, value in re.findall(r'\b(class|type|role)="([^"]*)"', attributes):
            kinds |= {(tag, name, word) for word in value.split()}
    return kinds | {("verdict", said) for said in re.findall(r'class="verdict[^>]*>.*?<span>([^<]*)', html, re.S)}


def one_of_each(every_page: Sequence[tuple[str, Page]]) -> list[int]:
    """Where the pages stand that are looked at where there is no time for all: every state, and as few others as show
    every kind.

    The page that shows most of what none before it shows comes next, the earlier one of two alike.
    """
    routes = {page.path.partition("?")[0]: page.route for _, page in every_page if page.route}
    kinds = [{*shown(url, page), ("route", routes.get(page.path.partition("?")[0], ""))} for url, page in every_page]
    chosen = {place for place, (_, page) in enumerate(every_page) if page in STATES}
    left = set().union(*kinds).difference(*(kinds[place] for place in chosen))
    while left:
        best = max(range(len(kinds)), key=lambda place: len(kinds[place] & left))
        chosen.add(best)
        left -= kinds[best]
    return sorted(chosen)


def others(demo, bare, chosen: Sequence[tuple[str, Page]]) -> list[tuple[str, Page]]:
    """Every page that was not chosen."""
    return [one for one in every(demo, bare) if one not in chosen]


@contextmanager
def opened(chromium, width, unit="cm", **options) -> Iterator:
    """A browser page of a context of its own, with the unit chosen."""
    context = chromium.new_context(viewport={"width": width, "height": HEIGHT}, **options)
    context.add_cookies([{"name": "unit", "value": unit, "domain": "127.0.0.1", "path": "/"}])
    try:
        yield context.new_page()
    finally:
        context.close()


def visit(browser_page, url: str, page: Page) -> None:
    """Go to a page, do what the list says, and open everything that is folded."""

    def post(route, request):
        if request.is_navigation_request():
            headers = {"content-type": "application/x-www-form-urlencoded", "origin": url}
            route.continue_(method="POST", post_data=urlencode(page.form), headers={**request.headers, **headers})
        else:
            route.continue_()

    if page.form:
        browser_page.route("**/*", post)
    answer = browser_page.goto(url + page.path)
    if page.form:
        browser_page.unroute("**/*", post)
    assert answer.status == page.status, str(page)
    for selector in page.clicks:
        browser_page.click(selector)
    browser_page.evaluate(OPEN)
