"""Somebody who has never seen Fitcheck, at a browser: finds things by what is written on them, counts keys and taps.

Nothing here looks for an id or a class of a page: a label that is missing or says something else stops the story.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from fitcheck.records.households import Household
from fitcheck.store import Store


@dataclass(frozen=True)
class Setting:
    """What somebody sits at: the size of the screen, with JavaScript or without, the unit, by day or night."""

    width: int
    height: int
    scripted: bool
    unit: str
    dark: bool = False

    @property
    def phone(self) -> bool:
        return self.width < 720

    def __str__(self) -> str:
        dark = "-dark" if self.dark else ""
        return f"{self.width}-{'js' if self.scripted else 'plain'}-{self.unit}{dark}"


SETTINGS = [
    Setting(width, height, scripted, unit)
    for width, height in ((390, 844), (1280, 900))
    for scripted in (True, False)
    for unit in ("cm", "in")
]

SCREENS = ((390, 844), (360, 640), (844, 390), (1280, 900))
DAYS_AT = [
    Setting(*screen, scripted=bool(number % 2) != dark, unit="in" if bool(number // 2) != dark else "cm", dark=dark)
    for number, screen in enumerate(SCREENS)
    for dark in (False, True)
]
"""Where the stories of whole days are told: every screen by day and by night, with which scripts and units change.

Any two of light, scripts and unit meet, and each screen has both of each.
"""
BY_DAY, BY_NIGHT = DAYS_AT[2], DAYS_AT[7]
"""Where CI tells a story of whole days: on a small phone by day with scripts, or at a desk by night without."""
TOLD_BY_NIGHT = ("test_days_copy", "test_days_first", "test_days_slips")
"""Stories of whole days that CI tells at a desk by night."""

STORIES_BEFORE = {"test_stories_answer": 0, "test_stories_from_nothing": 4, "test_stories_plan": 10}
"""How many stories stand in the files before each."""


def setting_of(story: int) -> Setting:
    """The setting at which README's line or CI tells a story; CI tells it at the opposite, too.

    From one story to the next it changes, and over eight of them every setting has its turn.

    story  its number among all stories
    """
    return SETTINGS[3 * story % len(SETTINGS)]


def opposite(setting: Setting) -> Setting:
    """The setting of which screen, script and unit are all others."""
    return SETTINGS[-1 - SETTINGS.index(setting)]


SEEN = """() => [document.documentElement.scrollWidth, innerWidth, [...document.querySelectorAll("h1")]
  .filter(one => one.checkVisibility({visibilityProperty: true})).map(one => one.innerText)]"""
"""How wide the page and the screen are, and the headings that are shown: asked at once, for every step asks it."""


class Hand:
    """Taps and types as a hand does, and counts: one for each tap or click, one for each key, Tab and Enter too."""

    def __init__(self, page: Any) -> None:
        self._page = page
        self.count = 0

    def tap(self, what: Any) -> None:
        """Tap or click once; a radio button lies under its words and is tapped all the same."""
        self.count += 1
        what.click()

    def type(self, text: str) -> None:
        """Type into whatever has the focus."""
        self.count += len(text)
        self._page.keyboard.type(text)

    def key(self, name: str) -> None:
        """Press one key: Tab, Enter."""
        self.count += 1
        self._page.keyboard.press(name)


class Person:
    """Somebody at a browser."""

    def __init__(self, page: Any, service: Any, setting: Setting) -> None:
        self.page, self.service, self.setting = page, service, setting
        self.hand = Hand(page)
        self.slips = False
        """Whether a form may be refused: only where the story has somebody type something wrong."""
        page.goto(service.url)
        if setting.unit == "in":
            self.press("inches")
        self.see()

    def say(self, cm: Any, inches: Any) -> Any:
        """What this person types or reads: the one in centimetres, the other in inches."""
        return cm if self.setting.unit == "cm" else inches

    # Looking

    def see(self) -> str:
        """Read the one heading of the page; nothing of the page lies beyond the right edge of the screen."""
        self.page.wait_for_load_state()
        wide, room, headings = self.page.evaluate(SEEN)
        assert wide <= room == self.setting.width, (self.page.url, wide)
        assert len(headings) == 1, (self.page.url, headings)
        return plain(headings[0])

    def text(self) -> str:
        """Everything that stands on the page outside folds, with single spaces."""
        return plain(self.page.get_by_role("main").inner_text())

    def told(self) -> str:
        """What the page says happened: the strip with the undo."""
        return plain(self.page.get_by_role("status").filter(visible=True).first.inner_text())

    def item(self, heading: str) -> Any:
        """The part of a list that has this heading."""
        return self.page.get_by_role("listitem").filter(
            has=self.page.get_by_role("heading", name=re.compile(rf"^\d*\s*{re.escape(heading)}$"))
        )

    def table(self, name: str, row: str) -> list[str]:
        """The cells of one row of a table on the page, by the name of its region."""
        cells = (
            self.page.get_by_role("region", name=name)
            .get_by_role("row")
            .filter(has=self.page.get_by_role("rowheader", name=row))
        )
        return [plain(one) for one in cells.get_by_role("cell").all_inner_texts()]

    # Doing

    @contextmanager
    def leaving(self) -> Iterator[None]:
        """Wait for the page that comes next."""
        with self.page.expect_navigation():
            yield

    def follow(self, name: str, within: Any = None) -> str:
        """Follow a link by its words; return the heading of the page that comes."""
        link = (within or self.page).get_by_role("link", name=re.compile(rf"^{re.escape(name)}"))
        with self.leaving():
            link.first.click()
        return self.see()

    def open(self, name: str) -> str:
        """Go to a make of the Table: the deed of its line leads there."""
        return self.follow("", self.page.get_by_role("listitem").filter(has_text=name))

    def room(self, name: str) -> str:
        """Go to a room of the bar at the top."""
        return self.follow(name, self.page.get_by_role("navigation", name="Rooms"))

    def press(self, name: str, within: Any = None, *, exact: bool = True) -> str:
        """Press a button by its words; return the heading of the page that comes."""
        with self.leaving():
            (within or self.page).get_by_role("button", name=name, exact=exact).first.click()
        return self.see()

    def read(self, readings: Mapping[str, tuple[str, str]]) -> str:
        """Read the points of a walk as it asks for them, in centimetres or inches; then see the answer.

        On a phone's pad the whole inches are tapped and then the eighth on the drawn inch.
        """
        shown = self.see()
        for _ in readings:
            text = self.say(*readings[shown])
            if self.setting.scripted and self.setting.phone:
                pad = self.page.get_by_role("group", name="Number pad")
                whole, _, part = text.partition(" ")
                for key in whole:
                    pad.get_by_role("button", name="decimal point" if key == "." else key, exact=True).click()
                if part:
                    self.page.get_by_role("radio", name=part, exact=True).check(force=True)
                pad.get_by_role("button", name="Keep", exact=True).click()
            elif self.setting.scripted:
                self.page.keyboard.type(text)
                self.page.keyboard.press("Enter")
            else:
                self.page.get_by_role("textbox").fill(text)
                self.press("Keep")
            before, shown = shown, self.see()
            assert shown != before
        if self.setting.scripted:
            expect(self.page.get_by_text(f"{len(readings)} points read; all of them are kept.")).to_be_visible()
        return self.follow("See the answer")

    def drop(self) -> str:
        """The phone closes the tab; the page is opened again from its address."""
        context, address = self.page.context, self.page.url
        self.page.close()
        self.page = context.new_page()
        self.hand = Hand(self.page)
        self.page.goto(address)
        return self.see()

    def fill(self, label: str, text: str) -> None:
        self.page.get_by_label(label, exact=True).fill(text)

    def choose(self, label: str, said: str) -> None:
        self.page.get_by_label(label, exact=True).select_option(label=said)

    def pick(self, said: str) -> None:
        self.page.get_by_role("radio", name=said, exact=True).check()

    def unfold(self, words: str, within: Any = None) -> None:
        (within or self.page).locator("summary").filter(has_text=words).first.click()

    @contextmanager
    def slipping(self) -> Iterator[None]:
        """Type something wrong, and be told so."""
        self.slips = True
        yield
        self.slips = False
        assert self.page.get_by_text(re.compile("^Not taken")).first.is_visible()

    # What is kept

    @property
    def household(self) -> Household:
        """What the database holds now."""
        with Store.open(self.service.path) as store:
            return store.household()


def expect(what: Any) -> Any:
    """Playwright's waiting assertion, imported only here: the tests are collected without Playwright too."""
    from playwright.sync_api import expect as waiting

    return waiting(what)


def plain(text: str) -> str:
    """A text with single spaces, fractions and thin spaces as they are typed."""
    return " ".join(text.split())
