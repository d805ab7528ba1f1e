"""Dates as they are typed, and what stays together at the end of a line."""

from __future__ import annotations

import re
from datetime import date

import pytest

from fitcheck.words.dates import read_day, write_day
from webui.pages.unbroken import unbroken


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


def test_every_date_that_is_written_is_read_again():
    for month in range(1, 13):
        day = date(2027, month, 3 * month % 28 + 1)
        assert read_day(write_day(day)) == day


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
    assert unbroken(f"<p>{text}</p>").replace("\u00a0", "_") == f"<p>{kept}</p>"


def test_fields_their_values_and_scripts_stay_as_they_are():
    page = (
        '<input value="52 cm" aria-label="9 in 10"><textarea>as 52 cm\n</textarea>'
        '<script type="application/json">{"text": "52 cm", "more": "<b>9 in 10</b>"}</script>'
    )
    assert unbroken(page) == page


def test_a_headline_does_not_part_set_in():
    assert unbroken("<h1>With set-in sleeves</h1><p>set-in</p>") == "<h1>With set-\u2060in sleeves</h1><p>set-in</p>"


def test_pages_keep_figures_with_their_units(client):
    page = client.get("/makes/grey_pullover").data.decode()
    texts = re.findall(r">([^<>]+)(?=<)", re.sub(r"<(script|style|textarea)\b.*?</\1>", "", page, flags=re.S))
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
