"""The swatch book: what a browser without JavaScript sends, and what it gets."""

from __future__ import annotations

import html
import re
from urllib.parse import unquote

import pytest

from tests.webui.test_pages_wardrobe import (
    OF_ANOTHER,
    Browser,
    buttons,
    chosen,
    fields,
    fields_in,
    place_of,
    sides,
    typed_in,
    undo,
)


@pytest.fixture
def browser(store):
    return Browser(store)


@pytest.fixture
def bare(empty):
    return Browser(empty)


def heading(page):
    return re.search(r"<h1[^>]*>(.*?)</h1>", page, re.S)[1].strip()


def test_an_empty_book_asks_for_three_numbers(bare):
    page = bare.get("/swatches")
    assert heading(page) == "A swatch needs 3 numbers."
    for name in ("stitches", "across", "dial"):
        assert f'name="{name}"' in page


def test_a_sweater_can_be_planned_from_every_fabric_of_the_book(browser):
    page = browser.get("/swatches")
    planned = re.findall(r'href="/plan\?fabric=([^"]+)">Plan a sweater from it', page)
    assert len(set(planned)) == len(planned) == page.count('<section class="fabric">') == 5


def test_three_numbers_make_a_swatch_with_its_gauge(bare):
    page = bare.after("/swatches/new", stitches="40", across="17.8", dial="7+")
    # 40 stitches over 178 mm: 100 / (178 / 40) = 22.5 in 10 cm.
    assert "22.5 stitches to 10 cm" in heading(page)
    swatch = bare.store.get("swatches", "dial_7_1").record
    assert swatch.dial.written() == "7.1"
    assert swatch.stages[0].kind == "blocked"
    undo(bare, page)
    assert bare.store.list("swatches").records == ()


def test_gauge_is_per_four_inches_when_the_page_is_in_inches(bare):
    bare.post("/unit", unit="in", back="/")
    page = bare.after("/swatches/new", stitches="40", across="7", dial="7")
    # 40 stitches over 7 in: 40 / 7 x 4 = 22.9 in 4 in.
    assert "22.9 stitches to 4 in" in heading(page)


@pytest.mark.parametrize(
    ("fields", "refused"),
    [
        ({"stitches": "", "across": "17", "dial": "7"}, "stitches"),
        ({"stitches": "forty", "across": "17", "dial": "7"}, "stitches"),
        ({"stitches": "40", "across": "", "dial": "7"}, "across"),
        ({"stitches": "40", "across": "17.1.2", "dial": "7"}, "across"),
        ({"stitches": "40", "across": "17", "dial": "seven"}, "dial"),
        ({"stitches": "40", "across": "17", "along": "19"}, "rows"),
        ({"stitches": "40", "across": "17", "strands": "0"}, "strands"),
        ({"stitches": "40", "across": "17", "grams": "-3"}, "grams"),
        ({"stitches": "40", "across": "17", "on": "2026-13-01"}, "on"),
    ],
)
def test_a_refused_swatch_keeps_what_was_typed_beside_its_message(bare, fields, refused):
    page = bare.post("/swatches/new", 422, **fields, notes="knitted & late")
    for name, text in fields.items():
        assert typed_in(page, name) == text
    assert f'id="{refused}-refused"' in page
    assert "knitted &amp; late" in page
    # The form has no quotes to leave out.
    assert "without quotes" not in page
    assert bare.store.list("swatches").records == ()


def test_a_refused_field_inside_a_fold_stands_open(bare):
    page = bare.post("/swatches/new", 422, stitches="40", across="17", strands="0")
    fold = page[: page.index('id="strands"')]
    assert "<details open>" in fold[fold.rindex("<details") :]


def test_marks_may_be_needle_numbers(bare):
    bare.post(
        "/swatches/new", stitches="", rule="centre_to_centre", stitches_first="-20", stitches_last="20", across="17.8"
    )
    (one,) = bare.store.list("swatches").records
    assert bare.store.get("swatches", one.key).record.stitches.between == 40
    assert "marks at −20 and 20" in bare.get(f"/swatches/{one.key}")


def test_the_next_swatch_begins_with_the_settings_of_the_last(bare):
    bare.post("/swatches/yarns/new", name="Grey wool", fibre_1="wool")
    bare.post("/swatches/new", stitches="40", across="17", dial="7", yarn="grey_wool", mast_tension="4")
    page = bare.get("/swatches/new")
    assert typed_in(page, "mast_tension") == "4"
    assert '<option value="grey_wool" selected>' in page


def test_stages_and_readings_are_added_and_the_gauge_follows(bare):
    bare.post("/swatches/new", stitches="40", across="18.5", dial="7", kind="off_machine", on="2026-01-01")
    path = "/swatches/dial_7"
    assert "not washed yet" in heading(bare.get(path))
    page = bare.after(f"{path}/read", kind="blocked", on="2026-01-03", across="17.8")
    assert "22.5 stitches to 10 cm" in heading(page)
    bare.post(f"{path}/read", stage="1", across="18.2")
    stages = bare.store.get("swatches", "dial_7").record.stages
    assert [[one.text for one in stage.across] for stage in stages] == [["18.5"], ["17.8", "18.2"]]
    # 40 stitches over 180 mm: 22.2 in 10 cm.
    assert "22.2 stitches to 10 cm" in heading(bare.get(path))


def test_height_without_a_number_of_rows_is_refused_where_it_was_typed(bare):
    bare.post("/swatches/new", stitches="40", across="17", dial="7")
    page = bare.post("/swatches/dial_7/read", 422, kind="rested", along="19")
    assert 'id="along-refused"' in page
    assert typed_in(page, "along") == "19"


def test_settings_change_and_readings_stay(browser):
    before = browser.store.get("swatches", "grey_at_7").record
    page = browser.get("/swatches/grey_at_7/edit")
    fields = dict(re.findall(r'<input id="(\w+)" name="\w+"[^>]*? value="([^"]*)"', page))
    chosen = re.findall(r'<select id="(\w+)".*?<option value="([^"]*)" selected', page, re.S)
    browser.post("/swatches/grey_at_7/edit", **{**fields, **dict(chosen), "dial": "7.2"})
    after = browser.store.get("swatches", "grey_at_7").record
    assert after.dial.written() == "7.2"
    assert (after.stages, after.stitches, after.rows, after.yarn) == (
        before.stages,
        before.stitches,
        before.rows,
        before.yarn,
    )


def test_a_fabric_shows_gauge_dial_change_and_where_the_next_swatch_tells_most(browser):
    page = browser.get("/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed")
    assert heading(page) == "Swatched at dials 6, 7 and 8."
    # The table of clicks comes before the next piece at one of them.
    assert page.index('class="tape-table') < page.index("The next piece at dial 8")
    # The gauge that a sweater is reckoned from stands open, those of stages before it in a fold.
    table, fold = page.index("stitches, blocked and dry"), page.index("<summary>Rested and off the machine")
    assert table < fold < page.index("stitches, rested")
    # Three dials are read there; of the other fabric only one.
    assert "Enough swatches: a chest of " in page
    assert "Swatch next at dial" in browser.get("/swatches/fabrics?yarn=red_superwash&machine=fine_bed")
    assert page.count('class="dial-line"') == 1
    assert page.count('class="change-rows"') == 4
    for key in ("grey_at_6", "grey_at_7", "grey_at_8"):
        assert f'href="/swatches/{key}"' in page
    assert "cotton_at_7" not in page


def test_the_book_lists_every_fabric_with_its_newest_swatches(browser):
    page = browser.get("/swatches")
    assert heading(page) == "7 swatches in 5 fabrics."
    fabrics = re.findall(r'href="/swatches/fabrics\?yarn=(\w+)', page)
    assert set(fabrics) == {"grey_wool_in_oil", "blue_cotton", "moss_acrylic_mix", "red_superwash", "rust_wool"}


def test_of_forty_swatches_the_newest_eight_are_listed_and_all_are_pooled(bare):
    for number in range(40):
        stage = {"kind": "blocked", "on": f"2026-01-{1 + number % 28:02}", "across": [f"{17 + number % 3 / 10} cm"]}
        swatch = {"name": f"no {number}", "dial": str(5 + number % 4), "stitches": {"count": 40}, "stages": [stage]}
        bare.store.put("swatches", f"s{number}", swatch, 0)
    page = bare.get("/swatches")
    assert len(re.findall(r'href="/swatches/s\d+"', page)) == 8
    assert "The newest 8 of 40" in page
    pooled = bare.get("/swatches/fabrics?yarn=&machine=")
    assert len(set(re.findall(r'href="/swatches/(s\d+)"', pooled))) == 40


def test_a_fabric_is_reckoned_anew_after_a_change(bare):
    bare.post("/swatches/new", stitches="40", across="17.8", dial="7")

    def gauge():
        return re.search(r"stitches, blocked and dry.*?</tr>", bare.get("/swatches/fabrics?yarn=&machine="), re.S)[0]

    before = gauge()
    bare.post("/swatches/dial_7/read", stage="0", across="18.2")
    assert gauge() != before


def test_what_is_not_pooled_is_named_with_its_reason(browser):
    browser.post(
        "/swatches/new",
        stitches="40",
        across="17",
        dial="9",
        yarn="grey_wool_in_oil",
        machine="standard_bed",
        mast_tension="9",
        name="tight one",
        kind="blocked",
        on="2024-01-01",
    )
    assert "mast tension is another" in browser.get("/swatches/tight_one")


def test_of_two_shares_that_stay_empty_each_is_asked_for_and_of_one_neither(browser):
    mix = {"name": "Mix", "fibre_1": "wool", "fibre_2": "silk"}
    page = browser.post("/swatches/yarns/new", 422, **mix)
    assert page.count("Only one share may stay empty.") == 4, "beside its field and above the form"
    browser.post("/swatches/yarns/new", **mix, percent_1="60")


def test_yarns_take_what_is_left_of_a_hundred_and_refuse_shares_that_do_not_add_up(bare):
    page = bare.post(
        "/swatches/yarns/new", 422, name="Mix", fibre_1="wool", percent_1="60", fibre_2="silk", percent_2="20"
    )
    assert "add up to 100 percent" in page
    assert typed_in(page, "percent_2") == "20"
    assert '<a href="#percent_2">20</a>: Shares that add up' in page
    bare.post("/swatches/yarns/new", name="Mix", fibre_1="wool", percent_1="60", fibre_2="silk", tex="33,3")
    yarn = bare.store.get("yarns", "mix").record
    assert [(one.fibre, one.percent) for one in yarn.fibres] == [("wool", 60), ("silk", 40)]
    assert yarn.tex == 33.3


def test_a_machine_is_kept_changed_and_refused_at_its_fields(bare):
    page = bare.post("/swatches/machines/new", 422, name="Old bed", needles="5", highest_dial="10", marks="2")
    assert 'id="needles-refused"' in page
    bare.post("/swatches/machines/new", name="Old bed", needles="200", highest_dial="10", marks="2", pitch="4.5")
    assert bare.store.get("machines", "old_bed").record.pitch.value_mm == 4.5
    form = bare.get("/swatches/machines/old_bed")
    assert typed_in(form, "needles") == "200"
    assert typed_in(form, "pitch") == "4.5"  # the millimetres stand behind the field
    bare.post("/swatches/machines/old_bed", name="Old bed", needles="180", highest_dial="10", marks="2")
    assert bare.store.get("machines", "old_bed").record.needles == 180


def test_lots_beyond_those_that_the_form_shows_stay(bare):
    lots = [{"lot": f"L{number}", "grams": 100 + number} for number in range(6)]
    bare.store.put("yarns", "much", {"name": "Much", "lots": lots}, 0)
    page = bare.get("/swatches/yarns/much")
    fields = dict(re.findall(r'<input id="(\w+)" name="\w+"[^>]*? value="([^"]*)"', page))
    bare.post("/swatches/yarns/much", **{**fields, "grams_1": "7"})
    assert [one.grams for one in bare.store.get("yarns", "much").record.lots] == [7, 101, 102, 103, 104, 105]


@pytest.mark.parametrize("kind", ["swatches/dial_7", "swatches/yarns/grey", "swatches/machines/bed"])
def test_what_was_deleted_in_the_book_can_be_brought_back(bare, kind):
    bare.post("/swatches/new", stitches="40", across="17", dial="7")
    bare.post("/swatches/yarns/new", name="Grey")
    bare.post("/swatches/machines/new", name="Bed", needles="200")
    assert "can be brought back" in bare.after(f"/{kind}/delete")
    bare.get(f"/{kind}", 404)
    assert "is back" in bare.after(f"/{kind}/back")


def test_a_yarn_that_a_swatch_names_is_kept(browser):
    assert "was kept" in browser.after("/swatches/yarns/grey_wool_in_oil/delete")


def test_swapped_counts_of_a_swatch_are_set_right_with_one_tap_and_can_be_undone(bare):
    # 60 stitches on 18 cm and 40 rows on 18 cm: rows 0.7 times the stitches.
    bare.post("/swatches/new", name="S", stitches="60", across="18", rows="40", along="18", dial="7")
    page = bare.get("/swatches/s")
    assert buttons(page) == ["Counts swapped: 40 stitches, 60 rows", "Keep 60 stitches, 40 rows"]
    after = bare.after("/swatches/s/answer", place=place_of(page), do="slip")
    kept = bare.store.get("swatches", "s").record
    assert (kept.stitches.count, kept.rows.count) == (40, 60)
    assert buttons(after) == []
    undo(bare, after)
    assert bare.store.get("swatches", "s").record.stitches.count == 60


def test_more_stitches_than_the_bed_has_needles_are_refused(browser):
    typed = {"stitches": "260", "across": "90", "dial": "7", "machine": "standard_bed", "rule": "between"}
    page = browser.post("/swatches/new", 422, **typed)
    assert 'id="stitches-refused"><b>Not taken: 260.</b> This bed has 200 needles.' in page
    assert typed_in(page, "stitches") == "260"


@pytest.mark.parametrize(
    ("path", "field", "label", "beside"),
    [
        ("/swatches/grey_at_7/edit", "lot", "Lot", "carriage"),
        ("/swatches/grey_at_7/edit", "rows_last", "Last marked row", "notes"),
        ("/swatches/yarns/grey_wool_in_oil", "m_per_100g", "100 g are", "notes"),
        ("/swatches/machines/standard_bed", "carriage", "Carriage", "notes"),
    ],
)
def test_two_who_change_one_record_of_the_book_see_both_texts(browser, path, field, label, beside):
    form = fields(browser.get(path))
    browser.post(path, **{**form, **OF_ANOTHER, field: "233"})
    page = browser.post(path, 409, **{**form, field: "234", beside: "mine"})
    assert sides(page)[label] == ("234", "233")
    browser.post(path, **chosen(page))
    kept = fields(browser.get(path))
    assert (kept[field], kept[beside]) == ("234", "mine")


@pytest.mark.parametrize(
    ("typed", "refused"),
    [
        ({"rule": "centre_to_centre", "stitches": "40", "stitches_first": "-20", "stitches_last": "20"}, "stitches"),
        ({"rule": "between", "stitches": "40", "rows_first": "0"}, "rule"),
    ],
)
def test_marks_counted_both_ways_are_asked_about_not_dropped(bare, typed, refused):
    page = bare.post("/swatches/new", 422, across="17", dial="7", **typed)
    assert f'id="{refused}-refused"' in page
    for name, text in typed.items():
        assert fields(page)[name] == text


@pytest.mark.parametrize(
    ("typed", "refused"),
    [
        ({"percent_2": "40"}, "fibre_2"),
        ({"lot_1": "A7"}, "grams_1"),
        ({"fibre_1": "wool", "percent_1": "abc"}, "percent_1"),
    ],
)
def test_half_of_a_pair_in_a_yarn_is_asked_about_not_dropped(bare, typed, refused):
    page = bare.post("/swatches/yarns/new", 422, name="Grey", **typed)
    assert f'id="{refused}-refused"' in page
    for name, text in typed.items():
        assert fields(page)[name] == text


# Groups, and several at once


def put(browser, key, dial, **more):
    """A swatch of the grey wool on the standard bed, 40 stitches on 17.8 cm, blocked."""
    stage = {"kind": "blocked", "on": more.pop("on", "2025-05-01"), "across": [more.pop("across", "17.8 cm")]}
    swatch = {"dial": dial, "yarn": "grey_wool_in_oil", "machine": "standard_bed", "stitches": {"count": 40}}
    browser.store.put("swatches", key, {**swatch, "stages": [stage], **more}, 0)


def listed(page):
    """The fabrics of the book, each with its swatches as they are called, their gauge and what stands under it."""
    fabrics = {}
    for section in re.findall(r'<section class="fabric"><h2>(.*?)</section>', page, re.S):
        name = " ".join(re.sub("<[^>]+>", " ", section.partition("</h2>")[0]).split())
        fabrics[name] = [
            [" ".join(re.sub("<[^>]+>", " ", part or "").split()) for part in parts]
            for parts in re.findall(
                r'<li(?: class="out")?><a[^>]*>(.*?)</a><span class="g">(.*?)</span>'
                r'(?:<span class="label">(.*?)</span>)?</li>',
                section,
                re.S,
            )
        ]
    return fabrics


def test_fabrics_stand_as_groups_the_largest_first_and_two_strands_are_one_of_their_own(browser):
    put(browser, "doubled_a", "9", strands=2, name="doubled")
    put(browser, "doubled_b", "10", strands=2, name="doubled", on="2025-05-02")
    fabrics = listed(browser.get("/swatches"))
    assert [len(swatches) for swatches in fabrics.values()] == sorted(map(len, fabrics.values()), reverse=True)
    names = list(fabrics)
    assert names[0] == "Grey wool in oil, on the cone, on the standard machine, one strand"
    assert names[1] == "Grey wool in oil, on the cone, on the standard machine, two strands"
    assert {name for name, *_ in fabrics[names[1]]} == {"doubled, 1 May 2025, dial 9", "doubled, 2 May 2025, dial 10"}
    page = browser.get("/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed&of=doubled_b")
    assert heading(page) == "Swatched at dials 9 and 10."
    assert 'href="/swatches/doubled_a"' in page
    assert 'href="/swatches/grey_at_7"' not in page
    # Each has its own gauge: 100 mm hold 40 x 100 / 178 stitches.
    assert [gauge for _, gauge, _ in fabrics[names[1]]] == ["22.5 st", "22.5 st"]


def test_of_a_fabric_that_is_knitted_in_two_ways_a_sweater_is_planned_from_either(browser):
    put(browser, "doubled_a", "9", strands=2)
    put(browser, "doubled_b", "10", strands=2, across="20.0 cm")
    grey = "grey_wool_in_oil|standard_bed"
    for at, key in (
        ("/swatches/grey_at_7", f"{grey}|grey_at_6"),
        ("/swatches/doubled_b", f"{grey}|doubled_a"),
        ("/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed", f"{grey}|grey_at_6"),
        ("/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed&of=doubled_b", f"{grey}|doubled_a"),
    ):
        planned = re.findall(r'href="/plan\?fabric=([^"]+)">Plan a sweater from it', browser.get(at))
        assert [unquote(key) for key in planned] == [key], at
    page = browser.get(f"/plan?chest=52&fabric={grey}|doubled_a&table=round_neck_pullover")
    assert fields(page)["fabric"] == f"{grey}|doubled_a"
    assert "two strands (2)" in page
    # Reckoned from dials 9 and 10; one strand was swatched at 6, 7 and 8.
    assert "All the other figures are for dial 9" in page
    # What stood for all of them before stands for the way that is reckoned with.
    assert (
        fields(browser.get(f"/plan?chest=52&fabric={grey}&table=round_neck_pullover"))["fabric"] == f"{grey}|grey_at_6"
    )


def test_a_swatch_that_is_left_out_shows_its_own_gauge_and_why(browser):
    stage = {"kind": "blocked", "on": "2025-06-01", "blocking": "pinned", "across": ["18.5 cm"]}
    put(browser, "pinned", "7", name="pinned one", stages=[stage])
    fabrics = listed(browser.get("/swatches"))
    (line,) = [line for swatches in fabrics.values() for line in swatches if line[0].startswith("pinned one")]
    # 40 stitches on 185 mm are 21.6 to 10 cm.
    assert line[1] == "21.6 st"
    assert "blocked in another way (pinned, not patted)" in line[2]
    assert '<p class="note">Pinned one: left out' in browser.get("/swatches/pinned")


@pytest.mark.parametrize(
    ("path", "room"),
    [
        ("/swatches/grey_at_6/stages/0", "/swatches"),
        ("/wardrobe/brown_pullover/occasions/washed_in_spring", "/wardrobe"),
        ("/changes/swatches/grey_at_6", "/swatches"),
        ("/changes/wearers/ines", "/wardrobe"),
        ("/makes/grey_pullover/changes", "/makes"),
    ],
)
def test_what_is_put_right_stands_in_the_room_of_its_record(browser, path, room):
    assert re.findall(r'<a href="([^"]+)" aria-current="page"', browser.get(path)) == [room]


def test_the_name_that_nobody_typed_follows_the_dial_until_somebody_names_the_swatch(bare):
    bare.post("/swatches/new", stitches="40", across="13.2", dial="6+")
    key = bare.store.household().swatches[-1].id

    def changed(**typed):
        bare.post(f"/swatches/{key}/edit", **{"stitches": "40", "rule": "between", **typed})
        return bare.store.get("swatches", key).record.name

    assert bare.store.get("swatches", key).record.name == "dial 6.1"
    assert changed(name="dial 6.1", dial="7") == "dial 7"
    assert changed(name="", dial="7.1") == "dial 7.1"
    assert changed(name="the grey one", dial="7.2") == "the grey one"
    assert changed(name="the grey one", dial="8") == "the grey one"
    assert changed(name="", dial="8") == "dial 8"


@pytest.mark.parametrize(
    ("page", "typed", "fold"),
    [
        ("/wardrobe/new", {"thickness": "3"}, "The fabric and how it is worn"),
        ("/wardrobe/new", {"rib": "yes"}, "The fabric and how it is worn"),
        ("/swatches/new", {"treatment": "wool wash"}, "When, washed how, weight"),
        ("/swatches/new", {"grams": "9"}, "When, washed how, weight"),
    ],
)
def test_a_fold_in_which_something_was_typed_or_refused_comes_back_open(bare, page, typed, fold):
    shut, opened = f"<details><summary>{fold}", f"<details open><summary>{fold}"
    assert shut in bare.get(page)
    assert shut in bare.post(page, 422)
    assert opened in bare.post(page, 422, **typed)


def test_names_that_are_alike_are_told_apart_by_day_or_number(browser):
    put(browser, "one", "7", name="grey again", on="2025-05-01")
    put(browser, "two", "7", name="grey again", on="2025-05-03")
    put(browser, "three", "7", name="grey too", on="2025-05-01")
    put(browser, "four", "7", name="grey too", on="2025-05-01")
    names = {line[0] for swatches in listed(browser.get("/swatches")).values() for line in swatches}
    assert {
        "grey again, 1 May 2025, dial 7", "grey again, 3 May 2025, dial 7",
        "grey too, no. 1, dial 7", "grey too, no. 2, dial 7",
    } <= names  # fmt: skip
    assert heading(browser.get("/swatches/two")).startswith("Grey again, 3 May 2025: 22.5 stitches")
    # Where a make chooses its swatches they are called the same.
    settings = browser.get("/makes/grey_pullover/settings")
    assert "<span>grey too, no. 1</span>" in settings
    assert "<span>grey too, no. 2</span>" in settings


THREE = {
    "form": "a-form-with-an-id-of-its-own",
    "lines": "4",
    "kind": "rested",
    "yarn": "grey_wool_in_oil",
    "machine": "standard_bed",
    "stitches": "36",
    "rows": "50",
    "on": "14 Oct 2025",
    "dial_0": "5",
    "across_0": "14.6 14.7",
    "along_0": "14.2",
    "dial_1": "6",
    "across_1": "15,5; 15,6",
    "along_1": "",
    "dial_3": "7",
    "across_3": "16.6",
    "along_3": "15.9",
}


def test_several_swatches_of_one_stage_are_kept_from_one_grid_once_however_often_it_is_sent(browser):
    before = {entry.key for entry in browser.store.list("swatches").records}
    for _ in range(2):
        page = browser.after("/swatches/several", **THREE)
        assert "Kept 3 swatches." in page
        kept = {entry.key for entry in browser.store.list("swatches").records} - before
        assert len(kept) == 3
    swatches = sorted(
        (browser.store.get("swatches", key).record for key in kept), key=lambda swatch: swatch.dial.number
    )
    assert [swatch.dial.written() for swatch in swatches] == ["5", "6", "7"]
    assert [[len(swatch.stages[0].across), len(swatch.stages[0].along)] for swatch in swatches] == [
        [2, 1],
        [2, 0],
        [1, 1],
    ]
    assert {swatch.stages[0].kind for swatch in swatches} == {"rested"}
    assert {(swatch.stitches.count, swatch.rows.count) for swatch in swatches} == {(36, 50)}
    assert {swatch.yarn for swatch in swatches} == {"grey_wool_in_oil"}


@pytest.mark.parametrize(
    ("change", "refused"),
    [
        ({"across_1": "15.5.1"}, "across_1"),
        ({"dial_3": "seven"}, "dial_3"),
        ({"across_3": ""}, "across_3"),
        ({"rows": ""}, "rows"),
        ({"stitches": "forty"}, "stitches"),
        ({"stitches": "260"}, "stitches"),
    ],
)
def test_a_line_that_is_refused_keeps_the_grid_and_nothing_else_is_kept(browser, change, refused):
    before = len(browser.store.list("swatches").records)
    page = browser.post("/swatches/several", 422, **{**THREE, **change})
    assert f'id="{refused}-refused"' in page
    for name, text in {**THREE, **change}.items():
        if name.startswith(("dial_", "across_", "along_")):
            assert typed_in(page, name) == text
    assert len(browser.store.list("swatches").records) == before


def test_one_more_line_keeps_what_was_typed_and_says_what_each_line_gives(bare):
    page = bare.post("/swatches/several", 200, **{**THREE, "yarn": "", "machine": "", "do": "line"})
    assert 'name="dial_4"' in page
    # 36 stitches on 146.5 mm and 50 rows on 142 mm; 36 on 155.5.
    assert "24.6 st · 35.2 rows" in page
    assert '"gives">23.2 st</td>' in page
    assert bare.store.list("swatches").records == ()


def test_the_grid_keeps_strands_and_carriage_of_them_all_as_of_the_last_swatch(client, store):
    last = store.household().swatches[-1].id
    stored = store.get("swatches", last)
    document = {**stored.doc, "strands": 2, "carriage": "lace", "lot": "B"}
    store.put("swatches", last, document, stored.revision)
    page = client.get("/swatches/several").get_data(as_text=True)
    typed = fields_in(page[page.index('<form class="form several"') :])
    assert (typed["strands"], typed["carriage"], typed["lot"]) == ("2", "lace", "B")
    before = {swatch.id for swatch in store.household().swatches}
    lines = {"dial_0": "6", "across_0": "17", "dial_1": "8", "across_1": "18"}
    assert client.post("/swatches/several", data={**typed, **lines, "strands": "3"}).status_code == 303
    new = [swatch for swatch in store.household().swatches if swatch.id not in before]
    assert [(swatch.strands, swatch.carriage, swatch.lot) for swatch in new] == [(3, "lace", "B")] * 2


def test_a_setting_of_them_all_that_is_refused_stands_open_at_its_field(client):
    page = client.post("/swatches/several", data={"stitches": "36", "strands": "many", "across_0": "17"}).get_data(
        as_text=True
    )
    assert 'id="strands-refused"' in page
    assert "<details open><summary>Strands, carriage and settings of them all</summary>" in page


def measured_from(client, make, **typed):
    """Follow the button of a make's fabric to the form of a swatch, and send it."""
    page = client.get(f"/makes/{make}/fabric").get_data(as_text=True)
    (to,) = re.findall(r'href="(/swatches/new\?[^"]*)"', page)
    form = client.get(html.unescape(to)).get_data(as_text=True)
    fields = fields_in(form[form.index('<form class="form') :])
    return client.post(
        "/swatches/new", data={**fields, "stitches": "36", "across": "16.6", "dial": "6", **typed}
    ), fields


def test_a_swatch_that_is_measured_from_a_make_is_one_of_its_swatches(client, store):
    before = store.get("makes", "grey_pullover").doc["swatches"]
    answer, _ = measured_from(client, "grey_pullover", name="grey at 6 again")
    assert (answer.status_code, answer.location) == (303, "/makes/grey_pullover/fabric")
    assert store.get("makes", "grey_pullover").doc["swatches"] == [*before, "grey_at_6_again"]
    assert "one of the swatches of" in client.get(answer.location).get_data(as_text=True)


def test_it_is_undone_as_one_in_the_list_of_changes_and_right_after(client, store):
    before = store.get("makes", "grey_pullover").doc["swatches"]
    for at in ("/makes/grey_pullover/changes", "/makes/grey_pullover/fabric"):
        measured_from(client, "grey_pullover", name="grey at 6 again")
        page = client.get(at).get_data(as_text=True)
        if at.endswith("changes"):
            assert "Grey at 6 again: written down</span>" in page
        form = page[page.index('action="/take-back"') :]
        send = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form[: form.index("</form>")]))
        assert "together" in send
        assert client.post("/take-back", data=send).status_code == 303
        assert store.get("makes", "grey_pullover").doc["swatches"] == before
        assert "grey_at_6_again" not in {swatch.id for swatch in store.household().swatches}


def test_sent_twice_it_is_one_swatch_of_the_make(client, store):
    _, fields = measured_from(client, "grey_pullover", name="grey at 6 again")
    again = {**fields, "stitches": "36", "across": "16.6", "dial": "6", "name": "grey at 6 again"}
    client.post("/swatches/new", data=again)
    named = store.get("makes", "grey_pullover").doc["swatches"]
    assert [key for key in named if key.startswith("grey_at_6_again")] == ["grey_at_6_again"]


def test_a_refused_one_comes_back_with_its_make(client):
    answer, _ = measured_from(client, "grey_pullover", across="")
    assert answer.status_code == 422
    assert '<input type="hidden" name="make" value="grey_pullover">' in answer.get_data(as_text=True)
