"""What changed of a record, in words: what each change is about, what stood there, and what stands there now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from itertools import pairwise
from typing import Any

from fitcheck.records.frozen import frozen
from fitcheck.records.places import Path
from fitcheck.words.dates import day_words, read_day, write_day
from fitcheck.words.lifting import lift_words
from fitcheck.words.names import STAGE_CHOICES, Names, direction_of, point_name
from fitcheck.words.phrases import capital, count_words, key_words, listed, small_first, spaced, times_words

NOTHING = "nothing"
"""What stood where nothing stood."""
_OF_POINTS = ("readings", "overhangs", "body", "counts", "numbers", "ease", "wishes", "tolerances", "weights")
_ENTRIES = ("pieces", "stages", "occasions", "bands", "sizes")
"""Lists whose entries have a name of their own in a sentence."""
_WITHOUT_POINT = ("across", "along", "head")
"""Lists of readings that belong to no point."""
_DAYS = ("on", "started", "finished", "measured")
"""Fields that hold a day."""
_CODES = (
    *("state", "blocking", "construction", "meant", "measures", "how", "rule"),
    *("end_rule", "cast_on", "widening", "neck"),
)
"""Fields that hold a code."""
_KINDS = {
    "yarn": "yarns",
    "machine": "machines",
    "wearer": "wearers",
    "garment": "garments",
    "size_table": "size_tables",
    "swatches": "swatches",
    "learns_from": "makes",
    "replaces": "pieces",
}
"""Fields that name other records, and of which kind."""
_FIELDS = {
    "on": "date",
    "kind": "stage",
    "blocking": "blocked how",
    "treatment": "washed how",
    "grams": "weight in grams",
    "load_grams": "hung with, in grams",
    "hours": "hours since",
    "fits": "what it must fit",
    "as_read": "copied as it was read",
    "felted": "felted",
    "across": "width between the marks",
    "along": "height between the marks",
    "done": "deeds done",
    "dial_confirmed": "dial, asked about",
    "head": "round the head",
    "numbers": "wanted",
    "overhangs": "overhang",
    "wishes": "wished",
    "tolerances": "allowed",
    "weights": "how much it counts",
    "end_rule": "where even steps end",
    "inset": "loops that a transfer moves",
    "cast_on": "how stitches are added",
    "widening": "how a stitch comes in",
    "first_side": "side that a back’s shaping begins at",
    "shoulder_groups": "groups that rest at a shoulder",
    "armhole_rows": "even rows of an armhole",
}
"""What fields are called that their own name does not say."""
_PLANNED = {"planned": "planned", "planned_kept": "planned, asked about and kept,"}
"""Fields that hold planned counts per piece, and what is said of one."""
_COUNTED = {"planned": ", planned", "counted": ", as counted", "knitted": "", "confirmed": ", asked about"}
_WHATS = {
    "created": "written down",
    "imported": "taken in",
    "deleted": "deleted",
    "brought_back": "brought back",
}


@frozen
class Told:
    """One change: what it is about, what stood there before (empty: nothing), what stands there since."""

    what: str
    was: str
    now: str


def moment(at: str) -> str:
    """When something was written, by the clock of this house: "25 Nov 2026, 18:40". at: ISO, UTC."""
    return day_words(at)


def day_of(at: str) -> str:
    """The day of the same: "25 Nov 2026"."""
    return write_day(datetime.fromisoformat(at).astimezone().date())


def hour_of(at: str) -> str:
    """The hour of the same: "18:40"."""
    local = datetime.fromisoformat(at).astimezone()
    return f"{local.hour}:{local.minute:02d}"


def together(what: str, count: int) -> str:
    """What was done to several records by one change: "Taken in: 9 records"."""
    return f"{capital(_WHATS.get(what, 'undone'))}: {count_words(count, 'record')}"


def told(
    path: Path,
    before: Any,
    after: Any,
    *,
    what: str = "",
    names: Names | None = None,
    stages: Mapping[Path, str] | None = None,
    of: str = "",
) -> Told:
    """Tell a change.

    path    its place in the record;  before, after: as the store has them, None: nothing stood there
    what    code of the revision, for a change of the whole record
    stages  kind of each stage, by its place
    of      name of the record, where it stands beside others
    """
    begin = f"{of}: " if of else ""
    if not path:
        return Told(capital(begin + _WHATS.get(what, "written down")), "", "")
    said = [value_words(path, value, names or {}) if value is not None else "" for value in (before, after)]
    return Told(capital(begin + place_words(path, stages or {})), said[0], said[1] or NOTHING)


def place_words(path: Path, stages: Mapping[Path, str]) -> str:
    """What a place of a record is called: "back, washed, blocked and dry: chest".

    stages  kind of each stage, by its place
    """
    around = [_entry(path[: at + 2], stages) for at, field in enumerate(path[:-1]) if field in _ENTRIES]
    if path[0] in _PLANNED and len(path) > 1:
        around.append(f"{_PLANNED[path[0]]} for the {spaced(str(path[1]))}")
    return ": ".join(part for part in (", ".join(around), _thing(path)) if part)


def _entry(path: Path, stages: Mapping[Path, str]) -> str:
    """What a piece, a stage, a measuring, a band or a size is called. path: to it."""
    field, step = path[-2:]
    if isinstance(step, int):
        numbered = f"{'size' if field == 'sizes' else 'stage'} {step + 1}"
        return STAGE_CHOICES.get(stages.get(path, ""), numbered)
    if field == "bands":
        return f"{spaced(step)} band"
    day = _day_of_key(step) if field == "occasions" else None
    return f"measured on {write_day(day)}" if day else key_words(step)


def _day_of_key(key: str) -> date | None:
    """The day that the key of a measuring is made of: 2026_11_30, or 2026_11_30_2 of a second one."""
    return read_day(key[: len("2026_11_30")].replace("_", "-"))


def _point(path: Path) -> str:
    """The point of measure that a place belongs to; empty where it belongs to none."""
    point = next((step for field, step in pairwise(path) if field in _OF_POINTS), "")
    if path[0] in _PLANNED and len(path) > 2:
        point = path[2]
    elif path[0] == "sizes" and len(path) > 4:
        point = path[4]
    return str(point)


def _thing(path: Path) -> str:
    """The figure itself: "stitches at the chest, planned"; empty for an entry of a list as a whole."""
    point, fields = _point(path), [str(step) for step in path]
    if "lifted" in fields:
        return "lifted"
    if not point:
        of_swatch = next((field for field in fields if field in _WITHOUT_POINT), "")
        entry = not of_swatch and len(path) > 1 and path[-2] in _ENTRIES
        field = of_swatch or fields[-1]
        return "" if entry else _FIELDS.get(field, key_words(field))
    if "counts" in path:
        rows = direction_of(point) == "along"
        of = f"rows of the {point_name(point)}" if rows else f"stitches at the {point_name(point)}"
        return of + _COUNTED.get(fields[-1], "")
    said = next((_FIELDS[field] for field in fields if field in _OF_POINTS and field in _FIELDS), "")
    return f"{point_name(point)}, {said}" if said else point_name(point)


def value_words(path: Path, value: Any, names: Names) -> str:
    """What stands at a place, in a few words."""
    field = next((str(step) for step in reversed(path) if isinstance(step, str)), "")
    if isinstance(value, Mapping):
        return _of_parts(value, names)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if field == "photographs" and value:
        return count_words(len(value), "photograph")  # nobody knows one by its SHA-256
    if isinstance(value, list):
        return listed([value_words(path, entry, names) for entry in value]) if value else NOTHING
    if field in _KINDS:
        return names.get((_KINDS[field], str(value)), key_words(str(value)))
    if field == "kind":
        return STAGE_CHOICES.get(str(value), spaced(str(value)))
    if field in _CODES:
        return spaced(str(value))
    return day_words(str(value)) if field in _DAYS else str(value)


def _of_parts(value: Mapping[str, Any], names: Names) -> str:
    """What has parts: a reading, a dial, a wish, a count between marks, a stage, a piece."""
    if "text" in value:
        return reading_words(value)
    if "demand" in value:
        return lift_words(value["piece"], value["demand"], value.get("times", 1))
    if "digest" in value:
        kept = ", kept though its counts became others" if value.get("kept_against") else ""
        return f"sheet {value['number']}{', ended' if value.get('ended') else kept}"
    if "number" in value:
        return f"{value['number']}.{value['marks']}" if value.get("marks") else str(value["number"])
    if "garment" in value:
        return names.get(("garments", value["garment"]), key_words(value["garment"]))
    if "smaller" in value:
        return f"{value['smaller']} smaller, {value['larger']} larger"
    if "first" in value:
        return f"{value['first']} to {value['last']}"
    count = len(_readings(value))
    key = str(value.get("id", ""))
    if _day_of_key(key):
        return count_words(count, "reading")
    said = STAGE_CHOICES.get(str(value.get("kind")), "") or spaced(key)
    if said:
        return f"{said}, {count_words(count, 'reading')}" if count else said
    return ", ".join(str(value[name]) for name in ("by", "length", "count", "measure", "how", "depth") if name in value)


def reading_words(reading: Mapping[str, Any]) -> str:
    """A reading as it was typed, with its unit; why it does not count, where it was set aside."""
    text, unit = str(reading["text"]), reading.get("unit")
    said = f"{text} {unit}" if unit and text[-1:].isnumeric() else text
    aside = f", set aside: {reading['set_aside']}" if reading.get("set_aside") else ""
    return said + aside + (", kept as typed" if reading.get("confirmed") else "")


def _readings(inside: Any) -> Sequence[Any]:
    """Every reading inside a document."""
    if isinstance(inside, list):
        return [found for entry in inside for found in _readings(entry)]
    if not isinstance(inside, Mapping):
        return ()
    return [inside] if "text" in inside else [found for entry in inside.values() for found in _readings(entry)]


# Beside a figure


_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def which_reading(number: int) -> str:
    """The first, second or third reading of its point. number: from 1."""
    return f"{_ORDINALS[number - 1]} reading" if number <= len(_ORDINALS) else f"reading {number}"


def typed_on(at: str) -> str:
    """The same, in few words."""
    return f"typed {day_of(at)}"


def typed_at(at: str) -> str:
    """When a figure was typed that is another now."""
    return f"typed {moment(at)}"


def changed_times(count: int) -> str:
    """How often figures were changed."""
    return f"Changed {times_words(count)}"


def later_change(at: str) -> str:
    """Why a change cannot be taken back by itself."""
    return f"changed again {moment(at)}"


def not_taken_back(at: str) -> str:
    """The same, where somebody tried."""
    return f"Not undone: it was changed again {moment(at)}. Undo that one first."


def not_undone(why: str) -> str:
    """Why a change was not taken back, where the record would not stand so."""
    return f"Not undone. {why}"


def about_figure(at: str, apart: str) -> str:
    """What is said of a figure as it stands: when it was typed, and how far it lies from its fellows."""
    parts = [typed_at(at) if at else "", f"{apart} from the nearest other reading" if apart else ""]
    return ", ".join(part for part in parts if part)


def undone(what: str) -> str:
    """Which change was taken back, as what changed the answer."""
    return f"undone: {small_first(what)}"


def put_right_of(what: str, day: str) -> str:
    """The heading of a form that puts right how and when something was read."""
    read = ", ".join(part for part in (what, day) if part)
    return f"{capital(read)}: was it so?" if read else "Was it so?"


def so_many(count: int, since: str) -> str:
    """How many changes there were."""
    if not count:
        return "Nothing was changed yet."
    return f"{count_words(count, 'change')} since {since}."


UNDO_WHOLE = "undo all of it"
PUT_RIGHT = "Put right since"
"""The heading over figures of a make that were others before."""
STAYS = "The old figure stays in the history; nothing is lost."
EACH_ALONE = "Each is undone by itself; what was changed elsewhere stays."
