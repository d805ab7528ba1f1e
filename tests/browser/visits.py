"""Going to a page of the list in a real browser, in the state that the list says."""

from __future__ import annotations

from collections.abc import Iterator
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
