"""The measuring walk and the pencil form without JavaScript: rounds, keeping, questions, refusals, taking back."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from urllib.parse import parse_qs, urlsplit

import pytest

from fitcheck.advice.rounds import Round, Step, round_of
from fitcheck.drawing.laid_tape import form_picture, picture
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.places import Place, write_address
from fitcheck.records.points import POINTS as CATALOGUE
from fitcheck.records.readings import Reading
from fitcheck.store.places import lists_of
from tests.webui.lent import lend
from tests.webui.walk_household import HOUSEHOLD, POINTS
from webui.pages.walk.steps import carried_on, typed_text

WALK = "/makes/pullover/walk"
PLACE = "pieces/back/stages/0/readings/"


@pytest.fixture
def store(empty):
    empty.import_bundle(json.dumps(HOUSEHOLD).encode())
    return empty


@pytest.fixture
def client(store):
    return lend(store).test_client()


def readings(store, kind="makes", key="pullover"):
    return [(write_address(path), one) for path, many in lists_of(kind, store.get(kind, key).doc) for one in many]


def kept(store):
    return [(place.removeprefix(PLACE), one["text"]) for place, one in readings(store) if not one.get("set_aside")]


def field(html, name):
    found = re.search(rf'name="{name}" value="([^"]*)"', html)
    assert found, name
    return found[1]


def keep(client, step, text, url=WALK, **more):
    html = client.get(f"{url}{'&' if '?' in url else '?'}point={step}").text
    return client.post(url, data={"step": step, "id": field(html, "id"), "reading": text, **more})


def next_of(answer):
    return {name: one[0] for name, one in parse_qs(urlsplit(answer.location).query).items()}


# Rounds


def once_read(store):
    """Every point was read once, the armhole depth near the edge of what is allowed."""
    wanted = {"shoulder_width": "41.9", "chest": "52.9", "armhole_depth": "20.4", "neck_width": "16.2"}
    wanted |= {"hem": "51.9", "to_underarm": "39.2", "body_length": "64.2"}
    for point, one in wanted.items():
        place = Place.of_readings("makes", "pullover", PLACE + point)
        store.add_reading(place, {"id": f"r-{point}", "text": one, "unit": "cm"})


def asked_for(client):
    """Which point the answer wants read again, and how often; from the page itself."""
    page = client.get("/makes/pullover").text
    return re.search(r'href="(/makes/pullover/walk[^"]*points=[^"]*)"', page)[1].replace("&amp;", "&"), page


def test_a_point_is_read_as_often_as_the_answer_asks_each_time_laid_anew(client, store):
    once_read(store)
    url, page = asked_for(client)
    point = re.search(r"points=(\w+)", url)[1]
    times = int(re.search(r"Measure the [\w ]+? (\d) times more", page)[1])
    assert times > 1
    html, texts = client.get(url).text, [f"20.{5 + n}" for n in range(times)]
    for n in range(1, times + 1):
        assert f"reading {n} of {times}, laid anew" in html
        action = re.search(r'<form method="post" action="([^"]+)" id="form"', html)[1].replace("&amp;", "&")
        answer = client.post(
            action, data={"step": point, "id": field(html, "id"), "reading": texts[n - 1], "do": "keep"}
        )
        assert answer.status_code == 303
        html = client.get(answer.location).text
    assert f"reading {times}" not in html
    assert 'id="end-name"' in html
    document = store.get("makes", "pullover").doc["pieces"][0]["stages"][0]["readings"][point]
    again = [one for one in document if one["text"] in texts]
    assert [one["look"] for one in again] == [2] * times
    assert [one["laying"] for one in again] == list(range(2, 2 + times))


def test_what_a_page_carries_along_of_a_round_is_taken_only_where_it_makes_sense():
    steps = [step("chest", [1, 2]), step("hem", [1])]
    first = Round(2, ("hem",))
    assert carried_on(first, "chest:2:3", steps) == Round(2, ("chest", "hem"), {"chest": 3})
    for odd in ("", "cuff:2:3", "chest:9:3", "chest:2:99", "chest;2"):
        assert carried_on(first, odd, steps) == first


def test_halves_of_a_front_are_offered_only_where_it_is_open(client, store):
    page = client.get(f"{WALK}?begin=1").text
    assert 'value="left_front"' not in page
    assert "An open front is knitted in halves" in page
    stored = store.get("makes", "pullover")
    store.put("makes", "pullover", {**stored.doc, "front_band": "3 cm"}, stored.revision)
    page = client.get(f"{WALK}?begin=1").text
    assert re.findall(r'name="piece" value="([^"]*)"', page) == ["back", "left_front", "right_front", "sleeve"]
    assert "An open front is knitted in halves" not in page


def step(point, looks, side="piece"):
    read = tuple(Reading(text="50 cm", look=look) for look in looks)
    return Step(point, point, side, Place("makes", "m", (point,)), read)


def test_the_first_round_reads_everything_once():
    steps = [step("chest", [1]), step("hem", [])]
    assert round_of(steps, {"chest": {"piece"}}).look == 1
    assert round_of(steps, {"chest": {"piece"}}).steps == ("chest", "hem")


def test_the_second_round_reads_only_what_is_not_settled():
    steps = [step("chest", [1]), step("hem", [1]), step("neck_width", [1])]
    found = round_of(steps, {"hem": {"piece"}})
    assert (found.look, found.steps) == (2, ("hem",))


def test_a_round_that_was_begun_goes_on_where_it_stopped():
    steps = [step("chest", [1, 2]), step("hem", [1]), step("neck_width", [1])]
    found = round_of(steps, {"chest": {"piece"}, "hem": {"piece"}})
    assert (found.look, found.steps) == (2, ("chest", "hem"))


def test_there_are_three_rounds_at_most():
    found = round_of([step("chest", [1, 2, 3]), step("hem", [1])], {"chest": {"piece"}})
    assert (found.look, found.steps) == (None, ())


def test_the_side_that_does_not_settle_it_is_not_read_again():
    steps = [step("chest.garment", [1], "garment"), step("chest", [1])]
    steps = [Step(one.id, "chest", one.side, one.place, one.readings) for one in steps]
    assert round_of(steps, {"chest": {"garment"}}).steps == ("chest.garment",)


def test_what_was_left_out_does_not_hold_up_the_next_round():
    steps = [step("chest", [1]), step("hem", [])]
    assert round_of(steps, {"chest": {"piece"}}, leave_unread=True).steps == ("chest",)


def test_each_round_is_a_laying_of_its_own():
    one = step("chest", [1, 1])
    assert one.laying(1) == 1
    assert one.laying(2) == 2


@pytest.mark.parametrize(
    ("figure", "eighths", "sign", "text"),
    [
        ("20", "3", "", "20 3/8"),
        ("", "4", "", "1/2"),
        ("20", "0", "", "20"),
        ("51,8", "", "", "51,8"),
        ("0.8", "", "short", "−0.8"),
        ("1", "2", "out", "+1 1/4"),
        ("", "", "level", "level"),
        ("-0.8", "", "short", "-0.8"),
    ],
)
def test_figure_eighths_and_sign_become_one_text(figure, eighths, sign, text):
    assert typed_text(figure, eighths, sign) == text


# Pages


def test_points_come_in_the_catalogues_order_and_what_decides_first(client):
    data = json.loads(re.search(r'id="walk-data">(.*?)</script>', client.get(WALK).text, re.DOTALL)[1])
    assert tuple(one["point"] for one in data["steps"]) == POINTS
    assert data["look"] == 1


def test_a_reading_is_kept_with_its_round_and_laying_and_the_next_point_follows(client, store):
    answer = keep(client, "shoulder_width", "41.2")
    assert answer.status_code == 303
    assert next_of(answer)["point"] == "chest"
    (place, one), = readings(store)  # fmt: skip
    assert place == PLACE + "shoulder_width"
    assert (one["text"], one["unit"], one["laying"]) == ("41.2", "cm", 1)
    page = client.get(answer.location).text
    assert "Kept 41.2" in page
    assert "Take 41.2 back" in page


def test_the_same_form_sent_twice_is_one_reading(client, store):
    form = {"step": "chest", "id": field(client.get(f"{WALK}?point=chest").text, "id"), "reading": "51.8"}
    assert [client.post(WALK, data=form).status_code for _ in range(3)] == [303, 303, 303]
    assert kept(store) == [("chest", "51.8")]


def test_taken_back_it_is_set_aside_and_its_text_comes_back(client, store):
    answer = keep(client, "shoulder_width", "41.2")
    said = next_of(answer)
    back = client.post(f"{WALK}/back", data={"step": said["at"], "id": said["kept"]})
    assert 'value="41.2"' in client.get(back.location).text
    assert kept(store) == []
    assert readings(store)[0][1]["set_aside"]


def test_what_is_refused_stays_in_the_field_with_the_reason(client, store):
    answer = keep(client, "chest", "51.2.3")
    assert answer.status_code == 422
    assert 'value="51.2.3"' in answer.text
    assert "One decimal mark is enough: 51.2 or 51,2." in answer.text
    for text in ("", "0", "-5", "260 kg", "x" * 500):
        assert keep(client, "chest", text).status_code == 422
    assert kept(store) == []


def test_on_a_raglan_the_walk_says_where_the_tape_goes_without_a_shoulder(empty):
    back = {"id": "back", "piece": "back", "stages": [{"kind": "blocked"}]}
    fits = {"numbers": {"armhole_depth": "22 cm", "body_length": "61 cm"}}
    empty.put(
        "makes", "grey", {"id": "grey", "name": "grey", "construction": "raglan", "fits": fits, "pieces": [back]}, 0
    )
    page = lend(empty).test_client().get("/makes/grey/walk?point=armhole_depth").text
    assert "From the upper end of the slanting seam straight down to the level of the underarm." in page
    assert "outer end of the shoulder" not in page


def test_a_piece_that_was_only_weighed_off_the_machine_is_asked_about_before_it_is_read(client, store):
    keep(client, "shoulder_width", "41.2")
    stored = store.get("makes", "pullover")
    front = {"id": "front", "piece": "front", "dial": "7", "stages": [{"kind": "off_machine", "grams": 171}]}
    store.put("makes", "pullover", {**stored.doc, "pieces": [*stored.doc["pieces"], front]}, stored.revision)
    for opened in (WALK, f"{WALK}?begin=1"):
        page = client.get(opened).text
        assert "What lies on the table?" in page
        assert re.search(r'value="front"[^>]* checked', page)
        assert re.search(r'value="blocked"[^>]* checked', page)
    answer = client.post(f"{WALK}/begin", data={"piece": "front", "stage": "off_machine", "dial": "7"})
    assert "Front, off the machine" in client.get(answer.location).text


def test_what_is_unlikely_is_asked_about_and_nothing_is_kept_until_it_is_answered(client, store):
    answer = keep(client, "chest", "20.4")
    assert answer.status_code == 200
    assert "20.4 cm for the chest?" in answer.text
    assert "It was inches" in answer.text
    assert kept(store) == []
    form = {
        "step": "chest",
        "id": field(answer.text, "id"),
        "reading": field_value(answer.text),
        "meant": field(answer.text, "meant"),
    }
    assert client.post(WALK, data={**form, "do": "meant"}).status_code == 303
    assert kept(store) == [("chest", "20.4 in")]


def field_value(html):
    return re.search(r'id="reading".*?value="([^"]*)"', html, re.DOTALL)[1]


def test_decimals_that_no_tape_tells_are_asked_about(client, store):
    answer = keep(client, "chest", "51.834")
    assert "51.834? No tape tells so many decimals." in answer.text
    assert kept(store) == []
    form = {"step": "chest", "id": field(answer.text, "id"), "reading": "51.834", "meant": field(answer.text, "meant")}
    assert client.post(WALK, data={**form, "do": "meant"}).status_code == 303
    assert kept(store) == [("chest", "51.8 cm")]
    for fine in ("51.85", "20.125 in"):
        assert "so many decimals" not in keep(client, "chest", fine).text


def test_without_a_script_the_unit_is_changed_with_what_was_typed(client, store):
    page = keep(client, "chest", "51.8", do="unit")
    assert page.status_code == 200
    assert field_value(page.text) == "51.8 cm"
    assert 'value="unit" formnovalidate aria-label="in: change to cm">in</button>' in page.text
    form = {"step": "chest", "id": field(page.text, "id"), "reading": "20", "eighths": "3", "do": "unit"}
    back = client.post(WALK, data=form)
    assert field_value(back.text) == "20 3/8 in"
    # Enter is Keep, not the unit.
    buttons = re.findall(r"<button[^>]*>", re.search(r'<form [^>]*id="form".*?</form>', back.text, re.S)[0])
    assert 'name="do"' not in buttons[0]
    assert kept(store) == []


def test_kept_all_the_same_it_is_confirmed(client, store):
    answer = keep(client, "chest", "104")
    form = {"step": "chest", "id": field(answer.text, "id"), "reading": "104", "do": "keep"}
    assert client.post(WALK, data=form).status_code == 303
    assert readings(store)[0][1]["confirmed"] is True


def test_typed_again_the_field_is_empty(client, store):
    answer = keep(client, "chest", "104", do="again")
    assert field_value(answer.text) == ""
    assert kept(store) == []


def test_earlier_readings_are_not_on_the_page_until_the_new_one_is_kept(client, store):
    keep(client, "chest", "51.8")
    page = client.get(f"{WALK}?point=chest").text
    words = re.sub(r"<svg.*?</svg>|<script.*?</script>", "", page, flags=re.DOTALL)
    assert "51.8" not in words
    again = keep(client, "chest", "51.6")
    assert "51.8, 51.6: 0.2 apart" in client.get(again.location).text


@pytest.mark.parametrize(("parts", "apart"), [("8", "1/8"), ("16", "1/16")])
def test_inches_apart_are_written_to_the_finest_fraction_of_the_settings(client, parts, apart):
    # 1/16 lies halfway between two eighths and is written up.
    client.set_cookie("unit", "in")
    client.set_cookie("parts", parts)
    keep(client, "chest", "20 1/2")
    again = keep(client, "chest", "20 9/16")
    assert f"20 1/2, 20 9/16: {apart} apart" in client.get(again.location).text


def test_after_the_last_point_the_answer_and_what_is_left_out_are_offered(client):
    for point, text in zip(POINTS[:-1], ("41.9", "52.9", "21.2", "16.1", "51.9", "39.0"), strict=True):
        assert keep(client, point, text).status_code == 303
    page = client.get(f"{WALK}?done=1").text
    assert "1 left out" in page
    assert "Read the body length" in page
    assert "See the answer" in page


def test_overhangs_need_to_say_which_way(client, store):
    url = f"{WALK}?how=overhang"
    assert keep(client, "chest", "0.8", url).status_code == 422
    assert keep(client, "chest", "0.8", url, sign="short").status_code == 303
    assert keep(client, "hem", "", url, sign="level").status_code == 303
    assert [(place.split("/")[-1], one["text"]) for place, one in readings(store)] == [
        ("chest", "−0.8"),
        ("hem", "level"),
    ]


def test_inches_come_from_whole_number_and_eighths(client, store):
    client.set_cookie("unit", "in")
    assert keep(client, "chest", "20", eighths="3").status_code == 303
    assert keep(client, "hem", "20.5", eighths="3").status_code == 422
    assert kept(store) == [("chest", "20 3/8")]
    assert readings(store)[0][1]["unit"] == "in"


def test_a_piece_that_was_never_laid_down_is_asked_about_first(client, store):
    stored = store.get("makes", "pullover")
    document = stored.doc
    document["pieces"] = []
    store.put("makes", "pullover", document, stored.revision)
    page = client.get(WALK)
    assert "What lies on the table?" in page.text
    answer = client.post(f"{WALK}/begin", data={"piece": "sleeve", "stage": "rested"})
    assert answer.status_code == 303
    (piece,) = store.get("makes", "pullover").doc["pieces"]
    assert (piece["piece"], piece["stages"][0]["kind"]) == ("sleeve", "rested")
    assert client.get(answer.location).status_code == 200


def test_the_next_piece_joins_the_make_and_the_same_one_is_not_doubled(client, store):
    assert "What lies on the table?" in client.get(f"{WALK}?begin=1").text
    for _ in range(2):
        assert client.post(f"{WALK}/begin", data={"piece": "front", "stage": "blocked"}).status_code == 303
    pieces = store.get("makes", "pullover").doc["pieces"]
    assert [(one["id"], len(one["stages"])) for one in pieces] == [("back", 1), ("front", 1)]
    assert client.post(f"{WALK}/begin", data={"piece": "hood"}).status_code == 400


def test_the_other_of_two_sleeves_that_nobody_calls_left_or_right_is_a_piece_of_its_own(client, store):
    address = "/makes/pullover/walk/begin"
    assert "other_sleeve" not in client.get(address).get_data(as_text=True)
    for sleeve in ("sleeve", "other_sleeve", "other_sleeve"):
        assert client.post(address, data={"piece": sleeve, "stage": "blocked"}).status_code == 303
    pieces = [(piece["id"], piece["piece"]) for piece in store.get("makes", "pullover").doc["pieces"]]
    assert pieces[-2:] == [("sleeve", "sleeve"), ("other_sleeve", "sleeve")]


def test_a_piece_blocked_again_is_read_at_a_stage_of_its_own(client, store):
    keep(client, "chest", "51.8")
    assert "How was the back finished?" in client.get(f"{WALK}?begin=1&piece=back").text
    assert client.post(f"{WALK}/begin?piece=back", data={"stage": "blocked"}).status_code == 303
    keep(client, "chest", "52.6")
    assert [place.split("/")[3] for place, _ in readings(store)] == ["0", "1"]


@pytest.mark.parametrize("path", ["", "/standing"])
def test_what_is_not_there_is_not_found(client, path):
    assert client.get(f"/makes/nobody/walk{path}").status_code == 404
    assert client.get(f"{WALK}{path}?piece=hood").status_code == 404
    assert client.post(WALK, data={"step": "hood", "reading": "5"}).status_code == 404


def test_figures_do_not_part_from_their_units_in_the_answer_that_a_script_shows(empty):
    empty.import_bundle((files("demo_garments") / "household.json").read_bytes())
    answer = lend(empty).test_client().get("/makes/grey_pulled_long/walk/standing?piece=back")
    assert "44.6\u00a0cm at the shoulder: 3\u00a0% wider" in answer.json["headline"]


@pytest.mark.full
def test_every_piece_of_the_demo_can_be_walked(empty):
    empty.import_bundle((files("demo_garments") / "household.json").read_bytes())
    client = lend(empty).test_client()
    walked = [(make.id, piece.id) for make in empty.household().makes for piece in make.pieces]
    assert len(walked) >= 10
    # Of every piece one of the ways, and of every second one its form on paper.
    for place, (make, piece) in enumerate(walked):
        how = ("piece", "overhang", "both")[place % 3]
        assert client.get(f"/makes/{make}/walk?piece={piece}&how={how}").status_code == 200, (make, piece)
        assert place % 2 or client.get(f"/makes/{make}/pencil?piece={piece}").status_code == 200, (make, piece)


# The pencil form


def form_of(client, how="piece"):
    page = client.get(f"/makes/pullover/pencil/typed?how={how}").text
    return {"id": field(page, "id")}


def test_the_form_has_three_blanks_a_point_and_every_tape(client):
    page = client.get("/makes/pullover/pencil").text
    assert page.count('<td><span class="blank"></span></td>') == 3 * len(POINTS)
    assert page.count('class="t-key"') == len(POINTS)


def test_a_filled_form_becomes_readings_of_three_layings(client, store):
    form = form_of(client) | {"chest-0": "51.8", "chest-1": "51,6", "chest-2": "51.9", "hem-0": "50.4"}
    url = "/makes/pullover/pencil/typed"
    assert client.post(url, data=form).status_code == 303
    assert client.post(url, data=form).status_code == 303  # sent twice
    chest = [(one["text"], one["laying"]) for place, one in readings(store) if place.endswith("chest")]
    assert chest == [("51.8", 1), ("51,6", 2), ("51.9", 3)]
    assert ("hem", "50.4") in kept(store)
    assert len(readings(store)) == 4


def test_one_refused_field_keeps_nothing_and_loses_nothing(client, store):
    form = form_of(client) | {"chest-0": "51.8", "hem-1": "50.4.1"}
    answer = client.post("/makes/pullover/pencil/typed", data=form)
    assert answer.status_code == 422
    assert kept(store) == []
    assert 'value="51.8"' in answer.text
    assert 'value="50.4.1"' in answer.text
    assert "One decimal mark is enough" in answer.text
    assert field(answer.text, "id") == form["id"]


def test_unlikely_figures_are_asked_about_together_and_kept_when_ticked(client, store):
    form = form_of(client) | {"chest-0": "20.4", "hem-0": "104", "neck_width-0": "17.0"}
    url = "/makes/pullover/pencil/typed"
    answer = client.post(url, data=form)
    assert "2 figures are unlikely" in answer.text
    assert kept(store) == []
    ticked = form | {"chest-0": "20.4 in", "keep-hem-0": "104"}
    assert client.post(url, data=ticked).status_code == 303
    confirmed = {one["text"]: one.get("confirmed", False) for _, one in readings(store)}
    assert confirmed == {"20.4 in": False, "104": True, "17.0": False}


def test_a_form_that_was_filled_in_another_state_begins_that_stage_with_what_it_says(client, store):
    stages = store.get("makes", "pullover").doc["pieces"][0]["stages"]
    assert [stage["kind"] for stage in stages] == ["blocked"]
    form = form_of(client) | {"stage": "rested", "chest-0": "20.4"}
    asked = client.post("/makes/pullover/pencil/typed", data=form)  # unlikely: nothing is kept, the stage neither
    assert re.search(r'value="rested"[^>]*checked', asked.text)
    assert store.get("makes", "pullover").doc["pieces"][0]["stages"] == stages
    for _ in range(2):
        assert client.post("/makes/pullover/pencil/typed", data=form | {"chest-0": "51.8"}).status_code == 303
    blocked, rested = store.get("makes", "pullover").record.pieces[0].stages
    assert (rested.kind, [reading.text for reading in rested.readings["chest"]]) == ("rested", ["51.8"])
    assert blocked.readings == {}


def test_an_empty_form_says_that_one_figure_is_needed(client):
    answer = client.post("/makes/pullover/pencil/typed", data=form_of(client))
    assert answer.status_code == 422
    assert "One figure at least" in answer.text


# The drawing


@pytest.mark.parametrize("piece", ["back", "front", "left_front", "right_front", "sleeve", "side_panel"])
def test_the_tape_is_two_centimetres_wide_in_the_drawings_own_scale(piece):
    keys = {"sleeve": ["upper_arm"], "side_panel": ["panel_width"]}.get(piece, ["chest"])
    measures = {
        "chest": 500.0,
        "shoulder_width": 400.0,
        "hem": 500.0,
        "body_length": 600.0,
        "armhole_depth": 200.0,
        "upper_arm": 360.0,
        "sleeve_length": 500.0,
        "cuff": 200.0,
        "panel_width": 100.0,
        "panel_length": 400.0,
    }
    drawn = picture(piece, measures, keys, "cm")
    inside = drawn.tapes[keys[0]].inside
    long, wide = (float(re.search(rf'{name}="([\d.]+)"', inside)[1]) for name in ("width", "height"))
    # As long as it is read, and 20 mm wide, in one scale.
    assert long / wide == pytest.approx(measures[keys[0]] / 20.0, rel=0.02)


def test_every_tape_lies_inside_the_drawing():
    for piece in ("back", "front", "left_front", "sleeve", "side_panel"):
        keys = [key for key, point in CATALOGUE.items() if piece in point.pieces]
        for construction in CONSTRUCTIONS:
            drawn = picture(piece, {}, keys, "in", construction=construction)
            assert set(drawn.tapes) == set(keys)
            for laid in drawn.tapes.values():
                for x, y in re.findall(r'<text class="tape-ab" x="([-\d.]+)" y="([-\d.]+)"', laid.inside):
                    assert 0 <= float(x) <= 288
                    assert -2 <= float(y) <= drawn.height + 2


@pytest.mark.parametrize("piece", ["back", "front", "left_front", "right_front", "sleeve"])
def test_the_figures_of_the_pencil_form_keep_off_the_outline_and_on_the_sheet(piece):
    usual = ("neck_width", "shoulder_drop", "shoulder_width", "armhole_depth", "chest", "to_underarm", "body_length")
    keys = [key for key in usual if piece in CATALOGUE[key].pieces] or ["sleeve_length", "upper_arm"]
    box, inside = form_picture(piece, {}, keys)
    height = float(box.split()[3])
    discs = [[float(x), float(y)] for x, y in re.findall(r'class="t-key" cx="([-\d.]+)" cy="([-\d.]+)"', inside)]
    assert len(discs) == len(keys)
    # Corners of the outline, and the middles of its straight stretches.
    d = re.search(r'<path class="ghost" d="([^"]+)"', inside)[1]
    corners = [[float(x), float(y)] for x, y in re.findall(r"([-\d.]+) ([-\d.]+)(?=[A-Z ]|$)", d)]
    for x, y in discs:
        assert 9 <= x <= 279
        assert 9 <= y <= height - 9
        assert all(((x - a) ** 2 + (y - b) ** 2) ** 0.5 > 9 for a, b in corners), (piece, x, y)


def test_no_two_figures_of_the_pencil_forms_drawing_meet():
    _, inside = form_picture("back", {}, POINTS)
    discs = [
        (float(x), float(y)) for x, y in re.findall(r'<circle class="t-key" cx="([-\d.]+)" cy="([-\d.]+)"', inside)
    ]
    assert len(discs) == len(POINTS)
    for number, one in enumerate(discs):
        for other in discs[number + 1 :]:
            assert ((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5 >= 18


def test_the_sheet_has_room_for_dial_counts_and_state_and_the_grid_for_what_was_written_there(client, store):
    page = client.get("/makes/pullover/pencil").text
    for label in ("Off the machine", "Washed, blocked and dry", "Stitches, chest", "Rows, length to underarm", "Dial"):
        assert label.casefold() in page.casefold(), label
    url = "/makes/pullover/pencil/typed"
    form = form_of(client) | {"chest-0": "51.8", "dial": "7.1", "count-chest": "118 sts", "count-hem": "116"}
    assert client.post(url, data=form).status_code == 303
    piece = store.get("makes", "pullover").record.pieces[-1]
    assert (piece.dial.written(), piece.counts["chest"].best, piece.counts["hem"].best) == ("7.1", 118, 116)
    assert ("chest", "51.8") in kept(store)
    assert (
        "Kept how the back was knitted."
        in client.post(url, data=form_of(client) | {"dial": "7.1", "count-chest": "119"}, follow_redirects=True).text
    )
    form["count-chest"] = "119"
    untouched = {"id": "again", "dial": "7.1", "count-chest": "119", "count-hem": "116"}
    assert client.post(url, data=untouched).status_code == 422, "nothing new was typed"
    # What stands there is in the grid, and what is left empty on paper takes nothing back.
    page = client.get(url).text
    assert re.search(r'name="count-chest" value="119"', page)
    assert re.search(r'name="dial" value="7.1"', page)
    assert client.post(url, data=form_of(client) | {"dial": "", "hem-0": "50.1"}).status_code == 303
    assert store.get("makes", "pullover").record.pieces[-1].dial.written() == "7.1"


def test_a_count_that_is_none_is_refused_beside_its_field_and_nothing_is_kept(client, store):
    form = form_of(client) | {"chest-0": "51.8", "count-chest": "many"}
    answer = client.post("/makes/pullover/pencil/typed", data=form)
    assert answer.status_code == 422
    assert "Not taken: many." in answer.text
    assert 'value="51.8"' in answer.text
    assert kept(store) == []
