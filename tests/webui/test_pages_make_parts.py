"""What belongs to a make beside its answer: its fabric, its sizes, the counts for what is still to knit; commas."""

from __future__ import annotations

import html
import re

import pytest

from fitcheck import words
from fitcheck.terminal.report import printed
from fitcheck.words.figures import CM
from tests.invented import in_turn, report_of

from .test_pages_make import browser, invented_file, said, undo_of  # noqa: F401 - fixtures of that page
from .test_pages_table import heading

MAKES = (
    "grey_pullover",
    "blue_cotton_pullover",
    "moss_drop_shoulder",
    "grey_pulled_long",
    "grey_forgotten_decreases",
    "blue_cotton_loose",
    "childs_school_pullover",
    "moss_pullover_slip",
    "grey_miscounted",
    "grey_cardigan",
    "moss_first",
    "childs_play_pullover",
    "grey_unwashed",
)


def words_of(page: str) -> str:
    """What is to be read on a page, without its drawings."""
    main = re.sub(r"<svg.*?</svg>", " ", page[page.index("<main") : page.index("</main>")], flags=re.S)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", main)))


CELLS = {" knit": "knit", "": "gives"}
"""The columns of a table of counts by their class: the count to knit, what it gives."""


def words_in(text: str) -> str:
    """What is to be read of a piece of a page, with single spaces."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def counts_of(page: str, piece: str) -> dict[str, dict[str, str]]:
    """The table of counts of a piece: its cells by point and column."""
    table = re.search(rf'<table class="count-table" aria-label="{piece}[^"]*">.*?</table>', page, re.S)
    assert table, piece
    rows = {}
    for name, cells in re.findall(r'<th scope="row">([^<]*)</th>(.*?)</tr>', table[0], re.S):
        before = re.search(r'<small class="(?:from|like)">(.*?)</small>', cells, re.S)[1]
        listed = re.findall(
            r'<td class="num([^"]*)">(.*?)</td>', re.sub(r"<small.*?</small>", "", cells, flags=re.S), re.S
        )
        rows[name] = {CELLS[column]: words_in(text) for column, text in listed} | {"from": words_in(before)}
    return rows


def change(browser, **fields) -> None:  # noqa: F811 - the fixture's own name
    stored = browser.store.get("makes", "grey_pullover")
    browser.store.put("makes", "grey_pullover", {**stored.doc, **fields}, stored.revision)


def planned(browser, **fields) -> str:  # noqa: F811
    """The grey pullover before anything of it is knitted; returns where it stands."""
    document = browser.store.get("makes", "grey_pullover").doc
    del document["pieces"]
    browser.store.put("makes", "to_come", {**document, "id": "to_come", "name": "to come", **fields}, 0)
    return "/makes/to_come"


# Counts for the rest


def test_the_list_of_counts_agrees_with_the_recommendation_and_marks_the_change_in_words(browser):  # noqa: F811
    page = browser.read("/makes/grey_pullover")
    assert heading(page) == "Carry on. Knit the front wider: chest 126, hem 120 stitches."
    told = re.search(r"(\d+) stitches instead of (\d+) at the chest", html.unescape(page))
    more = int(told[1]) - int(told[2])
    front = counts_of(page, "The front")
    assert (front["chest"]["from"], front["chest"]["knit"]) == (f"instead of {told[2]}", f"{told[1]} st")
    assert more > 0
    assert re.findall(r'<tr class="new"><th scope="row">(.*?)</th>', page) == ["hem", "chest"]
    assert (front["shoulder"]["from"], front["shoulder"]["knit"]) == ("", "94 st")
    # 126 stitches against the back's own 119 in the same fabric.
    back = 53.4 / 119
    assert float(front["chest"]["gives"].removesuffix(" cm")) == pytest.approx(126 * back, abs=0.15)


def test_counts_that_nobody_gave_are_asked_for_and_kept_as_planned(browser):  # noqa: F811
    at = "/makes/blue_cotton_loose"
    page = browser.read(at)
    assert "If the front’s chest was planned otherwise, say its count." in page
    refused = browser.post(f"{at}/planned", kind="front", point="chest", count="12o")
    assert refused.status_code == 422
    assert 'value="12o"' in refused.get_data(as_text=True)
    assert "<b>Not taken: 12o.</b>" in refused.get_data(as_text=True)
    assert browser.post(f"{at}/planned", kind="front", point="chest", count="122").status_code == 303
    page = browser.read(at)
    assert browser.store.get("makes", "blue_cotton_loose").doc["planned"]["front"]["chest"] == 122
    assert counts_of(page, "The front")["chest"]["knit"] == "122 st"
    assert "If the front’s chest was planned otherwise" not in page
    browser.post("/undo", **undo_of(page))
    assert "planned" not in browser.store.get("makes", "blue_cotton_loose").doc
    assert browser.post(f"{at}/planned", kind="sleeve", point="chest", count="80").status_code == 404


def test_a_column_of_counts_that_would_be_empty_is_not_there(browser):  # noqa: F811
    def columns(page, piece):
        table = re.search(rf'<table class="count-table" aria-label="{piece}[^"]*">.*?</table>', page, re.S)[0]
        return re.findall(r'<th scope="col"[^>]*>(.*?)</th>', table), table

    names, table = columns(browser.read("/makes/grey_pullover"), "The front")
    assert names == ["at", "knit", "gives"]
    assert table.count("<td") == 2 * table.count('<th scope="row">')
    # Laid on a sweater, without a count or a swatch: only how much wider the front is to be.
    laid = browser.post("/piece", piece="back", way="laid", stage="blocked", own_chest="-1.2").headers["Location"]
    names, table = columns(browser.read(laid), "The front")
    assert names == ["at", "knit"]
    assert re.search(r"[\d.]+ cm wider", table)


def test_a_piece_that_is_knitted_again_at_another_dial_keeps_its_planned_counts(browser):  # noqa: F811
    page = browser.read("/makes/blue_cotton_loose")
    assert heading(page) == "Knit the back again at dial 7.1, with the planned counts."
    back = counts_of(page, "The back, knitted again")
    assert '<tr class="new">' not in page
    # 120 planned stitches; the back's 120 measured 59.8 at dial 8.2 and wanted were 55.0.
    assert back["chest"]["knit"] == "120 st"
    assert 53 < float(back["chest"]["gives"].removesuffix(" cm")) < 56


def test_of_half_a_pair_the_other_half_is_still_to_knit_with_the_same_counts(browser):  # noqa: F811
    page = browser.read("/makes/grey_cardigan")
    chest = counts_of(page, "The right front")["chest"]
    assert (chest["from"], chest["knit"]) == ("as the left front", "61 st")
    assert 'aria-label="The front"' not in page
    assert 'aria-label="The right sleeve"' in page


def test_a_count_that_breaks_the_repeat_or_the_bed_says_so(browser):  # noqa: F811
    assert "Chest and hem are whole repeats of 2." in words_of(browser.read("/makes/grey_pullover"))
    change(browser, multiple=4, balance=1)
    told = words_of(browser.read("/makes/grey_pullover"))
    # What is changed is changed to whole repeats; what stands as it was planned is said.
    assert "Chest and hem are whole repeats of 4 and 1 over." in told or "no whole number of repeats of 4" in told
    front = counts_of(browser.read("/makes/grey_pullover"), "The front")
    assert int(front["chest"]["knit"].split()[0]) % 4 == 1
    stored = browser.store.get("machines", "standard_bed")
    browser.store.put("machines", "narrow_bed", {**stored.doc, "id": "narrow_bed", "needles": 124}, 0)
    change(browser, machine="narrow_bed")
    # The bed is a wall: the front has no more stitches than it has needles.
    front = counts_of(browser.read("/makes/grey_pullover"), "The front")
    assert int(front["chest"]["knit"].split()[0]) <= 124


@pytest.mark.parametrize("make", in_turn(MAKES))
def test_report_command_and_page_give_the_same_counts_for_the_rest(browser, make):  # noqa: F811
    answer = report_of(make)
    page, text = browser.read(f"/makes/{make}"), printed(answer)
    assert ('id="rest"' in page) == (answer.rest is not None)
    assert bool(re.search(r"^(Counts for the rest|What changes)$", text, re.M)) == (answer.rest is not None)
    for piece in answer.rest.pieces if answer.rest else ():
        title = f"The {piece.kind.replace('_', ' ')}"
        cells = counts_of(page, title) if piece.counts else {}
        of_piece = text[text.index(f"\n  {title}") :].split("\n\n")[0]
        assert len(cells) == len(piece.counts)
        for count in piece.counts:
            name, noun = words.point_name(count.key), "st" if count.across else "rows"
            line = re.search(rf"^    {name} .*$", of_piece, re.M)[0]
            if count.now is not None:
                rib = " and the rib" if count.band_mm else ""
                assert f" {count.now} {noun}{rib} " in line
                assert cells[name]["knit"] == f"{count.now} {noun}{rib}"
            if count.gives_mm is not None:
                gives = f"{CM.bare(count.gives_mm)} cm"
                assert line.endswith(f" {cells[name]['gives']}")
                parts = [float(part) for part in cells[name]["gives"].removesuffix(" cm").split(" + ")]
                assert f"{sum(parts):.1f} cm" == gives
                assert len(parts) == (2 if count.band_mm else 1)


# The fabric


@pytest.mark.parametrize("make", in_turn(MAKES))
@pytest.mark.parametrize("unit", ["cm", pytest.param("in", marks=pytest.mark.full)])
def test_every_make_has_a_page_of_its_fabric_and_of_its_sizes(browser, make, unit):  # noqa: F811
    browser.client.set_cookie("unit", unit, domain="localhost")
    for part in ("fabric", "sizes"):
        page = browser.read(f"/makes/{make}/{part}")
        assert heading(page)
        assert f'href="/makes/{make}"' in page
        assert " mm round" not in page
    assert f'href="/makes/{make}/fabric"' in browser.read(f"/makes/{make}")


def test_the_dial_of_the_fabric_is_the_dial_of_the_advice(browser):  # noqa: F811
    page = browser.read("/makes/blue_cotton_loose/fabric")
    assert heading(page) == "Knit the back again at dial 7.1."
    assert "There the planned counts come out as wanted." in page
    assert "The next piece at dial 7.1" in page
    assert "8.2: what is seamed" not in page + browser.read("/makes/blue_cotton_loose")


def test_a_knitted_back_keeps_its_dial_and_another_sweater_is_told_the_best(browser):  # noqa: F811
    page = browser.read("/makes/grey_pullover/fabric")
    assert heading(page) == "Stay at dial 7 for the rest."
    why = "What is seamed to the back keeps its dial, and the front’s counts make up the width."
    assert why in html.unescape(page)
    assert ">chance</th>" in page
    assert "For another sweater of this pattern, dial 7.1 meets the wanted gauge" in page
    rows = re.findall(r'<tr><th scope="row">(stitches[^<]*)</th>', page)
    assert rows[:2] == ["stitches, blocked and dry", "stitches, as the pattern prints"]


def test_no_fabric_page_says_that_the_counts_meet_widths_that_nothing_is_changed_for(browser):  # noqa: F811
    for make in MAKES:
        head = html.unescape(browser.read(f"/makes/{make}/fabric"))
        rest = browser.read(f"/makes/{make}")
        assert "counts meet" not in head
        if "make up the width" in head:
            assert re.search(
                r'<tr class="new">.*?<td class="num knit"><span>(\d+ st|[\d.]+.cm (wider|narrower))', rest, re.S
            ), make
    assert "make up the width" not in browser.read("/makes/moss_pullover_slip/fabric")


def test_a_piece_that_keeps_its_dial_asks_for_no_swatch(browser):  # noqa: F811
    page = browser.read("/makes/childs_school_pullover/fabric")
    assert "Stay at dial 5 for the rest" in html.unescape(heading(page))
    assert 'class="btn main"' not in page
    assert "Swatch next at dial" not in page


def test_a_finished_sweater_keeps_what_was_learned_of_its_fabric(browser):  # noqa: F811
    page = browser.read("/makes/moss_first/fabric")
    assert heading(page) == "At dial 7: 22.7 stitches and 30.9 rows to 10 cm."
    assert "Of the next piece, blocked and dry; likely " in page


def test_lengths_have_what_is_wanted_and_differences_their_unit(browser):  # noqa: F811
    page = browser.read("/makes/grey_pullover/sizes")
    assert "The difference in cm; brackets" in page
    row = re.search(r'scope="row">Body length<small>wanted ([\d.]+)</small></th>(.*?)</tr>', page, re.S)
    finished, off = re.findall(r"<td[^>]*>([\d.]+)<small><span>([^<]+)</span>", row[2])[0]
    assert float(row[1]) == pytest.approx(float(finished) - float(off.replace("−", "-")), abs=0.11)


def test_sizes_and_fabric_speak_inches_where_inches_are_chosen(browser):  # noqa: F811
    browser.post("/unit", unit="in", back="/")
    sizes, fabric = (words_of(browser.read(f"/makes/grey_pullover/{one}")) for one in ("sizes", "fabric"))
    assert "The difference in inches; brackets" in sizes
    assert "In in" not in sizes
    assert "in each" in fabric
    assert " mm" not in fabric
    assert ">stitches to 4 in</text>" in browser.read("/makes/grey_pullover/fabric")
    answer, piece = (words_of(browser.read(f"/makes/grey_pullover{one}")) for one in ("", "/pieces/back"))
    assert "difference in inches" in answer
    assert ", in inches. Open a point" in piece


def test_before_the_first_piece_the_heading_says_which_dial(browser):  # noqa: F811
    assert heading(browser.read(f"{planned(browser)}/fabric")) == "Dial 7.1 meets the wanted gauge."


def test_one_swatch_asks_for_a_second_at_another_dial_and_has_a_band_and_no_line(browser):  # noqa: F811
    page = browser.read(f"{planned(browser, swatches=['grey_at_7'])}/fabric")
    assert heading(page) == "One swatch so far: a second, at another dial than 7, tells most."
    assert 'class="undetermined"' in page
    assert 'class="p-band"' in page
    assert "No cross-check" in page


def test_without_a_swatch_the_width_is_assumed_from_the_pattern_and_one_button_starts(browser):  # noqa: F811
    page = browser.read(f"{planned(browser, swatches=[])}/fabric")
    assert heading(page) == "No swatch yet: the width is assumed from the pattern."
    assert page.count("btn main") == 1
    to = html.unescape(re.search(r'<a class="btn main" href="([^"]+)"', page)[1])
    assert browser.get(to).status_code == 200


def test_another_lot_is_named(browser):  # noqa: F811
    assert "Other lot:" not in browser.read("/makes/grey_pullover/fabric")
    stored = browser.store.get("swatches", "grey_at_8")
    browser.store.put("swatches", "grey_at_8", {**stored.doc, "lot": "bath 9"}, stored.revision)
    assert "of lot bath 9." in browser.read("/makes/grey_pullover/fabric")


# Which size


def test_once_a_back_is_knitted_the_sizes_are_told_beside_it(browser):  # noqa: F811
    head = "The back is knitted in size 3."
    told = "As the table has it that size comes nearest: 1 in 10 that every width fits."
    page = browser.read("/makes/grey_pullover/sizes")
    assert heading(page) == head
    assert told in page
    assert f"{head} {told}" in html.unescape(browser.read("/makes/grey_pullover"))
    assert "Knit size" not in page
    assert "Counts of your own" not in page


def test_before_the_first_piece_two_sizes_say_their_dial_the_advised_one_and_what_decides(browser):  # noqa: F811
    page = browser.read(f"{planned(browser)}/sizes")
    # Of the swatched dials 7 comes nearest to the gauge; there size 3 is narrow, and 124 stitches are not.
    assert heading(page) == "Do not knit size 3: the chest comes out 52.5 cm, not 54.1."
    assert "124 stitches at dial 7 give 54.3." in page
    assert "At which click" in words_of(page)
    assert "All the other figures are for dial 7." in words_of(page)
    assert re.search("The [a-z ]+ decides between them, for size", words_of(page))
    assert "Counts of your own" in page


def test_another_dial_than_the_advised_one_can_be_asked_for(browser):  # noqa: F811
    at = planned(browser)
    page = browser.read(f"{at}/sizes")
    # Every click between the swatched dials 6 and 8 is there, 7 as the one that all is reckoned for.
    assert re.findall(r'href="[^"]+/sizes\?dial=([\d.]+)"', page) == ["6", "6.1", "6.2", "7.1", "7.2", "8"]
    assert re.findall(r'<span aria-current="true">([^<]+)</span>', page) == ["7"]
    there = browser.read(f"{at}/sizes?dial=8")
    assert "at dial 8 give" in there
    assert "All the other figures are for dial 8." in words_of(there)
    assert "at dial 9 first, wash and block it" in browser.read(f"{at}/sizes?dial=9")
    assert heading(browser.read(f"{at}/sizes?dial=seven")) == heading(page)


def test_any_other_size_can_stand_beside_the_best(browser):  # noqa: F811
    assert "Size 3 beside size 4" in browser.read("/makes/grey_pullover/sizes")
    page = browser.read("/makes/grey_pullover/sizes?beside=2")
    assert "The back is knitted in size 3." in page, "a size that is looked at is not the one that is knitted"
    assert "Size 3 beside size 2" in page
    assert '<option value="2" selected>' in page
    assert "Size 3 beside size 4" in browser.read("/makes/grey_pullover/sizes?beside=nine")


def test_a_table_that_was_changed_after_casting_on_is_said(browser):  # noqa: F811
    assert "after the first piece was cast on" not in browser.read("/makes/grey_pullover/sizes")
    stored = browser.store.get("size_tables", "round_neck_pullover")
    browser.store.put("size_tables", stored.key, {**stored.doc, "name": "another name"}, stored.revision)
    assert "after the first piece was cast on" in browser.read("/makes/grey_pullover/sizes")


def test_without_sizes_one_button_pastes_or_types_them(browser):  # noqa: F811
    page = browser.read("/makes/moss_first/sizes")
    assert heading(page) == "No sizes of a pattern were typed yet."
    assert re.search(r'<a class="btn main" href="/size-tables/new">Paste or type the sizes</a>', page)


# The decimal mark


@pytest.mark.parametrize("make", ["grey_pullover", "moss_drop_shoulder", "grey_pulled_long", "grey_unwashed"])
def test_with_a_comma_no_computed_figure_has_a_point(browser, make):  # noqa: F811
    browser.client.set_cookie("mark", "comma", domain="localhost")
    for part in ("", "/fabric", "/sizes"):
        page = browser.read(f"/makes/{make}{part}")
        # Readings stand as they were typed, and a dial is no decimal number: 7.1 is one click beyond 7.
        computed = re.sub(r'<ul class="kept">.*?</ul>', "", page, flags=re.S)
        texts = [*re.findall(r">([^<>]+)<", computed), *re.findall(r'aria-label="([^"]*)"', computed)]
        for text in texts:
            bare = re.sub(r"(dial |at |^\s*)\d+\.[12]\b", "", text)
            assert not re.search(r"\d\.\d", bare), (part, text)
    assert re.search(r"\d,\d cm", words_of(browser.read(f"/makes/{make}")))


def test_the_table_page_has_the_comma_too(browser):  # noqa: F811
    assert "44.6 cm" in browser.read("/")
    browser.client.set_cookie("mark", "comma", domain="localhost")
    page = browser.read("/")
    assert "44,6 cm" in page
    assert "44.6 cm" not in page


def test_was_and_now_have_the_comma_too(browser):  # noqa: F811
    browser.client.set_cookie("mark", "comma", domain="localhost")
    fields = re.search(r'name="revision" value="(\d+)"', browser.read("/makes/grey_pulled_long/fits"))
    assert fields
    browser.post("/makes/grey_pulled_long/planned", kind="sleeve", point="upper_arm", count="84")
    browser.post("/makes/blue_cotton_loose/planned", kind="front", point="chest", count="122")
    assert not re.search(r"\d\.\d cm", said(browser.read("/makes/blue_cotton_loose")))


def strip_of(page):
    """The rows of the strip of clicks, by what stands in front."""
    table = re.search(r'<table role="table" class="tape-table named.*?</table>', page, re.S)[0]
    rows = re.findall(r"<tr.*?</tr>", table, re.S)
    told = [
        [
            " ".join(re.sub(r"<[^>]+>", " ", cell).split())
            for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S)
        ]
        for row in rows
    ]
    return {name: cells for name, *cells in told}


def test_the_strip_says_of_every_click_what_its_own_page_says(browser):  # noqa: F811
    at = planned(browser)
    page = browser.read(f"{at}/sizes")
    strip = strip_of(page)
    dials, best = strip[""], strip["nearest size"]
    assert dials == ["6", "6.1", "6.2", "7", "7.1", "7.2", "8"]
    stitches = [float(text.split()[0]) for text in strip["stitches to 10 cm (dots: swatched)"]]
    assert stitches == sorted(stitches, reverse=True)
    assert [text.endswith("swatched") for text in strip["stitches to 10 cm (dots: swatched)"]] == [
        dial in ("6", "7", "8") for dial in dials
    ]
    for place in (1, 3, 6):
        there = browser.read(f"{at}/sizes?dial={dials[place]}")
        assert strip_of(there) == strip
        assert re.search(r'<th [^>]*class="o0 best"><b>([^<]+)</b>', there)[1] == best[place]
    fabric = browser.read(f"{at}/fabric")
    for dial, figure in zip(dials, stitches, strict=True):
        assert re.search(rf'<th scope="row">{re.escape(dial)}</th>\s*<td class="num">{figure}\b', fabric)


def test_a_size_is_chosen_in_its_column_and_can_be_taken_back(browser):  # noqa: F811
    at = planned(browser)
    key = at.rpartition("/")[2]
    page = browser.read(f"{at}/sizes")
    assert re.findall(r'name="size" value="([^"]+)">([^<]+)</button>', page).count(("4", "Knit size 4")) == 1
    before = browser.store.get("makes", key)
    told = browser.read(browser.post(f"{at}/size", size="4").location)
    after = browser.store.get("makes", key)
    assert before.record.size == "3"
    assert after.record.size == "4"
    assert 'action="/undo"' in told
    page = browser.read(f"{at}/sizes")
    assert re.search(r'<b>4</b><span class="chosen">chosen</span>', page)
    assert 'value="4"' not in re.findall(r"<button[^>]*name=\"size\"[^>]*>", page)
    again = browser.read(browser.post(f"{at}/size", size="4").location)
    assert browser.store.get("makes", key).revision == after.revision  # sent again it changes nothing
    assert 'action="/undo"' not in again


def test_a_size_that_the_table_has_not_is_not_there(browser):  # noqa: F811
    assert browser.post(f"{planned(browser)}/size", size="11").status_code == 404


def test_columns_are_ordered_by_nearness_and_the_best_one_is_first(browser):  # noqa: F811
    page = browser.read(f"{planned(browser)}/sizes?dial=6.1")
    heads = re.findall(r'<th role="columnheader" scope="col" class="o(\d+)( best)?"><b>([^<]+)</b>', page)
    near = {name: int(place) for place, best, name in heads[:6]}
    assert near["4"] == 0
    assert {near["3"], near["5"]} == {1, 2}
    assert [name for _, best, name in heads[:6] if best] == ["4"]


def test_what_is_said_of_every_open_point_alike_stands_once_above_them(client):
    page = client.get("/makes/grey_unwashed").text
    assert page.count('class="opened"') == 1
    assert page.count("Wash and block the back, let it dry, then read it.") == 1
    above, _, points = page.partition('<ol class="opened">')
    assert "Wash and block the back, let it dry, then read it." in above
    # Six are open: the two on which the deed hangs stand open, the others are a line each, before those that match.
    assert points.count('<li id="p-') == 2
    assert points.partition(" match")[0].count('<details class="line"') == 4


def test_of_many_open_points_the_second_is_a_line_where_nothing_can_be_done_about_it(client):
    page = client.get("/makes/grey_pulled_long").text
    assert re.findall(r'<li id="p-(\w+)"', page) == ["shoulder_width"]  # one more reading of the back settles it
    assert "More tape would hardly settle it." in page.partition('<details class="line" id="p-chest">')[2]
    # Of two both stand open.
    assert len(re.findall(r'<li id="p-\w+"', client.get("/makes/moss_drop_shoulder").text)) == 2


def test_what_the_listed_deeds_change_is_one_fold_of_counts(client):
    page = client.get("/makes/moss_drop_shoulder").text
    _, _, fold = page.partition('<span class="label">4 new counts, and more</span></summary>')
    fold = fold.partition("</details>")[0]
    assert re.findall(r"<h3[^>]*>([^<]*)", fold) == [
        "The back, at its lower end",
        "The front",
        "What else changes",
    ]
    assert sum('class="new"' in row for row in fold.split("<tr")) == 4


def test_counts_that_are_those_of_the_piece_before_are_folded_under_its_name(client, store):
    stored = store.get("makes", "blue_cotton_loose")
    document = stored.doc
    # As many rows as its underarm, armhole and shoulder make: the front's sheet has those.
    document["pieces"][0]["counts"]["body_length"] = dict.fromkeys(("planned", "knitted", "counted"), 172)
    store.put("makes", "blue_cotton_loose", document, stored.revision)
    page = client.get("/makes/blue_cotton_loose").text
    assert "The front: 7 counts, as for the back" in page
    back, front = counts_of(page, "The back, knitted again"), counts_of(page, "The front")
    assert {point: row["knit"] for point, row in back.items()} == {point: row["knit"] for point, row in front.items()}
