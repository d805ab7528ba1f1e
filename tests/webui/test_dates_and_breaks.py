"""Dates as they are typed, and what stays together at the end of a line."""

from __future__ import annotations

import json
import re
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from markupsafe import Markup

from fitcheck import report
from fitcheck.words.dates import ACCEPTS, day_words, no_day, read_day, write_day
from fitcheck.words.history import moment
from fitcheck.words.names import stamp
from tests.invented import report_of
from webui.app import create_app
from webui.pages.fractions import as_set
from webui.pages.unbroken import unbroken, unparted

TEMPLATES = Path(create_app.__code__.co_filename).with_name("templates")


@pytest.mark.parametrize(
    "typed",
    ["25 Nov 2026", "25 November 2026", "25. nov 2026", " 25.11.2026 ", "25. 11. 2026", "2026-11-25", "25  NOV  2026"],
)
def test_a_date_is_read_in_every_way_that_a_form_names(typed):
    assert read_day(typed) == date(2026, 11, 25)


@pytest.mark.parametrize(
    "typed",
    [
        "11/25/2026",
        "3/4/2026",
        "25.11.26",
        "2026-11",
        "2026-2-1",
        "31 Feb 2026",
        "30.02.2026",
        "25 No 2026",
        "25 Brumaire 2026",
        "25 Novix 2026",
        "0",
        "20261125",
        "25 Nov 2026 or so",
        "٢٥.١١.٢٠٢٦",
    ],
)
def test_what_could_be_another_day_or_none_is_no_date(typed):
    assert read_day(typed) is None


@pytest.mark.parametrize(
    ("typed", "accepts"),
    [
        ("29 Feb 2026", "A day of that month: February 2026 has 28."),
        ("30.02.2028", "A day of that month: February 2028 has 29."),
        ("2026-11-31", "A day of that month: November 2026 has 30."),
        ("0 Nov 2026", ACCEPTS),
        ("2026-13-01", ACCEPTS),
        ("yesterday", ACCEPTS),
    ],
)
def test_of_a_month_that_is_too_short_it_is_said_how_many_days_it_has(typed, accepts):
    assert read_day(typed) is None
    assert no_day(typed) == accepts


def test_every_date_that_is_written_is_read_again():
    for month in range(1, 13):
        day = date(2027, month, 3 * month % 28 + 1)
        assert read_day(write_day(day)) == day


@pytest.fixture(params=["Pacific/Kiritimati", "America/St_Johns"])
def far_away(request, monkeypatch):
    """The clock of a house that is 14 hours before, or 3.5 behind, that of Greenwich."""
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield {"Pacific/Kiritimati": "1 Jan 2027, 13:45", "America/St_Johns": "31 Dec 2026, 20:15"}[request.param]
    monkeypatch.undo()
    time.tzset()


def test_the_answer_and_the_history_tell_the_hour_of_a_reading_by_one_clock_that_of_the_house(far_away):
    at = "2026-12-31T23:45:00+00:00"
    head = replace(report_of("grey_pullover").head, read_on=at)
    assert f" readings, {far_away}. " in stamp(head)
    assert moment(at) == far_away


def test_the_latest_reading_is_the_latest_whatever_zone_its_device_was_in():
    texts = [{"text": "54 cm", "at": "2026-12-31T23:50:00-03:30"}, {"text": "54.1 cm", "at": "2027-01-01T02:00:00Z"}]
    back = {"piece": "back", "id": "back", "stages": [{"kind": "blocked", "readings": {"chest": texts}}]}
    make = {"id": "grey", "name": "grey", "fits": {"numbers": {"chest": "54"}}, "pieces": [back]}
    head = report(json.dumps({"fitcheck": 4, "unit": "cm", "makes": [make]}).encode()).head
    assert day_words(head.read_on) == "1 Jan 2027, 3:20"


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("1.5 cm narrow", "1.5_cm narrow"),
        ("likely -2.2 to -0.8 %)", "likely -2.2 to -0.8_%)"),
        ("22 stitches in 10 cm", "22 stitches in 10_cm"),
        ("in 4\nin, blocked", "in 4_in, blocked"),
        ("less than 1 in 20.", "less than 1_in_20."),
        ("20 1/8 in", "20_1/8_in"),
        ("measured 2 Mar 2025", "measured 2_Mar_2025"),
        ("5 more readings", "5 more readings"),
        ("102 stitches, 94 instead", "102 stitches, 94 instead"),
    ],
)
def test_figures_stay_with_their_units_and_nothing_else_is_held(text, kept):
    assert unbroken(text).replace("\u00a0", "_") == kept


def test_what_is_safe_already_and_what_is_no_text_stays_as_it_is():
    assert as_set(Markup("52 cm")) == "52 cm"
    assert as_set(52.0) == 52.0
    assert as_set(None) is None
    assert as_set("52 1/2 cm") == as_set("52 1/2 cm") == Markup('52\u00a0<span class="frac">1/2</span>\u00a0cm')


def test_values_of_fields_and_data_of_scripts_stay_as_they_were_typed(app):
    template = app.jinja_env.from_string(
        '<input value="{{ typed|e }}"><p>{{ typed }}</p><script type="application/json">{{ typed|tojson }}</script>'
    )
    with app.test_request_context():
        page = template.render(typed="9 in 10: 52 cm")
    assert '<input value="9 in 10: 52 cm">' in page
    assert "<p>9_in_10: 52_cm</p>" in page.replace("\u00a0", "_")
    assert '"9 in 10: 52 cm"</script>' in page


def test_no_template_writes_a_value_into_a_field_as_a_text():
    for path in sorted(TEMPLATES.rglob("*.html")):
        for value in re.findall(r'(?:value|placeholder)="([^"]*\{\{.*?\}\}[^"]*)"', path.read_text("utf-8"), re.S):
            for told in re.findall(r"\{\{(.*?)\}\}", value, re.S):
                assert told.rstrip(" -").endswith("|e"), f"{path.name}: {told}"
        for told in re.findall(r"\{\{((?:(?!\{\{).)*?)\}\}</textarea>", path.read_text("utf-8")):
            assert told.rstrip(" -").endswith("|e"), f"{path.name}: {told}"


def test_no_template_parts_a_figure_from_its_unit():
    parted = re.compile(r"\d (?:cm|mm|in|g|m)\b(?!-)|\d %|\d \d\d?/\d")
    for path in sorted(TEMPLATES.rglob("*.html")):
        text = re.sub(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}|<[^<>]*>", "", path.read_text("utf-8"), flags=re.S)
        assert not parted.search(text), f"{path.name}: {parted.search(text)}"


def test_a_headline_does_not_part_set_in():
    assert unparted(Markup("With set-in sleeves")) == "With set-\u2060in sleeves"
    assert unparted(Markup('A <b id="set-in">set-in</b>')) == 'A <b id="set-in">set-\u2060in</b>'


def test_pages_keep_figures_with_their_units(client):
    page = client.get("/makes/grey_pullover").data.decode()
    # No line of a drawing breaks.
    texts = re.findall(r">([^<>]+)(?=<)", re.sub(r"<(script|style|textarea|svg)\b.*?</\1>", "", page, flags=re.S))
    broken = [one for one in texts if re.search(r"\d (?:cm|mm|%)|\d in \d", one)]
    held = [one for one in texts if re.search("\\d\u00a0(?:cm|mm|%)", one)]
    assert broken == []
    assert len(held) > 20


def test_what_was_undone_can_be_done_again(client, store):
    path = "/wardrobe/brown_pullover"
    client.post(f"{path}/measure", data={"occasion": "washed_in_spring", "at_chest": "54.4"})

    def press() -> str:
        page = client.get(path).text
        form = re.search(r'<form method="post" action="/undo">(.*?)</form>', page, re.S)[1]
        client.post("/undo", data=dict(re.findall(r'name="(\w+)" value="([^"]*)"', form)))
        return re.search(r'<button class="small">(\w+)</button>', form)[1]

    def texts() -> list[str]:
        return [one.text for one in store.get("garments", "brown_pullover").record.occasions[1].readings["chest"]]

    assert texts()[-1] == "54.4"
    assert press() == "undo"
    assert "54.4" not in texts()
    assert press() == "redo"
    assert texts()[-1] == "54.4"
    assert press() == "undo"
    assert "54.4" not in texts()
