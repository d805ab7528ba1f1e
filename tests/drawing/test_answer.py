"""The answer's figures drawn: teeth that are full are sweaters that fit, the dark part of the piece is the work."""

from __future__ import annotations

import json
import re
from importlib.resources import files

import pytest

from fitcheck.drawing.answer import HIGH, LONG, cut_at, teeth, teeth_of, work_bar
from fitcheck.words.figures import chance_words
from fitcheck.words.in_figures import chance_in_figures, cost_in_figures
from tests.invented import report_of

HOUSEHOLD = json.loads((files("demo_garments") / "household.json").read_text())


@pytest.fixture(scope="module")
def answers():
    """The answers on every invented make, with its construction."""
    return [(report_of(make["id"]), make.get("construction", "set_in")) for make in HOUSEHOLD["makes"]]


@pytest.mark.parametrize(
    ("chance", "full"), [(0.0, 0), (0.04, 0), (0.05, 1), (0.5, 10), (0.73, 15), (0.9, 18), (0.96, 19), (1.0, 19)]
)
def test_teeth_are_twentieths_none_for_hardly_and_never_all(chance, full):
    assert teeth_of(chance) == full
    svg = teeth(chance)
    assert (svg.count("v17h-5z"), svg.count("v7.5h-4z")) == (full, 20 - full)
    assert (full == 0) == chance_words(chance).startswith("less than")


def points_of(svg: str) -> list[tuple[float, float]]:
    """The corners of the piece on its side, as they are drawn."""
    line = re.search(r'<path id="wk-p" d="M(.*?)Z"', svg)[1]
    figures = [float(figure) for figure in re.findall(r"-?\d+\.?\d*", line)]
    return list(zip(figures[::2], figures[1::2], strict=True))


def area(points: list[tuple[float, float]]) -> float:
    """Of a polygon, by its corners (the shoelace formula)."""
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def cut(points: list[tuple[float, float]], left: float, right: float) -> list[tuple[float, float]]:
    """A polygon, as far as it lies between two upright lines."""
    for line, keeps in ((left, lambda x: x >= left), (right, lambda x: x <= right)):
        kept = []
        for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True):
            if keeps(x1):
                kept.append((x1, y1))
            if keeps(x1) != keeps(x2):
                kept.append((line, y1 + (y2 - y1) * (line - x1) / (x2 - x1)))
        points = kept
    return points


def dark_share(svg: str) -> float:
    """The share of the drawn piece that is dark, measured on what is drawn."""
    clip = re.search(r'<clipPath[^>]*><rect x="([\d.]+)" y="0" width="([\d.]+)"', svg)
    left, wide = float(clip[1]), float(clip[2])
    points = points_of(svg)
    return area(cut(points, left, left + wide)) / area(points)


@pytest.mark.parametrize("from_top", [False, True])
@pytest.mark.parametrize("work", [0.02, 0.12, 0.25, 0.466, 0.8, 1.0, 1.4])
def test_the_dark_part_is_the_share_of_the_work_to_2_percent(answers, work, from_top):
    for answer, construction in answers:
        svg = work_bar(answer, work, from_top=from_top, construction=construction)
        # 2 % of the piece, as the page's own sample asks.
        assert dark_share(svg) == pytest.approx(min(1.0, work), abs=0.02), answer.head.make


def test_what_is_ripped_is_dark_from_the_shoulders_and_what_is_added_from_the_hem(answers):
    answer, construction = answers[0]
    for from_top, end in ((False, 0.0), (True, 160.0)):
        svg = work_bar(answer, 0.3, from_top=from_top, construction=construction)
        x, wide = map(float, re.search(r'<rect x="([\d.]+)" y="0" width="([\d.]+)"', svg).groups())
        assert end in (x, x + wide)


def test_the_page_draws_the_reports_own_work_and_chance(answers):
    seen = 0
    for answer, construction in answers:
        cost, chance = cost_in_figures(answer), chance_in_figures(answer)
        action = next((one for one in answer.actions if one.code == getattr(answer.recommendation, "action", "")), None)
        if cost is None or cost.share is None or action is None:
            continue
        seen += 1
        assert cost.share == action.cost
        assert dark_share(work_bar(answer, cost.share, from_top=False, construction=construction)) == pytest.approx(
            min(1.0, action.cost), abs=0.02
        )
        assert chance is None or chance.share == action.chance
    assert seen > 8


def test_a_cut_through_a_tapered_piece_is_exact():
    # A trapezium, 30 high at one end and 10 at the other, 100 long: half of its 2,000 lies before 30 d - d^2/10 = 1000.
    edge = [(0.0, 30.0), (100.0, 10.0)]
    assert cut_at(edge, 0.5, from_top=False) == pytest.approx(38.197, abs=1e-3)
    assert cut_at(edge, 0.5, from_top=True) == pytest.approx(38.197, abs=1e-3)
    assert cut_at([(1.0, HIGH), (1.0 + LONG, HIGH)], 0.25, from_top=False) == pytest.approx(1 + LONG / 4)


def test_the_piece_is_as_wide_at_the_chest_as_it_is_and_narrower_at_the_shoulders(answers):
    answer, construction = answers[0]
    heights = points_of(work_bar(answer, 0.1, from_top=False, construction=construction))
    top = {x: min(y for other, y in heights if other == x) for x, _ in heights}
    by_x = sorted(top.items())
    assert by_x[-3][1] > by_x[0][1] + 2  # the shoulders are narrower than the body
