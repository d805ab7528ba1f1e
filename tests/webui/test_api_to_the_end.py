"""Over the API alone: an invented file that was typed, its back judged, piece by piece to the wardrobe."""

from __future__ import annotations

import pytest

from tests.worked.truth import BODY, FRONT, PLAIN, SLEEVE, counted, household, lengths, piece, swatch

BESIDE_PANELS = {"hem": 92, "chest": 96}
KEY = "pullover"


@pytest.fixture
def make(ask):
    """The address of a sweater with side panels whose back is read; of a panel its width is said, and no count."""
    typed = household(
        [piece("back", counted({**BODY, **BESIDE_PANELS}), lengths({**BODY, **BESIDE_PANELS}))],
        fits=PLAIN,
        swatches=[swatch()],
        construction="side_panels",
        panel_width="7.4 cm",
        planned={"front": {**FRONT, **BESIDE_PANELS, "chest": 100}, "sleeve": SLEEVE},
        bands=[{"edge": "neck", "depth": "2.5 cm", "how": "added_later"}],
    )
    typed["yarns"][0]["lots"] = [{"lot": "A", "grams": 700}]
    status, told, _ = ask("POST", "/bundle", typed)
    assert status == 200, told
    return f"/makes/{KEY}"


def begun(ask, make, kind):
    """The sheet of a piece, begun as it was answered and tapped once; by another answer it is refused."""
    sheet = ask("GET", f"{make}/sheets/{kind}")[1]
    problem = ask("POST", f"{make}/sheets/{kind}/begin", {"report": "0" * 64})[1]
    assert problem["report"] == sheet["digest"]
    assert problem["detail"].startswith("The answer changed since this sheet was shown.")
    status, progress, _ = ask("POST", f"{make}/sheets/{kind}/begin", {"report": sheet["digest"]})
    assert (status, progress["lines"], progress["next"]) == (200, len(sheet["answer"]["lines"]), 0)
    assert ask("POST", f"{make}/sheets/{kind}/begin", {"report": sheet["digest"]})[1] == progress
    tap = {"line": 0, "done": True, "counter": 0, "at": "2026-11-30T20:10:00+01:00"}
    taps = f"{make}/sheets/{progress['sheet']}/taps"
    assert ask("PUT", f"{taps}/{progress['sheet'].replace('_', '-')}-first", tap)[1]["done"] == [0]
    return f"{make}/sheets/{progress['sheet']}"


def knitted(ask, make, coming, number):
    """Knit a piece as its sheet says: it comes off, is weighed, washed and read as its counts give."""
    sheet = begun(ask, make, coming["kind"])
    counts = coming["counts"].values()
    record = ask("GET", make)[1]
    read = {
        of["key"]: [f"{of['mm'] / 10:.1f} cm"] * 2 for of in counts if of["key"] not in ("neck_depth", "shoulder_drop")
    }
    off = {
        "id": f"piece_{number}",
        "piece": coming["kind"],
        "dial": "7",
        "counts": {of["key"]: of["count"] for of in counts},
        "stages": [{"kind": "blocked", "readings": read}],
    }
    pieces = {"pieces": [*record["record"]["pieces"], off]}
    status, told, _ = ask("PUT", make, record["record"] | pieces, record["revision"])
    assert status == 200, told
    assert ask("PUT", f"{make}/pieces/{off['id']}/stages/1/grams", {"grams": 120.0}, told["revision"])[0] == 200
    assert ask("POST", f"{sheet}/end")[1]["ended"]


@pytest.mark.full
def test_a_sweater_goes_from_its_judged_back_to_the_wardrobe_over_the_api_alone(ask, make):
    report = ask("GET", f"{make}/report")[1]
    taken = {}
    for count in report["to_take"]:
        taken.setdefault(count["piece"], {})[count["point"]] = count["count"]
    assert taken["front"]["chest"] == BESIDE_PANELS["chest"], "the front was planned four stitches too wide"
    assert ask("POST", f"{make}/take-counts", {"counts": taken, "report": report["digest"]})[0] == 200
    order = []
    while (rest := ask("GET", f"{make}/rest")[1])["next"] is not None:
        coming = next(piece for piece in rest["pieces"] if piece["kind"] == rest["next"])
        order.append(coming["kind"])
        knitted(ask, make, coming, len(order))
    assert order == ["front", "side_panel", "side_panel", "sleeve", "sleeve"]
    assert rest["why"]["code"] == "nothing_left"
    assert {seam["join"]["verdict"] for seam in ask("GET", f"{make}/seams")[1]["answer"]} <= {"fits", "eases"}
    assert ask("POST", f"{begun(ask, make, 'neck_band')}/end")[1]["ended"]
    assert ask("POST", f"{make}/finish", {"on": "2026-11-30"})[0] == 200
    came_out = ask("GET", f"{make}/finished")[1]
    assert came_out["on"] == "2026-11-30"
    garment = ask("GET", f"/garments/{came_out['garment']}")[1]["record"]
    assert set(garment["knitted"]["counts"]) == {"back", *order}
    assert garment["construction"] == "side_panels"
