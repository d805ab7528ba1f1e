"""Photographs on pages: added beside a swatch, a garment and a stage, served under their digest, taken away again."""

from __future__ import annotations

import pytest

from fitcheck.records.photographs import MOST, digest_of
from fitcheck.words import photographs as say
from tests.jpegs import PLACE, WHOLE, jpeg

SWATCH, GARMENT, MAKE = "grey_at_7", "brown_pullover", "grey_pullover"


def send(client, address, raw=None, **fields):
    """Send a photograph as the form does."""
    lines = [f'Content-Disposition: form-data; name="{name}"\r\n\r\n{field}'.encode() for name, field in fields.items()]
    picture = jpeg() if raw is None else raw
    lines.append(b'Content-Disposition: form-data; name="photograph"; filename="a.jpg"\r\n\r\n' + picture)
    body = b"--edge\r\n" + b"\r\n--edge\r\n".join(lines) + b"\r\n--edge--\r\n"
    return client.post(address, data=body, content_type="multipart/form-data; boundary=edge")


def page_after(client, answer):
    assert answer.status_code == 303
    return client.get(answer.location).get_data(as_text=True)


@pytest.mark.parametrize(
    ("kind", "key", "page"),
    [("swatches", SWATCH, f"/swatches/{SWATCH}"), ("garments", GARMENT, f"/wardrobe/{GARMENT}")],
)
def test_a_photograph_is_kept_shown_taken_away_and_undone(client, store, kind, key, page):
    before = client.get(page).get_data(as_text=True)
    assert "<img" not in before
    assert f'action="/photographs/{kind}/{key}" enctype="multipart/form-data"' in before
    html = page_after(client, send(client, f"/photographs/{kind}/{key}", back=page))
    assert say.KEPT in html
    assert f'<img src="/photographs/{digest_of(WHOLE)}.jpg" alt="Photograph 1 of 1"' in html
    assert store.get(kind, key).record.photographs == [digest_of(WHOLE)]
    again = page_after(client, send(client, f"/photographs/{kind}/{key}", back=page))
    assert say.THERE_ALREADY in again
    away = client.post(f"/photographs/{kind}/{key}/away", data={"photograph": digest_of(WHOLE), "back": page})
    html = page_after(client, away)
    assert say.TAKEN_AWAY in html
    assert "<img" not in html
    revision = store.get(kind, key).revision
    client.post("/undo", data={"kind": kind, "key": key, "revision": revision, "back": page})
    assert store.get(kind, key).record.photographs == [digest_of(WHOLE)]


def test_a_photograph_lies_beside_the_stage_of_a_piece_that_the_form_names(client, store):
    piece = store.get("makes", MAKE).record.pieces[0]
    last = len(piece.stages) - 1
    answer = send(client, f"/photographs/makes/{MAKE}", piece=piece.id, stage=str(last))
    assert answer.location == f"/makes/{MAKE}#photographs"
    stages = store.get("makes", MAKE).record.pieces[0].stages
    assert [stage.photographs for stage in stages] == [*([[]] * last), [digest_of(WHOLE)]]
    page = f"/makes/{MAKE}/pieces/{piece.id}"
    assert f'<img src="/photographs/{digest_of(WHOLE)}.jpg"' in client.get(f"{page}?stage={last}").get_data(
        as_text=True
    )
    for place in ({"piece": piece.id, "stage": str(last + 1)}, {"piece": "none", "stage": "0"}, {"piece": piece.id}):
        assert send(client, f"/photographs/makes/{MAKE}", **place).status_code == 404


def test_it_is_served_as_a_picture_and_nothing_else_and_kept_by_the_device_alone(client, store):
    digest = store.keep_photograph(jpeg())
    answer = client.get(f"/photographs/{digest}.jpg")
    assert (answer.data, answer.mimetype) == (WHOLE, "image/jpeg")
    assert PLACE not in answer.data
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    again = client.get(f"/photographs/{digest}.jpg", headers={"If-None-Match": answer.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")
    missing = client.get(f"/photographs/{'0' * 64}.jpg")
    assert (missing.status_code, missing.headers["Cache-Control"]) == (404, "private, no-cache")


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        (b"\x89PNG\r\n\x1a\n", "Not taken: another kind of file. A photograph as a whole JPEG file."),
        (jpeg(width=4000), "Not taken: 4000 by 8 pixels. A JPEG of 3200 pixels at most on its longer side"),
    ],
)
def test_what_is_not_taken_says_what_would_be_and_changes_nothing(client, store, raw, told):
    revision = store.get("swatches", SWATCH).revision
    html = page_after(client, send(client, f"/photographs/swatches/{SWATCH}", raw))
    assert told in html
    assert (store.get("swatches", SWATCH).revision, store.photographs_kept().count) == (revision, 0)


def test_more_than_a_request_may_have_is_said_to_be_too_much(client, store):
    answer = send(client, f"/photographs/swatches/{SWATCH}", b"\xff" * 2_500_000)
    assert answer.status_code == 413
    assert say.TOO_LARGE in answer.get_data(as_text=True)
    assert store.photographs_kept().count == 0


def test_nothing_chosen_is_said_so_and_another_place_is_not_there(client):
    answer = client.post(f"/photographs/swatches/{SWATCH}", data={}, content_type="multipart/form-data")
    assert say.NOTHING_CHOSEN in page_after(client, answer)
    assert send(client, "/photographs/yarns/grey_wool_in_oil").status_code == 404
    assert send(client, "/photographs/swatches/nobody").status_code == 404
    assert send(client, f"/photographs/swatches/{SWATCH}", back="//elsewhere.example/").location == "/#photographs"


def test_there_is_room_for_eight(client, store):
    for grey in range(MOST):
        send(client, f"/photographs/swatches/{SWATCH}", jpeg(grey=grey))
    html = page_after(client, send(client, f"/photographs/swatches/{SWATCH}", jpeg(grey=MOST)))
    assert say.FULL in html
    assert len(store.get("swatches", SWATCH).record.photographs) == MOST
    assert "Choose another" not in html


def test_one_that_was_left_out_of_a_file_is_said_so(client, store):
    stored = store.get("swatches", SWATCH)
    store.put("swatches", SWATCH, {**stored.doc, "photographs": ["0" * 64]}, stored.revision)
    html = client.get(f"/swatches/{SWATCH}").get_data(as_text=True)
    assert say.NOT_HERE in html
    assert "<img" not in html


def test_the_list_of_changes_counts_photographs_and_writes_no_digest(client):
    for grey in (0, 1):
        send(client, f"/photographs/swatches/{SWATCH}", jpeg(grey=grey))
    html = client.get(f"/makes/{MAKE}/changes").get_data(as_text=True)
    assert "1 photograph" in html
    assert "2 photographs" in html
    assert digest_of(WHOLE) not in html


def test_over_the_api_a_photograph_is_kept_clean_and_handed_out(client, store):
    answer = client.post("/api/v1/photographs", data=jpeg(), content_type="image/jpeg")
    assert (answer.status_code, answer.get_json()) == (200, {"photograph": digest_of(WHOLE)})
    answer = client.get(f"/api/v1/photographs/{digest_of(WHOLE)}")
    assert (answer.data, answer.mimetype, answer.headers["X-Content-Type-Options"]) == (WHOLE, "image/jpeg", "nosniff")
    assert client.post("/api/v1/photographs", data=WHOLE, content_type="image/png").status_code == 415
    assert client.post("/api/v1/photographs", data=b"no", content_type="image/jpeg").status_code == 422
    assert client.get(f"/api/v1/photographs/{'1' * 64}").status_code == 404
    assert client.get("/api/v1/photographs/none").status_code == 404
