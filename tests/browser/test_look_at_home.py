"""How the pages at home look: pairing, the settings with a code, and what a device that may measure is offered.

Nothing is wider than the screen, also with letters twice as large; axe finds nothing; targets are large enough.
"""

from __future__ import annotations

from importlib.resources import files

import pytest

from fitcheck.store import Store
from fitcheck.words import home as say
from tests.browser.conftest import send
from tests.browser.test_axe import axe, found  # noqa: F401 - a fixture
from tests.webui import lent
from tests.webui.home_served import served

MAKE = "/makes/rust_pullover"
MEASURED = (MAKE, f"{MAKE}/rest/yarn", "/settings")
SMALL = """() => [...document.querySelectorAll('button, a.btn, input:not([type=hidden])')].filter((one) =>
  one.offsetParent && one.getBoundingClientRect().height < 43.5).map((one) => one.outerHTML)"""
WIDER = "document.documentElement.scrollWidth > window.innerWidth"

pytestmark = pytest.mark.full


@pytest.fixture
def home(tmp_path):
    with Store.open(tmp_path / "fitcheck.db") as store:
        store.import_bundle((files("demo_garments") / "household.json").read_bytes())
        with served(store) as running:
            yield running
    lent.take_back()


@pytest.fixture(params=[(390, "light"), (320, "dark")], ids=str)
def phone(request, chromium):
    width, scheme = request.param
    context = chromium.new_context(viewport={"width": width, "height": 844}, color_scheme=scheme)
    page = context.new_page()
    yield page
    context.close()


def looks_right(page, axe):  # noqa: F811
    assert found(page, axe) == []
    assert page.evaluate(SMALL) == []
    assert not page.evaluate(WIDER)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert not page.evaluate(WIDER)
    page.evaluate("document.documentElement.style.fontSize = ''")


def test_a_phone_is_paired_by_what_its_camera_reads_and_sees_pages_that_fit_it(home, phone, axe):  # noqa: F811
    code = home.home.pairing.invite("measure")
    phone.goto(f"{home.home.url}pair")
    looks_right(phone, axe)
    phone.fill("#code", "AAAA-AAAA")
    send(phone, "Pair it")
    assert phone.inner_text("#code-refused") == say.NOT_THIS_CODE
    looks_right(phone, axe)
    phone.goto(f"{home.home.url}makes#x")
    phone.goto(home.home.invitation(code))
    assert phone.input_value("#code") == str(code)
    assert "#" not in phone.url
    phone.get_by_role("button", name="Pair it").click()
    phone.wait_for_url(f"{home.home.url}makes")
    for path in MEASURED:
        phone.goto(f"{home.home.url}{path[1:]}")
        looks_right(phone, axe)
    assert phone.inner_text("h1") == say.MEASURES_HEAD  # of the settings


def test_the_settings_of_this_machine_show_a_code_and_the_devices(home, phone, axe):  # noqa: F811
    home.pair("everything", "A tablet with a name that is as long as it may be")
    phone.goto(f"http://127.0.0.1:{home.here}/settings")
    send(phone, "A code for a phone that measures")
    assert phone.inner_text(".pair-code") == str(home.home.pairing.code)
    square = phone.locator(".invitation svg").bounding_box()
    assert square["width"] == square["height"] >= 200
    looks_right(phone, axe)
    send(phone, "remove", phone.locator(".devices"))
    assert "is removed" in phone.inner_text("[role=status]")
    assert phone.locator(".devices").count() == 0
