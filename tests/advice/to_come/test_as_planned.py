"""What is shown of a piece still to knit is what its sheet knits: every count of it, on squared paper."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from fitcheck.knitting.lines import Sheet
from fitcheck.records.files import open_household
from fitcheck.records.households import FORMAT
from fitcheck.reports.the_rest import TheRest, the_rest
from tests.advice.to_come.test_the_rest import MAKES, rest
from tests.squared_paper import knitted
from tests.worked.test_worked import MAKES as WORKED

BODY = ("hem", "chest", "shoulder_width", "neck_width", "to_underarm", "armhole_depth", "shoulder_drop", "body_length")


def made(seed: int) -> dict[str, Any]:
    """A household with one sweater whose back is judged: invented, and the same whenever it is made again."""
    chance = Random(f"judged back {seed}")
    construction = chance.choice(("set_in", "set_in", "side_panels", "drop_shoulder", "raglan"))
    w = chance.uniform(3.6, 5.2)
    h = w * chance.uniform(0.68, 0.8)
    chest = 2 * round(chance.uniform(210, 290) / w) + chance.randint(0, 1)
    odd = chest % 2
    across = chest if construction in ("drop_shoulder", "raglan") else 2 * round(0.39 * chest) + odd
    counts = {
        "hem": chest - 2 * chance.randint(0, 2),
        "chest": chest,
        "shoulder_width": across,
        "neck_width": 2 * round(0.15 * chest) + odd,
        "to_underarm": round(chance.uniform(330, 420) / h),
        "armhole_depth": round(chance.uniform(195, 235) / h),
        "shoulder_drop": 2 * chance.randint(2, 4),
    }
    if construction == "raglan":
        del counts["shoulder_drop"]
    whole = counts["to_underarm"] + counts["armhole_depth"] + counts.get("shoulder_drop", 0)
    counts["body_length"] = whole + chance.choice((0, 0, -3, 2, 5))
    lacks = {"drop_shoulder": ("shoulder_width",), "raglan": ("shoulder_width",)}.get(construction, ())
    for key in (*lacks, *(key for key in ("to_underarm", "shoulder_drop") if chance.random() < 0.3)):
        counts.pop(key, None)
    return _household(chance, construction, counts, w, h)


def _household(chance: Random, construction: str, counts: dict[str, int], w: float, h: float) -> dict[str, Any]:
    size = {key: h if key in ("to_underarm", "armhole_depth", "shoulder_drop", "body_length") else w for key in counts}
    cm = {key: count * size[key] / 10 for key, count in counts.items()}
    wanted = {key: f"{cm[key] + chance.uniform(-0.6, 0.6):.1f} cm" for key in cm if key != "shoulder_drop"}
    arm = {"upper_arm": counts["armhole_depth"] * h * chance.uniform(0.8, 0.9), "cuff": 112.0, "sleeve_length": 560.0}
    wanted |= {key: f"{mm / 10:.1f} cm" for key, mm in arm.items()}
    readings = {
        key: [{"text": round(cm[key] + chance.gauss(0, 0.15), 1), "laying": laying} for laying in (1, 2)] for key in cm
    }
    back = {"id": "back", "piece": "back", "counts": counts, "stages": [{"kind": "blocked", "readings": readings}]}
    planned: dict[str, Any] = {}
    if construction == "set_in" and chance.random() < 0.5:
        planned["sleeve"] = {"cap_height": round(chance.uniform(110, 150) / h)}
    if construction == "side_panels":
        planned["side_panel"] = {"panel_width": round(80 / w), "panel_length": round(370 / h)}
    choices = {
        "first_side": chance.choice(("left", "right")),
        "end_rule": chance.choice(("last", "inside", "half")),
        **({"shoulder_groups": chance.randint(3, 6)} if chance.random() < 0.4 else {}),
        **({"armhole_rows": chance.choice(("up", "down"))} if chance.random() < 0.4 else {}),
    }
    make = {
        "id": "sweater",
        "name": "an invented sweater",
        "construction": construction,
        **({"open_front": True, "front_band": "3 cm"} if construction == "set_in" and chance.random() < 0.3 else {}),
        "fits": {"numbers": wanted},
        "planned": planned,
        "choices": choices,
        "pieces": [back],
    }
    if construction == "side_panels":
        make["panel_width"] = "8 cm"
    return {"fitcheck": FORMAT, "unit": "cm", "name": "invented", "invented": True, "makes": [make]}


def unlike(told: TheRest) -> Iterator[tuple[str, str, int, int | None]]:
    """Counts that are shown otherwise than their sheet knits them, and whatever a sheet says that does not agree."""
    for piece in told.answer.pieces:
        written = told.sheet(piece.kind)
        if isinstance(written, Sheet):
            paper = knitted(json.loads(written.to_json()))
            assert not paper.troubles, (piece.kind, paper.troubles)
            for key, count in piece.counts.items():
                if paper.counts.get(key) != count.count:
                    yield piece.kind, key, count.count, paper.counts.get(key)


@pytest.mark.parametrize("make", MAKES)
def test_every_count_of_the_demo_is_what_its_sheet_knits(make: str) -> None:
    assert list(unlike(rest(make))) == []


@pytest.mark.parametrize(
    "seeds",
    [
        pytest.param(range(6), id="6"),
        pytest.param(range(6, 100), id="100", marks=[pytest.mark.full, pytest.mark.simulation]),
    ],
)
def test_every_count_of_an_invented_sweater_is_what_its_sheet_knits(
    seeds: range, caplog: pytest.LogCaptureFixture
) -> None:
    kinds: Counter[str] = Counter()
    for seed in seeds:
        told = the_rest(open_household(json.dumps(made(seed)).encode()))
        assert list(unlike(told)) == [], seed
        kinds.update(piece.kind for piece in told.answer.pieces if isinstance(told.sheet(piece.kind), Sheet))
    assert kinds["front"] + kinds["left_front"] >= len(seeds) // 2
    assert kinds["sleeve"] >= len(seeds) // 2
    assert not caplog.records, "nothing failed"


def test_what_is_knitted_otherwise_than_counted_says_what_stood_there_before() -> None:
    front = next(piece for piece in rest("rust_pullover").answer.pieces if piece.kind == "front")
    drop, whole = front.counts["shoulder_drop"], front.counts["body_length"]
    assert [(count.before, count.count, count.comes) for count in (drop, whole)] == [
        (8, 6, "reckoned"),
        (181, 179, "reckoned"),
    ], "it was chosen that its shoulder rests in four groups"


def test_a_cap_as_it_is_drawn_follows_its_armholes_and_has_no_chance_of_its_own() -> None:
    sleeve = next(piece for piece in rest("rust_pullover").answer.pieces if piece.kind == "sleeve")
    cap, cuff = sleeve.counts["cap_height"], sleeve.counts["cuff"]
    assert (cap.before, cap.count, cap.comes, cap.fits) == (43, 46, "reckoned", None)
    assert cuff.fits is not None


def test_the_second_sleeve_has_the_rows_of_the_first_where_a_cap_of_as_many_fits() -> None:
    told = rest("grey_cardigan")
    first = next(piece for piece in told.told.given.make.pieces if piece.piece == "left_sleeve")
    second = next(piece for piece in told.answer.pieces if piece.kind == "right_sleeve")
    assert second.count("cap_height") == first.counts["cap_height"].best
    assert second.count("sleeve_length") == first.counts["sleeve_length"].best


def test_a_sleeve_below_its_cap_is_what_its_sheet_knits_and_with_the_cap_the_whole() -> None:
    sleeve = next(
        piece for piece in the_rest(WORKED["perfect_back_side_panels"].file).answer.pieces if piece.kind == "sleeve"
    )
    below, cap, whole = (sleeve.count(key) for key in ("sleeve_to_underarm", "cap_height", "sleeve_length"))
    assert (below, cap, whole) == (124, 46, 170)
    assert sleeve.counts["sleeve_to_underarm"].before == 128
