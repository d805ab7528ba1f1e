"""States that stand on a page only now and then, each brought about, so that a walk over the pages finds its forms."""

from __future__ import annotations

import json
from copy import deepcopy
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

from werkzeug.test import Client

from fitcheck.records.households import FORMAT
from fitcheck.store import Store
from tests.jpegs import jpeg
from tests.store.test_unreadable import spoil
from tests.webui.forms_found import read_page
from tests.worked.test_worked import MAKES

NAMES = {"id", "wearer", "garment", "yarn", "machine", "swatches", "size_table"}
"""Fields that name a record."""
AGAIN = {"id": "again", "on": "2026-11-20", "state": "washed_flat", "readings": {"chest": ["56.0 cm", "56.2 cm"]}}
ODD = {"multiple": 6, "balance": 1}
"""Whole repeats with which the counts of the grey front do not hold together."""


def worked(store: Store, name: str, key: str) -> str:
    """Bring a worked make in, all its records under names of their own; where its page is."""
    file = MAKES[name].file
    named = {
        record["id"]: f"{key}_{record['id']}" for kind in file.values() if isinstance(kind, list) for record in kind
    }

    def renamed(said: Any, field: str = "") -> Any:
        if isinstance(said, dict):
            return {field: renamed(inside, field) for field, inside in said.items()}
        if isinstance(said, list):
            return [renamed(inside, field) for inside in said]
        return named.get(said, said) if field in NAMES else said

    store.import_bundle(json.dumps({**renamed(file), "fitcheck": FORMAT}).encode())
    return f"/makes/{named['pullover']}"


def copied(store: Store, make: str, key: str, **fields: object) -> str:
    """A make like another, some fields of it changed; where its page is. None takes a field away."""
    document = {**store.get("makes", make).doc, "id": key, "name": key, **fields}
    store.put("makes", key, {field: told for field, told in document.items() if told is not None}, 0)
    return f"/makes/{key}"


def read_wider(store: Store, key: str) -> str:
    """The rust-coloured pullover whose back is read 2.5 cm wider: its front on the needles has other counts now."""
    document = deepcopy(store.get("makes", "rust_pullover").doc)
    readings = document["pieces"][0]["stages"][1]["readings"]["chest"]
    for reading in readings:
        reading["set_aside"] = "still damp"
    readings += [{"id": f"n{at}", "text": said, "unit": "cm"} for at, said in enumerate(("55.8", "55.9", "55.7"))]
    return copied(store, "rust_pullover", key, pieces=document["pieces"])


def unjoined(store: Store, key: str) -> str:
    """A front with three rows more than its back."""
    (back,) = store.get("makes", "grey_pullover").doc["pieces"]
    counts = {point: count for point, count in back["counts"].items() if point != "body_length"}
    counts |= {"to_underarm": {"knitted": 111}, "neck_depth": {"knitted": 26}}
    front = {"id": "front", "piece": "front", "counts": counts, "stages": [{"kind": "off_machine"}]}
    return copied(store, "grey_pullover", key, pieces=[back, front])


def lifted(store: Store, client: Client, key: str) -> str:
    """A demand that was given up."""
    at = f"{copied(store, 'grey_pullover', key, **ODD)}/rest"
    form = next(form for form in read_page(at, client.get(at).text).forms if form.action.endswith("/lift"))
    to, button = next(form.ways())
    client.post(to, data=form.untouched() | button)
    return at


def band_begun(store: Store, client: Client, key: str) -> str:
    """A neck band whose sheet was begun."""
    make = copied(store, "grey_pullover", key)
    at = f"{make}/sheets/neck_band"
    form = next(form for form in read_page(at, client.get(at).text).forms if form.action.endswith("/begin"))
    to, button = next(form.ways())
    client.post(to, data=form.untouched() | button)
    return f"{make}/rest"


def measured_again(store: Store, key: str) -> str:
    """The garment that a make must fit was measured again since."""
    garment = store.get("garments", "brown_pullover").doc
    store.put("garments", key, {**garment, "id": key, "occasions": [*garment["occasions"], AGAIN]}, 0)
    fits = store.get("makes", "grey_pullover").doc["fits"] | {"garment": key}
    return copied(store, "grey_pullover", key, fits=fits)


def far_off(client: Client) -> str:
    """A back that is far from the sweater it is compared with."""
    chosen = {"piece": "back", "way": "wardrobe", "stage": "blocked", "garment": "brown_pullover"}
    read = {"own_shoulder_width": "29", "own_chest": "38", "own_armhole_depth": "14.5"}
    return str(client.post("/piece", data=chosen | read).location)


def kept_in_walk(client: Client) -> str:
    """A reading that was kept a moment ago on the walk."""
    at = "/makes/grey_unwashed/walk?piece=back"
    page = client.get(at, follow_redirects=True).text
    form = next(form for form in read_page(at, page).forms if "reading" in form.untouched())
    return str(client.post(form.action, data=form.untouched() | {"reading": ["51.2"]}).location)


def rare_states(store: Store, client: Client) -> list[str]:
    """Bring them about, and return where they stand."""
    gauge = {"stitches": 32, "rows": 24, "over": "10 cm"}
    sizes = [{"name": "1", "pieces": {"back": {"chest": {"count": 120}}}}]
    store.put("size_tables", "asked", {"name": "asked", "sizes": sizes, "gauge": gauge}, 0)
    swatch = store.get("swatches", "grey_at_7").doc
    stage = {"kind": "blocked", "across": ["17.8 cm"], "along": ["21 in"]}
    store.put("swatches", "asked", {**swatch, "id": "asked", "name": "asked", "stages": [stage]}, 0)
    taken_over = {"before": {"rip_back": 0.5, "knit_again": 0.9}}
    client.post("/photographs/swatches/grey_at_6", data={"photograph": (BytesIO(jpeg()), "a.jpg")})
    store.add_device("x" * 43, "Ines's phone", "measure", date.today())
    store.put("yarns", "spoilt", {"name": "spoilt"}, 0)
    spoil(Path(store.path), "yarns", "spoilt")
    no_piece = {"pieces": None, "size": None, "planned": None}
    return [
        worked(store, "a_garment_in_rib_is_asked_about", "rib"),
        worked(store, "planned_shoulders_an_odd_number_from_the_chest", "shoulders"),
        worked(store, "a_back_a_quarter_smaller_than_its_swatch_both_ways", "felted"),
        f"{unjoined(store, 'unjoined')}/rest/seams",
        f"{read_wider(store, 'wider')}/rest",
        f"{copied(store, 'grey_pullover', 'sized', **no_piece)}/sizes",
        lifted(store, client, "lifted"),
        band_begun(store, client, "band_begun"),
        measured_again(store, "measured_again"),
        far_off(client),
        kept_in_walk(client),
        copied(store, "grey_pullover", "old_costs", costs=taken_over),
        "/settings",
        "/size-tables/asked",
        "/swatches/asked",
        "/swatches/grey_at_6",
        "/unreadable/yarns/spoilt",
    ]
