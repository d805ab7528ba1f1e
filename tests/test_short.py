"""A heading bears 70 characters, the sentence under it 25 words, a paragraph 40: two lines and a glance on a phone.

Held on every answer to the invented household, to the worked makes, and to households made by chance.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

import fitcheck
from fitcheck.records.files import open_household
from fitcheck.reports.shapes import Report
from fitcheck.words import advised
from fitcheck.words.figures import Tape
from fitcheck.words.said import Said
from fitcheck.words.sizes import sizes_said
from tests import invented
from tests.generated import household
from tests.worked.test_worked import MAKES, told_of
from webui.pages.make.told import fabric_head, knitted

MOST_HEAD, MOST_REASON, MOST_PARAGRAPH = 70, 25, 40
SEEDS = range(40)
TAPES = (Tape("cm", "."), Tape("in", "."))


@pytest.fixture(
    scope="module",
    params=[
        pytest.param(20, id="every twentieth"),
        pytest.param(5, id="every fifth", marks=pytest.mark.full),
        pytest.param(1, id="all", marks=[pytest.mark.full, pytest.mark.long]),
    ],
)
def everything(request: pytest.FixtureRequest) -> list[tuple[str, Said]]:
    """What stands at the head of pages, by what it is about: of every so many worked or generated makes."""
    return [
        (f"{key} in {tape.unit}", said)
        for key, report in reports(request.param).items()
        for tape in TAPES
        for said in said_of(report, tape)
    ]


@cache
def reports(step: int) -> dict[str, Report]:
    """Answers, by what they are about; every so many of those that are worked or generated."""
    answers = {f"demo {key}": answer for key, answer in invented.reports().items()}
    answers |= {f"worked {key}": told_of(key).report for key in list(MAKES)[::step]}
    for seed in SEEDS[::step]:
        home = open_household(json.dumps(household(seed)).encode())
        answers |= {f"made {seed} {make.id}": fitcheck.report(home, make=make.id) for make in home.makes}
    named = {key: MAKES[key] for key in NAMED}
    return answers | {
        f"long names {key}": fitcheck.report(long_names(made.file), piece=made.piece) for key, made in named.items()
    }


LONG = "brown pullover that Aunt Margarete knitted for the fair and wore every Sunday"
NAMED = (
    "a_rib_is_asked_about_before_the_first_piece",
    "a_garment_read_worn_is_asked_about_before_the_first_piece",
    "a_newer_measuring_of_another_size",
    "a_garment_in_rib_is_asked_about",
    "pattern_for_a_finer_fabric",
    "how_many_needles_has_the_bed",
)
"""Worked makes whose answer names the garment, a size or the machine in its first sentence."""


def long_names(file: dict[str, Any]) -> dict[str, Any]:
    """The same household with names that somebody loves to tell everything in."""
    home = copy.deepcopy(file)
    for kind in ("garments", "wearers", "yarns", "machines", "size_tables", "makes"):
        for record in home.get(kind, ()):
            record["name"] = LONG
    sizes = {}
    for table in home["size_tables"]:
        for size in table["sizes"]:
            sizes[size["name"]] = size["name"] = f"{size['name']} of the {LONG}"
    for make in home["makes"]:
        if "size" in make:
            make["size"] = sizes[make["size"]]
    return home


def said_of(report: Report, tape: Tape) -> Iterator[Said]:
    """What stands at the head of the pages of a make: the make itself, its fabric, its sizes; a plan has the same."""
    yield advised(report, tape)
    yield fabric_head(report, tape, finished=report.head.finished is not None)
    if report.sizes is not None:
        yield sizes_said(report.sizes, tape)
        yield sizes_said(report.sizes, tape, knitted=knitted(report))


def words_in(text: str) -> int:
    return len(text.split())


def test_every_heading_of_a_make_and_of_a_plan_has_70_characters_at_most(everything):
    assert [(key, said.head) for key, said in everything if not 0 < len(said.head) <= MOST_HEAD] == []


def test_the_sentence_under_a_heading_has_25_words_at_most(everything):
    assert [(key, said.because) for key, said in everything if words_in(said.because) > MOST_REASON] == []


def test_no_paragraph_and_no_deed_is_longer_than_a_glance(everything):
    long = [
        (key, part)
        for key, said in everything
        for part in (*said.paragraphs, *(deed.sentence for deed in said.deeds))
        if words_in(part) > MOST_PARAGRAPH
    ]
    assert long == []


def test_paragraphs_leave_nothing_out(everything):
    for key, said in everything:
        assert " ".join(said.paragraphs) == " ".join(said.more), key
