"""What holds on every page and in every state of the list, in centimetres and in inches, read without a browser."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import dataclass
from html.parser import HTMLParser

import pytest

from fitcheck.drawing.svg import FRACTION
from fitcheck.records.households import FORMAT
from fitcheck.store import Store
from fitcheck.words.said import MOST_PARAGRAPH
from tests.browser.pages_list import OF_ROUTES, STATES, Page, one_of_each_route, pages
from tests.generated import household
from tests.webui import lent
from tests.webui.once import worked_out_once
from tests.worked.test_worked import MAKES
from webui.answers import Answers
from webui.pages.fractions import as_set

OF_EVERY_MAKE = ("/makes/{}/sizes", "/makes/{}/pieces/back", "/makes/{}/points")
"""Pages of which the list has those of one make, and whose sentences are other ones in each."""


@dataclass(frozen=True, slots=True)
class Walked:
    """Every state of the list, and some or all of its pages with those of every make, in centimetres and in inches.

    shown    their markup, by unit and address
    unlike   those that answer otherwise than the list says
    reached  routes of the list that showed a page
    kept     the household as it went out before and afterwards
    """

    shown: dict[tuple[str, str], str]
    unlike: list[str]
    reached: set[str]
    kept: tuple[bytes, bytes]


@pytest.fixture(
    scope="module",
    params=[
        pytest.param((one_of_each_route, one_of_each_route), id="one of each route"),
        pytest.param((one_of_each_route, pages), marks=[pytest.mark.full], id="one of each in cm, all in inches"),
        pytest.param((pages, pages), marks=[pytest.mark.full, pytest.mark.long], id="all in both"),
    ],
)
def walked(request, tmp_path_factory, demo_file):
    path = shutil.copy(demo_file, tmp_path_factory.mktemp("every_page") / "fitcheck.db")
    with pytest.MonkeyPatch.context() as patched, Store.open(path) as store:
        patched.setattr(Answers, "_computed", worked_out_once)
        app = lent.lend(store)
        client, home, before = app.test_client(), store.household(), store.export_bundle()
        more = [Page(of.format(make.id)) for make in home.makes for of in OF_EVERY_MAKE]
        read, unlike, reached = {}, [], set()
        for unit, of in zip(("cm", "in"), request.param, strict=True):
            client.set_cookie("unit", unit)
            for page in (*of(home), *(more if of is pages else ()), *(state for state in STATES if not state.clicks)):
                answer = client.post(page.path, data=page.form) if page.form else client.get(page.path)
                read[unit, str(page)] = answer.data.decode()
                if (answer.status_code, answer.mimetype) != (page.status, "text/html"):
                    unlike.append(f"{page} in {unit}: {answer.status}, {answer.mimetype}")
                elif not page.form and page.status == 200:
                    reached.add(app.url_map.bind("localhost").match(page.path.partition("?")[0])[0])
        return Walked(read, unlike, reached, (before, store.export_bundle()))


@pytest.fixture(scope="module")
def shown(walked):
    """The markup of every page and state, by unit and address."""
    return walked.shown


def test_every_page_and_state_answers_as_the_list_says_and_nothing_is_changed(walked):
    assert walked.unlike == []
    assert walked.reached == set(OF_ROUTES)
    assert walked.kept[0] == walked.kept[1]


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
    told = str(as_set(text)).replace("\u00a0", "_")
    assert re.sub(r'<span class="frac">(.*?)</span>', r"[\1]", told) == kept


def bare(markup):
    """A page without what holds no elements, and without its fractions; its tags are bare as well."""
    rest = re.sub(r"<(script|style|textarea|title|select|datalist)\b.*?</\1>", "", markup, flags=re.S)
    return re.sub(r"<[^>]*>", "|", re.sub(r'<(t?span) class="frac"[^>]*>[^<]*</\1>', "", rest))


def test_every_fraction_of_a_page_and_its_drawings_is_set_as_one(shown):
    left = {key: FRACTION.findall(bare(markup)) for key, markup in shown.items() if "/api/" not in key[1]}
    assert {key: found for key, found in left.items() if found} == {}
    counted = [markup.count('class="frac"') for (unit, _), markup in shown.items() if unit == "in"]
    assert sum(counted) > 1000
    assert any('<tspan class="frac">' in markup for markup in shown.values())


def test_no_fraction_stands_as_an_element_where_there_is_none(shown):
    within = re.compile(
        r'="[^"<>]*<t?span class="frac"'  # an attribute
        r'|<(script|style|textarea|title|option|text|tspan)\b(?:(?!</\1>).)*?<span class="frac"',
        re.S,
    )
    assert {key: hit[0] for key, markup in shown.items() if (hit := within.search(markup))} == {}


# Paragraphs

INLINE = {"a", "b", "code", "em", "i", "small", "span"}
WITHOUT_TEXT = {"head", "script", "style", "svg", "template"}


class Paragraphs(HTMLParser):
    """The texts of a page: each is what stands between two tags that begin a line of their own.

    What only a screen reader is told beside a paragraph is none of it; the figures of a point and what is said of them
    are two lines of their own.
    """

    def __init__(self):
        super().__init__()
        self.texts, self._words, self._left_out, self._spans, self._of_point = [], [], 0, [], False

    def handle_starttag(self, tag, attrs):
        classes = (dict(attrs).get("class") or "").split()
        self._left_out += tag in WITHOUT_TEXT
        if tag == "span":
            self._spans.append("vh" in classes)
            self._left_out += "vh" in classes
        if tag not in INLINE:
            self._of_point = "nums" in classes
        if tag not in INLINE or (self._of_point and "label" in classes):
            self._end()

    def handle_endtag(self, tag):
        self._left_out -= tag in WITHOUT_TEXT
        if tag == "span":
            self._left_out -= self._spans.pop()
        if tag not in INLINE:
            self._end()

    def handle_data(self, data):
        if not self._left_out:
            self._words += [data]

    def _end(self):
        text = " ".join("".join(self._words).split())
        self.texts += [text] if text else []
        self._words = []


def paragraphs(markup):
    read = Paragraphs()
    read.feed(markup)
    read.close()
    return read.texts


def test_paragraphs_are_found_whole():
    markup = "<div>One <b>two</b> three<p>four <span class='vh'>none</span>five</p><ul><li>six<li>seven</ul></div>"
    assert paragraphs(markup) == ["One two three", "four five", "six", "seven"]
    assert paragraphs('<p class="nums"><span>1 cm</span> <span class="label">wanted 2</span></p>') == [
        "1 cm",
        "wanted 2",
    ]


def test_no_paragraph_of_any_page_or_state_has_more_than_40_words(shown):
    read = {key: paragraphs(markup) for key, markup in shown.items() if "/api/" not in key[1]}
    assert sum(map(len, read.values())) > 3000
    assert {key: long for key, texts in read.items() if (long := too_long(texts))} == {}


def too_long(texts):
    return [text for text in texts if len(text.split()) > MOST_PARAGRAPH]


OTHERS = {f"worked {key}": made.file for key, made in MAKES.items()} | {
    f"made {seed}": household(seed) for seed in range(40)
}


@pytest.mark.full
@pytest.mark.parametrize(
    "key", [pytest.param(key, marks=pytest.mark.long if place % 8 else []) for place, key in enumerate(OTHERS)]
)
def test_no_paragraph_about_another_make_has_more_than_40_words(key, empty):
    empty.import_bundle(json.dumps({**OTHERS[key], "fitcheck": FORMAT}).encode())
    client = lent.lend(empty).test_client()
    for unit in ("cm", "in"):
        client.set_cookie("unit", unit)
        for make in empty.household().makes:
            for of in ("", "/fabric", "/sizes"):
                answer = client.get(f"/makes/{make.id}{of}")
                assert answer.status_code == 200
                assert too_long(paragraphs(answer.data.decode())) == [], (unit, make.id, of)
