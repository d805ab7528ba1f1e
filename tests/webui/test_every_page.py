"""What holds on every page and in every state of the list, in centimetres and in inches, read without a browser."""

from __future__ import annotations

import re
import shutil

import pytest

from fitcheck.drawing.svg import FRACTION
from fitcheck.store import Store
from tests.browser.pages_list import STATES, Page, pages
from tests.webui import lent
from tests.webui.once import worked_out_once
from webui.answers import Answers
from webui.pages.fractions import with_fractions
from webui.pages.unbroken import unbroken

OF_EVERY_MAKE = ("/makes/{}/sizes", "/makes/{}/pieces/back", "/makes/{}/points")
"""Pages of which the list has those of one make, and whose sentences are other ones in each."""


@pytest.fixture(scope="module")
def shown(tmp_path_factory, demo_file):
    """The markup of every page and state, by unit and address."""
    path = shutil.copy(demo_file, tmp_path_factory.mktemp("every_page") / "fitcheck.db")
    with pytest.MonkeyPatch.context() as patched, Store.open(path) as store:
        patched.setattr(Answers, "_computed", worked_out_once)
        client = lent.lend(store).test_client()
        household = store.household()
        more = [Page(of.format(make.id)) for make in household.makes for of in OF_EVERY_MAKE]
        read = {}
        for unit in ("cm", "in"):
            client.set_cookie("unit", unit)
            for page in (*pages(household), *more, *(state for state in STATES if not state.clicks)):
                answer = client.post(page.path, data=page.form) if page.form else client.get(page.path)
                read[unit, str(page)] = answer.data.decode()
    return read


# Fractions


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("21 13/16 in", "21_[13/16]_in"),
        ("likely 1/8 to 3/4", "likely [1/8] to [3/4]"),
        ("1 5/8 < 2", "1_[5/8] &lt; 2"),
        ("on 25/11/2026", "on 25/11/2026"),
        ("1 in 20", "1_in_20"),
        ("stages/1/2", "stages/1/2"),
        ("1/3 of it", "1/3 of it"),
    ],
)
def test_a_fraction_of_an_inch_is_an_element_and_nothing_else_is(text, kept):
    told = str(with_fractions(unbroken(text))).replace("\u00a0", "_")
    assert re.sub(r'<span class="frac">(.*?)</span>', r"[\1]", told) == kept


def bare(markup):
    """A page without what holds no elements, and without its fractions; its tags are bare as well."""
    rest = re.sub(r"<(script|style|textarea|title|select|datalist)\b.*?</\1>", "", markup, flags=re.S)
    return re.sub(r"<[^>]*>", "|", re.sub(r'<(t?span) class="frac"[^>]*>[^<]*</\1>', "", rest))


def test_every_fraction_of_a_page_and_its_drawings_is_set_as_one(shown):
    left = {key: FRACTION.findall(bare(markup)) for key, markup in shown.items() if "/api/" not in key[1]}
    assert {key: found for key, found in left.items() if found} == {}
    counted = [markup.count('class="frac"') for (unit, _), markup in shown.items() if unit == "in"]
    assert sum(counted) > 5000
    assert any('<tspan class="frac">' in markup for markup in shown.values())


def test_no_fraction_stands_as_an_element_where_there_is_none(shown):
    within = re.compile(
        r'="[^"<>]*<t?span class="frac"'  # an attribute
        r'|<(script|style|textarea|title|option|text|tspan)\b(?:(?!</\1>).)*?<span class="frac"',
        re.S,
    )
    assert {key: hit[0] for key, markup in shown.items() if (hit := within.search(markup))} == {}
