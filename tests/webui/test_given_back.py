"""Nothing typed is lost: a form that failed, whatever the fault, comes back with everything that was typed in it."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qs, urlsplit

import pytest

from fitcheck.store.faults import DatabaseLocked, DatabaseTaken, DiskFails, DiskFull, FolderNotWritable, StaleWrite
from tests.browser.pages_list import one_of_each_route
from tests.webui.test_forms import CASES, GRID
from tests.webui.test_pages_wardrobe import Browser, fields_in
from tests.webui.test_sent_again import BY_HAND, form_with, sent_by


class Faulty:
    """Stands where the store waits for its turn to write, and fails as a disk or another program does."""

    def __init__(self, error):
        self.error = error

    def acquire(self, *, timeout=None, blocking=True):
        if blocking:
            raise self.error
        return False


def of_a_program(path):
    return ZeroDivisionError("51.2 cm")


def stale(path):
    return StaleWrite("garments", "brown", mine=None, theirs=None, base=None)


FAULTS = [
    pytest.param(DiskFull, (507,), id="full disk"),
    pytest.param(DatabaseLocked, (503,), id="locked", marks=pytest.mark.full),
    pytest.param(DatabaseTaken, (503,), id="taken away", marks=pytest.mark.full),
    pytest.param(lambda path: DiskFails(path, "worn out"), (500,), id="disk fails", marks=pytest.mark.full),
    pytest.param(lambda path: FolderNotWritable(path, "closed"), (500,), id="read only", marks=pytest.mark.full),
    pytest.param(of_a_program, (500,), id="the program", marks=pytest.mark.full),
    pytest.param(stale, (409, 500), id="changed meanwhile"),  # whoever is always slower finds no free key
]


def controls(form):
    """Fields of a form in which something can be typed or chosen, by name."""
    typed = [tag for tag in re.findall(r"<input [^>]*>", form, re.S) if not re.search('type="(hidden|file)"', tag)]
    names = [re.search(r' name="([^"]*)"', tag) for tag in typed]
    others = re.findall(r'<(?:textarea|select) id="[^"]*" name="([^"]*)"', form)
    return {found[1] for found in names if found} | {*others}


def forms_of(page):
    """The forms of a page that write what is typed: where they go, what they send untouched, and what can be typed."""
    for tag, form in re.findall(r"<form\b([^>]*)>(.*?)</form>", page, re.S):
        texts = {
            name
            for name in controls(form)
            if re.search(rf'<(?:input id="[^"]*"|textarea id="[^"]*") name="{re.escape(name)}"', form)
        }
        if 'method="post"' in tag and texts:
            action = re.search(r'action="([^"]*)"', tag)
            yield html.unescape(action[1]) if action else "", fields_in(form), texts


def sample(name, before):
    """Something to type in a field, that nobody else typed."""
    return before or {"columns": "2", "rows": "2"}.get(name, f"typed in {name}")


FORMS = []
"""Every form, gathered once: of the same household there are the same."""


def taken(browser):
    """What is sent by forms whose every field is taken, by where they go."""
    of_specs = {case.at.partition("?")[0]: sent_by(case, browser) for case in CASES.values()}
    by_hand = {
        "/plan/keep" if at.startswith("/plan") else at.partition("?")[0]: {**form_with(browser.get(at), typed), **typed}
        for at, typed, _, _ in BY_HAND.values()
    }
    at = "/makes/grey_unwashed"
    step = {**form_with(browser.get(f"{at}/walk?round=next"), ("reading",), "id"), "reading": "51.2", "do": "keep"}
    count = {"point": "chest", "count": "120"}
    grid = of_specs["/size-tables/new"]  # one size and one row are typed, and the page has more
    beyond = [name for name in grid if re.match("(row|size|c)_[1-9]", name)]
    of_specs["/size-tables/new"] = {name: text for name, text in grid.items() if name not in beyond}
    return of_specs | by_hand | {f"{at}/walk?round=next": step, "/makes/grey_pullover/count": count}


def every_form(browser):
    """Every form of a page of each route of the invented household: its page, where it goes, and what is sent by it."""
    seen, good = set(), taken(browser)
    for page in one_of_each_route(browser.store.household()):
        if page.path.startswith("/api"):
            continue
        for action, untouched, texts in forms_of(browser.get(page.path)):
            to = action or page.path
            alike = re.sub(r"(?<=/)[\w-]+_[\w-]+", "", urlsplit(to).path), tuple(sorted(texts))
            if alike not in seen:
                seen.add(alike)
                yield page.path, to, untouched | {name: sample(name, untouched.get(name)) for name in texts}
    yield from (("", path, sent) for path, sent in good.items())


def lost(answer, sent):
    """What was sent and does not stand in a field of the page that came back."""
    page = answer.get_data(as_text=True)
    sent = {name: text if isinstance(text, str) else " ".join(text) for name, text in sent.items()}
    # What is chosen after two changed the same goes on from what is there.
    sent = {name: text for name, text in sent.items() if name not in ("do", "revision")}
    forms = [
        fields_in(form)
        | {"swatches": " ".join(re.findall(r'name="swatches" value="([^"]*)"(?: checked|>\n|>$)', form))}
        for form in re.findall(r"<form\b.*?</form>", page, re.S)
    ]
    back = max(forms, key=lambda fields: len(fields.keys() & sent.keys()))
    return {name: text for name, text in sent.items() if text and back.get(name, "").strip() != text.strip()}


@pytest.fixture
def browser(store):
    store.put("makes", "planned", {"name": "planned, no piece knitted yet"}, 0)
    return Browser(store)


@pytest.fixture
def forms(browser):
    """Every form, gathered by the first test that asks for them."""
    if not FORMS:
        FORMS.extend(every_form(browser))
    return FORMS


def test_there_are_forms_to_walk(forms):
    to = {urlsplit(to).path for _, to, _ in forms}
    assert len(to) > 20
    assert {"/wardrobe/new", "/piece", "/settings", "/swatches/yarns/new", "/makes/grey_pullover/points"} <= to


@pytest.mark.parametrize(("fault", "statuses"), FAULTS)
def test_every_form_of_every_page_comes_back_whole_after_a_fault(browser, forms, monkeypatch, fault, statuses):
    monkeypatch.setattr(browser.store.database, "_writer", Faulty(fault(browser.store.path)))
    found, failed = [], set()
    for path, to, sent in forms:
        answer = browser.client.post(to, data=sent)
        if answer.status_code in statuses:
            failed.add(to)
        assert "taken=" not in ",".join(answer.headers.getlist("Set-Cookie")), (path, to)
        if answer.status_code == 303:  # what is put right in place is refused on the page where it stands
            answer = browser.client.get(answer.location)
            assert f'value="{sent.get("text", "nothing")}"' in answer.get_data(as_text=True), (path, to)
        elif answer.status_code not in (*statuses, 409, 422) or (missing := lost(answer, sent)):
            found.append((path, to, answer.status_code, missing))
    assert not found, "\n".join(map(str, found))
    assert {to for path, to, _ in forms if not path} <= failed


LONG = "a very long note, " * 60_000  # 1 MB


def typed_on(browser, path, **typed):
    """The form of a page as it is sent with something typed in it."""
    return {**form_with(browser.get(path), (*typed,)), **typed}


@pytest.mark.parametrize(
    ("path", "field", "text"),
    [
        ("/wardrobe/new", "notes", LONG),
        ("/wardrobe/new", "notes", LONG * 3),  # more than the service takes in at all
        ("/wardrobe/new", "notes", "n" * 40_001),  # more than a field holds
        ("/people/new", "name", LONG),
        ("/swatches/yarns/new", "notes", LONG),
        ("/makes/grey_pullover/points", "own_chest", "5" * 50_000),
        ("/makes/grey_pullover/settings", "notes", LONG),
    ],
)
def test_what_is_too_large_comes_back_too(browser, path, field, text):
    sent = typed_on(browser, path, **{field: text})
    answer = browser.client.post(path, data=sent)
    assert answer.status_code == 413
    assert "Everything you typed is still in the form." in answer.get_data(as_text=True)
    assert lost(answer, sent) == {}


def test_a_form_whose_page_is_gone_is_there_to_be_copied(browser):
    sent = typed_on(browser, "/makes/grey_pullover/points", own_chest="51.23")
    browser.store.delete("makes", "grey_pullover", browser.store.get("makes", "grey_pullover").revision)
    answer = browser.client.post("/makes/grey_pullover/points", data=sent)
    page = answer.get_data(as_text=True)
    assert (answer.status_code, lost(answer, sent)) == (404, {})
    assert '<li class="typed-text">51.23</li>' in page
    browser.store.bring_back("makes", "grey_pullover")
    again = fields_in(page[page.index('<form method="post" action="/makes') :])
    assert browser.post("/makes/grey_pullover/points", **again) == "/makes/grey_pullover"


def test_try_again_keeps_what_the_fault_kept_away(browser, monkeypatch):
    sent = typed_on(browser, "/wardrobe/new", name="Blue jumper", at_chest="52.4 52.1")
    with monkeypatch.context() as patch:
        patch.setattr(browser.store.database, "_writer", Faulty(DiskFull(browser.store.path)))
        page = browser.post("/wardrobe/new", 507, **sent)
    assert "The disk is full." in page
    browser.post("/wardrobe/new", **form_with(page, ("name", "at_chest")))
    garment = browser.store.get("garments", "blue_jumper").record
    assert [reading.text for reading in garment.occasions[0].readings["chest"]] == ["52.4", "52.1"]


def test_a_form_sent_to_a_database_that_is_gone_comes_back_with_what_to_do(browser):
    sent = typed_on(browser, "/wardrobe/new", name="Blue jumper", at_chest="52.4 52.1")
    browser.store.path.unlink()
    answer = browser.client.post("/wardrobe/new", data=sent)
    assert (answer.status_code, lost(answer, sent)) == (503, {})
    page = answer.get_data(as_text=True)
    assert "The database is only read." in page
    assert "Nothing was written. Stop Fitcheck and start it again." in page


def test_a_page_that_fails_as_its_form_did_still_has_what_was_typed(browser, monkeypatch):
    sent = typed_on(browser, "/wardrobe/new", name="Blue jumper")

    def fails():
        raise DatabaseLocked(browser.store.path)

    monkeypatch.setattr(browser.store, "household", fails)
    answer = browser.client.post("/wardrobe/new", data=sent)
    assert (answer.status_code, lost(answer, sent)) == (503, {})


def test_an_answer_that_came_too_late_says_what_was_typed(browser):
    to = browser.post("/makes/grey_pullover/answer", place="makes/grey_pullover/nothing", do="again", text="51.9")
    assert "answered already. Not kept: 51.9." in browser.get(to)


LEFT = {
    "yarn": ("/swatches/new", "yarns yarn", {"name": "Moss wool"}, "moss_wool", {"stitches": "36", "across": "16.7"}),
    "machine": ("/swatches/new", "machines machine", {"name": "Old bed", "needles": "250"}, "old_bed", {"dial": "7"}),
    "wearer": ("/wardrobe/new", "wearers wearer", {"name": "Ada"}, "ada", {"name": "Blue", "at_chest": "51.8"}),
    "of a make": ("/makes/grey_pullover/settings", "wearers wearer", {"name": "Ada"}, "ada", {"notes": "by June"}),
    "garment": (
        "/makes/grey_pullover/fits",
        "garments occasion",
        {"name": "Blue", "at_chest": "52", "on": "2026-02-01"},
        "blue 2026_02_01",
        {"number-hem": "48", "wish-chest": "+2"},
    ),
    "of a piece": (
        "/piece?way=wardrobe",
        "garments garment",
        {"name": "Blue", "at_chest": "52", "on": "2026-02-01"},
        "blue",
        {"own_chest": "51.8"},
    ),
    "swatch": (
        "/makes/grey_pullover/settings",
        "swatches swatches",
        {"name": "Third", "stitches": "36", "across": "16.7"},
        "third",
        {"notes": "by June"},
    ),
    "table": (
        "/plan",
        "size_tables table",
        {"name": "Plain", **GRID},
        "plain",
        {"chest": "54", "count_1": "120"},
    ),
}


@pytest.mark.parametrize(("path", "leave", "new", "chosen", "typed"), LEFT.values(), ids=LEFT)
def test_a_form_comes_back_with_the_new_record_chosen_and_everything_typed(browser, path, leave, new, chosen, typed):
    field = leave.partition(" ")[2]
    page = browser.get(path)
    assert f'name="leave" value="{leave}"' in page
    form = max(re.findall(r"<form\b.*?</form>", page, re.S), key=lambda form: f'value="{leave}"' in form)
    sent = {**fields_in(form), **typed, "leave": leave}
    adding = browser.post(path.partition("?")[0], **sent)
    assert parse_qs(urlsplit(adding).query).keys() == {"returns"}
    assert "back in the form that you left" in browser.get(adding)
    own = {**form_with(browser.get(adding), (*new,)), **new}
    # What is refused on the way is put right, and still comes back.
    refused = {name: "" if name in ("name", "across") else text for name, text in own.items()}
    own |= {"returns": form_with(browser.post(urlsplit(adding).path, 422, **refused), (*new,))["returns"]}
    back = browser.post(urlsplit(adding).path, **own)
    assert (urlsplit(back).path, urlsplit(back).fragment) == (path.partition("?")[0], field)
    page = browser.get(back)
    there = max(
        (fields_in(form) for form in re.findall(r"<form\b.*?</form>", page, re.S)),
        key=lambda fields: len(fields.keys() & sent.keys()),
    )
    if field == "swatches":
        assert f'value="{chosen}" checked' in page
    else:
        assert there[field] == chosen
    assert {name: there.get(name) for name in typed} == typed


def test_leaving_the_new_record_alone_leads_back_as_well(browser):
    adding = browser.post("/swatches/new", stitches="36", leave="yarns yarn")
    back = html.unescape(re.search(r'<a class="btn" href="([^"]*)">Leave it</a>', browser.get(adding))[1])
    assert fields_in(browser.get(back))["stitches"] == "36"


def test_a_form_that_the_service_does_not_know_any_more_begins_anew(browser):
    assert browser.get("/swatches/new?given=nothing-of-that-name")
    browser.post("/swatches/yarns/new", name="Moss wool", returns="nothing-of-that-name")
    other = browser.post("/swatches/new", name="third", stitches="36", leave="yarns yarn").partition("=")[2]
    assert fields_in(browser.get(f"/wardrobe/new?given={other}"))["name"] == ""  # another form's
