"""Every page there is, of the invented household and of an empty one, and the states a page can be in.

`OF_ROUTES` has one entry per route that shows a page, `NO_PAGES` one per route that does not; `test_pages_list.py`
holds both against the application, so that a new route fails there until it stands here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from fitcheck.records.households import Household


@dataclass(frozen=True, slots=True)
class Page:
    """One page in one state.

    path    address with its query
    form    what is posted to it; None where it is only asked for
    status  what the service answers with
    clicks  what is clicked before it is looked at, as selectors
    route   the endpoint that shows it; empty for a state and for a page of an empty household
    """

    path: str
    form: Mapping[str, str] | None = None
    status: int = 200
    clicks: tuple[str, ...] = ()
    route: str = ""

    def __str__(self) -> str:
        said = " ".join([str(self.status), *(self.form or {}).values(), *self.clicks])
        return self.path if said == "200" else f"{self.path} [{said}]"


NO_PAGES = {
    "static": "files",
    "left_out.see": "a page only of a record that cannot be read",
    "settings.bundle": "a file to keep",
    "settings.readings": "a file to keep",
    "settings.album": "a file to keep",
    "photographs.photograph": "a picture",
    "share.answer": "a text",
    "share.one_make": "a file to keep",
    "share.with_photographs": "a file to keep",
    "makes.now": "JSON for a page left open",
    "drawing_files.make_drawing": "an SVG file",
    "strip.tapes": "a style sheet",
    "walk.leftover": "JSON for every page",
    "walk.standing_now": "JSON for the walk",
}
"""Routes that show no page, beside those of the API."""
API_PAGES = ("api.browse",)
"""Pages among the routes of the API; all else there is data."""


def fixed(*paths: str) -> Callable[[Household], Sequence[str]]:
    """The same addresses whatever the household holds."""
    return lambda household: paths


def each(kind: str, path: str) -> Callable[[Household], Sequence[str]]:
    """One address per record of a kind."""
    return lambda household: [path.format(one.id) for one in getattr(household, kind)]


def first(kind: str, path: str) -> Callable[[Household], Sequence[str]]:
    """The address of the first record of a kind: a form that is the same for all of them but for what stands in it."""
    return lambda household: [path.format(one.id) for one in getattr(household, kind)[:1]]


def both(*parts: Callable[[Household], Sequence[str]]) -> Callable[[Household], Sequence[str]]:
    """What several of them say, one after another."""
    return lambda household: [path for part in parts for path in part(household)]


FABRICS = (
    "/swatches/fabrics?yarn=grey_wool_in_oil&machine=standard_bed",  # three dials
    "/swatches/fabrics?yarn=blue_cotton&machine=standard_bed",  # one swatch
)
PLAN = {
    "chest": "52",
    "chest_meant": "flat",
    "stitches": "40",
    "across": "17",
    "count_1": "120",
    "count_2": "128",
}
WALK = "/makes/grey_unwashed/walk?round=next"
ON_THE_TABLE = "/piece?piece={}&way={}"

OF_ROUTES: dict[str, Callable[[Household], Sequence[str]]] = {
    "table.table": fixed("/", "/?page=2"),
    "table.makes": fixed("/makes"),
    "piece.ask": fixed(*(ON_THE_TABLE.format("back", way) for way in ("laid", "both", "wardrobe", "numbers", "ease"))),
    "plan.plan": fixed(
        "/plan",
        "/plan?" + "&".join(f"{name}={value}" for name, value in PLAN.items()),
        "/plan?garment=brown_pullover&fabric=grey_wool_in_oil|standard_bed&table=round_neck_pullover",
    ),
    "makes.make": both(
        each("makes", "/makes/{}"), fixed("/makes/grey_pullover?at=hem", "/makes/grey_pullover?at=underarm")
    ),
    "make_fabric.fabric": each("makes", "/makes/{}/fabric"),
    "make_sizes.sizes": both(
        first("makes", "/makes/{}/sizes"),
        fixed("/makes/grey_pullover/sizes?beside=2", "/makes/grey_pullover/sizes", "/makes/moss_first/sizes"),
    ),
    "fits.edit_makes": first("makes", "/makes/{}/fits"),
    "make_settings.edit_makes": first("makes", "/makes/{}/settings"),
    "knitted.ask": both(
        first("makes", "/makes/{}/pieces/back"),
        fixed(
            "/makes/grey_pullover/pieces/sleeve",
            "/makes/grey_pullover/pieces/back?fix=pieces/back/stages/1/readings/chest/r11",
        ),
    ),
    "choices.ask": fixed("/makes/grey_pullover/choices"),
    "rest_page.rest": fixed(
        *(
            f"/makes/{make}/rest"
            for make in ("grey_pullover", "moss_drop_shoulder", "grey_miscounted", "moss_first", "rust_pullover")
        )
    ),
    "seams.show": fixed(
        "/makes/grey_pullover/rest/seams", "/makes/grey_cardigan/rest/seams", "/makes/moss_drop_shoulder/rest/seams"
    ),
    "yarn.show": fixed(
        "/makes/rust_pullover/rest/yarn", "/makes/grey_pullover/rest/yarn", "/makes/grey_pulled_long/rest/yarn"
    ),
    "sheet.sheet": fixed(
        "/makes/grey_pullover/sheets/front",
        "/makes/moss_drop_shoulder/sheets/sleeve",
        "/makes/grey_pullover/sheets/neck_band",
    ),
    "machine.show_machine": fixed(
        "/makes/grey_pullover/sheets/front/machine",  # to begin
        "/makes/rust_pullover/sheets/front/machine",  # begun
        "/makes/moss_first/sheets/front/machine",  # none
    ),
    "planned.ask": fixed("/makes/grey_pullover/counts"),
    "when.stage": first("swatches", "/swatches/{}/stages/0"),
    "when.measuring": fixed("/wardrobe/brown_pullover/occasions/washed_in_spring"),
    "changes_list.of_make": first("makes", "/makes/{}/changes"),
    "changes_list.of_record": first("garments", "/changes/garments/{}"),
    "finish.ask": fixed("/makes/grey_pullover/finish", "/makes/moss_first/finish"),
    "points_form.ask": both(first("makes", "/makes/{}/points"), fixed("/makes/grey_pullover/points?piece=sleeve")),
    "carried.field": fixed("/walk/carried"),
    "walk.show_walk": fixed(
        WALK,
        "/makes/grey_unwashed/walk",
        "/makes/grey_pullover/walk",  # everything is read
        "/makes/grey_pullover/walk?how=overhang",
        "/makes/grey_pullover/walk?done=1",
        "/makes/grey_pullover/walk?begin=1",
    ),
    "pencil.pencil": fixed("/makes/grey_pullover/pencil", "/makes/grey_pullover/pencil?how=overhang"),
    "pencil.pencil_grid": fixed("/makes/grey_pullover/pencil/typed"),
    "wardrobe.wardrobe": fixed("/wardrobe", "/wardrobe?text=nothing+of+that+name"),
    "garment_forms.new": fixed("/wardrobe/new"),
    "garments.garment": each("garments", "/wardrobe/{}"),
    "garment_forms.edit": first("garments", "/wardrobe/{}/edit"),
    "garment_forms.measure": first("garments", "/wardrobe/{}/measure"),
    "garments_over.over": fixed("/wardrobe/over", "/wardrobe/over?first=brown_pullover&second=green_drop_shoulder"),
    "wearers.wearers": fixed("/people"),
    "wearers.new": fixed("/people/new"),
    "wearers.person": each("wearers", "/people/{}"),
    "wearers.edit": first("wearers", "/people/{}/edit"),
    "swatch_book.book": fixed("/swatches"),
    "fabrics.fabric": fixed(*FABRICS),
    "swatches.new": fixed("/swatches/new"),
    "several_swatches.several": fixed("/swatches/several"),
    "swatches.swatch": each("swatches", "/swatches/{}"),
    "swatches.edit": first("swatches", "/swatches/{}/edit"),
    "swatches.read": first("swatches", "/swatches/{}/read"),
    "tools.new_tool": fixed("/swatches/yarns/new", "/swatches/machines/new"),
    "tools.edit_yarns": first("yarns", "/swatches/yarns/{}"),
    "tools.edit_machines": first("machines", "/swatches/machines/{}"),
    "size_tables.tables": fixed("/size-tables"),
    "size_tables.new": fixed("/size-tables/new"),
    "size_tables.table": each("size_tables", "/size-tables/{}"),
    "settings.settings": fixed("/settings"),
    "api.browse": fixed("/api/v1/browse"),
}
"""Per route that shows a page: its addresses in a household."""

STATES = (
    # Refused: the message stands beside the field.
    Page("/piece", {"piece": "back", "way": "laid", "own_chest": "<b>+1", "own_shoulder_width": "0.8.1"}, 422),
    Page("/makes/grey_pullover/fits", {"revision": "1", "number-chest": "5x"}, 422),
    Page("/makes/grey_pullover/counts", {"revision": "1", "planned-front-chest": "many"}, 422),
    Page("/makes/grey_pullover/points", {"piece": "back", "how": "readings", "own_chest": "51.2.3"}, 422),
    Page(
        "/wardrobe/new", {"name": "Second", "construction": "set_in", "at_chest": "51.2.3", "state": "washed_flat"}, 422
    ),
    Page("/swatches/new", {"stitches": "40", "across": "17", "strands": "0"}, 422),
    Page("/swatches/several", {"stitches": "36", "across_0": "15.5.1", "dial_1": "seven"}, 422),
    Page(
        "/size-tables/new",
        {
            "name": "Plain",
            "columns": "2",
            "rows": "2",
            "size_0": "S",
            "size_1": "S",
            "row_0": "elbow grease",
            "c_0_0": "5o",
            "do": "keep",
        },
        422,
    ),
    Page("/settings", {"unit": "ell"}, 422),
    Page("/plan?chest=52..3&stitches=4x&across=17&count_1=120&count_2=128", status=422),
    Page("/makes/grey_unwashed/walk", {"step": "chest", "reading": "51.2.3"}, 422),
    Page("/makes/grey_pullover/pencil/typed", {"id": "a1", "chest-0": "51.2.3"}, 422),
    Page("/walk/carried", {"carried": "51.2 cm, chest of the back"}, 422),
    # Asked: unlikely, and not kept before it is said that it is meant.
    Page("/makes/grey_unwashed/walk", {"step": "chest", "reading": "20.4", "id": "a2"}),
    Page("/makes/grey_pullover/pencil/typed", {"id": "a3", "chest-0": "20.4", "hem-0": "104"}),
    # Two who changed the same.
    Page(
        "/wardrobe/brown_pullover/edit",
        {"name": "Second", "construction": "set_in", "revision": "0", "notes": "mine"},
        409,
    ),
    Page("/makes/grey_pullover/fits", {"revision": "0", "number-chest": "54"}, 409),
    # With a script at work: the question of the pad, and what lies behind "more".
    Page(WALK, clicks=tuple(f"#pad [data-key='{key}']" for key in ("2", "0", "mark", "4", "keep"))),
    Page(WALK, clicks=("#more",)),
    # At the machine: another row than that of the act in hand.
    Page("/makes/rust_pullover/sheets/front/machine", clicks=("#top button:nth-child(2)",)),
    # Not there.
    Page("/wardrobe/nothing", status=404),
    Page("/no/such/page", status=404),
)
"""States that no address shows by itself. None of them changes what is kept."""

EMPTY = (
    "/",
    "/makes",
    "/piece",
    "/plan",
    "/wardrobe",
    "/wardrobe/over",
    "/people",
    "/swatches",
    "/size-tables",
    "/settings",
)
"""What a household shows in which nothing is kept yet."""


def pages(household: Household) -> list[Page]:
    """Every page of a household, each once."""
    routes = {path: route for route, of in OF_ROUTES.items() for path in of(household)}
    return [Page(path, route=route) for path, route in routes.items()]


def one_of_each_route(household: Household) -> list[Page]:
    """The first page of each route that leads somewhere."""
    first = {path for of in OF_ROUTES.values() for path in of(household)[:1]}
    return [page for page in pages(household) if page.path in first]
