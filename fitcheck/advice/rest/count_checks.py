"""What is asked of counts, checked before any is looked for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.advice.rest.count_points import (
    SWALLOWED,
    Asked,
    CountPlace,
    CountPoint,
    Equal,
    GaugeLike,
    Per,
    StitchAndRow,
    Together,
)
from fitcheck.advice.rest.count_series import CountsError, check_positive, check_whole


def sizes_of(fabric: StitchAndRow | GaugeLike) -> dict[str, float]:
    """Stitch width (across) and row height (along) of a fabric [mm]."""
    if isinstance(fabric, StitchAndRow):
        sizes = {"across": fabric.width_mm, "along": fabric.row_mm}
    else:
        sizes = {"across": fabric.across.value, "along": fabric.along.value}
    for direction, size in sizes.items():
        check_positive(f"fabric, size {direction}", size)
    return sizes


def directions_of(points: Sequence[CountPoint]) -> dict[CountPlace, str]:
    """The direction of every point by its place; each place once."""
    directions: dict[CountPlace, str] = {}
    for at, point in enumerate(points):
        if point.direction not in SWALLOWED:
            raise CountsError(
                f"points[{at}].direction: read {point.direction!r}; across or along is accepted. Leave edges out."
            )
        if point.place in directions:
            raise CountsError(
                f"points[{at}]: read {point.place} a second time; each piece and point once is accepted. Leave one out."
            )
        directions[point.place] = point.direction
    return directions


def groups_checked(equal: Sequence[Equal], together: Sequence[Together], directions: Mapping[CountPlace, str]) -> None:
    """Refuse groups of places that no point has, of two directions, or without a limit."""
    groups = [(f"equal[{at}]", group.places) for at, group in enumerate(equal)]
    groups += [(f"together[{at}]", both.places) for at, both in enumerate(together)]
    for name, places in groups:
        for place in places:
            if place not in directions:
                raise CountsError(no_such_place(name, place, directions))
        once = len(places) > 1 and len(set(places)) == len(places)
        if not (once and len({directions[place] for place in places}) == 1):
            raise CountsError(
                f"{name}: read {places}; two or more places, each once and all across or all along, are "
                "accepted. Give stitches and rows as groups of their own."
            )
    for at, group in enumerate(equal):
        check_whole(f"equal[{at}].ease", group.ease, 0)
    keys = [both.key for both in together]
    if len(set(keys)) < len(keys):
        raise CountsError(f"together: read the keys {keys}; each once is accepted. Join their places.")
    for at, both in enumerate(together):
        if not (both.back and both.front and directions[both.back[0]] == "across"):
            raise CountsError(
                f"together[{at}]: read {both.places}; widths (across) of at least one back and one front are "
                "accepted. Give lengths as equal counts."
            )
        if not (both.most_apart_mm >= 0 and math.isfinite(both.band_mm)):
            raise CountsError(
                f"together[{at}]: read most_apart_mm {both.most_apart_mm} and band_mm {both.band_mm}; a "
                "limit of 0 mm or more and a finite width of band are accepted. Say how far they may differ."
            )


def said_for(given: Per[Asked] | None, point: CountPoint) -> tuple[tuple[str | CountPlace, ...], Asked] | None:
    """What is said for a point, and the scope that it was said for."""
    if not isinstance(given, Mapping):
        return ((), given) if given is not None and point.direction == "across" else None
    if point.place in given:
        return (point.place,), given[point.place]
    if point.piece in given and point.direction == "across":
        return (point.piece,), given[point.piece]
    return None


def scopes_checked(name: str, given: object, directions: Mapping[CountPlace, str]) -> None:
    """Refuse pieces and places that no point has."""
    if isinstance(given, Mapping):
        known = {*directions, *(piece for piece, _ in directions)}
        for scope in given:
            if scope not in known:
                raise CountsError(no_such_place(name, scope, directions))


def no_such_place(name: str, place: object, directions: Mapping[CountPlace, str]) -> str:
    """The message that names a place that no point has."""
    return (
        f"{name}: read {place!r}, which none of the points has; one of {', '.join(map(repr, directions))} is "
        "accepted. Add the point, or correct the name."
    )
