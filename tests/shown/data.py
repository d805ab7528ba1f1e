"""Figures of answers as data: a report, a fabric, sizes, and the answer in sentences as the API gives it."""

from __future__ import annotations

from typing import Any

from tests.shown.figures import MINUS, Data, Figures, Key, chance_said
from tests.shown.sentences import advice, chances, of_point

HELD = {"held by its pins": "held at", "right at the edge": "on the line"}
"""Verdicts that are said otherwise than their codes."""


def counts_said(alteration: Data) -> list[int]:
    """The counts that a sentence names: of an open front those of its halves."""
    return alteration["halves"] or ([alteration["count"]] if alteration["count"] else [])


def _estimate(into: Figures, key: Key, estimate: Data | None, *, ends: bool = True) -> None:
    if not estimate or "value" not in estimate:
        return
    into.add((*key, "value"), estimate["value"])
    if ends:
        into.add((*key, "low"), estimate["low"])
        into.add((*key, "high"), estimate["high"])


def _each(listed: Any) -> list[Any]:
    """A list, empty where it cannot be said."""
    return listed if isinstance(listed, list) else []


def _shown(part: Any) -> Data:
    """A part of an answer, empty where there is none."""
    return part if isinstance(part, dict) else {}


def _thread(gauge: Data) -> str:
    return "stitches" if gauge["direction"] == "across" else "rows"


def of_report(data: Data) -> Figures:
    """Figures of a report as data, with the fabric and the sizes in it."""
    into = Figures()
    for point in _each(data["points"]):
        at = ("point", point["key"])
        into.add((*at, "wanted"), (point["wanted"] or {}).get("value"))
        into.add((*at, "measured"), (point["measured"] or {}).get("value"))
        difference = point["difference"] or {}
        for name in ("value", "low", "high"):
            into.add((*at, "difference", name), difference.get(name))
        into.add((*at, "allowed, smaller"), point["allowed_smaller_mm"])
        into.add((*at, "allowed, larger"), point["allowed_larger_mm"])
        into.add((*at, "code"), point["code"] and point["code"].replace("_", " "))
        if point["source"] == "garment":
            into.add(("garment", point["key"]), point["garment_mm"])
    for action in _each(data["actions"]):
        if action["impossible"] is None and action["chance"] is not None:
            at = ("way", action["code"])
            into.add((*at, "chance"), chance_said(action["chance"]))
            into.add((*at, "with misfits"), action["expected_loss"])
            into.add((*at, "counts"), frozenset(count for one in action["alterations"] for count in counts_said(one)))
    advised = data["recommendation"]
    if "action" in advised:
        into.add(("advice", "action"), advised["action"])
        plan = advised["then"] if advised["action"] == "measure_again" else advised["action"]
        for action in _each(data["actions"]):
            if action["code"] == plan and action["chance"] is not None:
                into.add(("advice", "chance"), chance_said(action["chance"]))
            if action["code"] == "other_counts" == advised["action"] and "front" in data["head"]["to_knit"]:
                changed = frozenset(count for one in action["alterations"] for count in counts_said(one))
                into.add(("advice", "counts"), changed or None)
                for one in action["alterations"]:
                    if one["by"] == "other_body_piece":
                        into.add(("rest", "front", one["point"]), one["count"])
    for part in (data["explanation"] or {}).get("directions", ()):
        thread = _thread(part)
        if part["code"] == "one_gauge":
            size = part["size"]
            for name, mm in (("value", "value"), ("low", "high"), ("high", "low")):
                into.add(("explained", thread, name), 100 / size[mm])
        if part["code"] == "miscount" and part["stitches"] is not None:
            into.add(("explained", thread, "miscount"), chance_said(part["weights"]["miscount"]))
    for gauge in _each(data["gauge"]):
        _estimate(into, ("piece", gauge["stage"], _thread(gauge)), gauge["per_10cm"])
    for ease in _each(data["ease"]):
        _estimate(into, ("ease", ease["key"]), ease["ease"])
    for piece in _each(_shown(data["rest"]).get("pieces")):
        kind = piece["kind"].replace("_", " ")
        for count in piece["counts"]:
            into.add(("rest", kind, count["key"]), count["now"])
            into.add(("rest", kind, count["key"], "gives"), count["gives_mm"])
        into.add(("rest", kind, "counts"), frozenset(count["now"] for count in piece["counts"] if count["now"]))
    if data["fabric"]:
        into.take(of_fabric(data["fabric"]))
    if data["sizes"]:
        into.take(of_sizes(data["sizes"]))
    return into


def of_fabric(data: Data) -> Figures:
    """Figures of a make's fabric as data."""
    into = Figures()
    if "gauge" not in data:
        return into
    into.add(("next piece", "dial"), data["dial"] or None)
    for gauge in _each(data["gauge"]):
        _estimate(into, ("next piece", gauge["stage"], _thread(gauge)), gauge["per_10cm"])
        into.add(("next piece", gauge["stage"], _thread(gauge), "mm each"), gauge["size"]["value"])
    for specimen in _each(data["specimens"]):
        for gauge in _each(specimen["gauges"]):
            at = ("by itself", specimen["key"], gauge["stage"], _thread(gauge))
            _estimate(into, at, gauge["per_10cm"])
    for change in _each(data["change"]):
        for direction in ("across", "along"):
            _estimate(into, ("finishing", change["stage"], direction), change[direction])
    dials = _shown(data["dials"])
    for slope in _each(dials.get("slopes")):
        _estimate(into, ("a dial number up", _thread(slope)), slope["slope"])
    for click in _each(dials.get("clicks")):
        at = ("dial", click["dial"])
        _estimate(into, (*at, "stitches"), (click["across"] or {}).get("per_10cm"))
        _estimate(into, (*at, "rows"), (click["along"] or {}).get("per_10cm"))
        into.add((*at, "chance"), chance_said(click["chance"]))
    best = _shown(dials.get("best"))
    if best.get("good"):
        into.add(("advised dial",), best["dial"])
    following = _shown(data["next_swatch"])
    if isinstance(following.get("now_mm"), float):
        into.add(("next swatch", "spans"), following["now_mm"] / 2)
    return into


def of_sizes(data: Data) -> Figures:
    """Figures of the sizes of a make as data."""
    into = Figures()
    if "sizes" not in data:
        return into
    into.add(("sizes", "best"), data["best"])
    into.add(("sizes", "dial"), data["dial_written"])
    for size in _each(data["sizes"]):
        into.take(_size(("size", size["name"]), size))
    free = _shown(data["free_counts"])
    if "counts" in free:
        into.take(_size(("free",), free))
    against = _shown(data["against"])
    for name, thread in (("stitch_percent", "stitches"), ("row_percent", "rows")):
        _estimate(into, ("against the table", thread), against.get(name))
    return into


def _size(at: Key, size: Data) -> Figures:
    into = Figures()
    into.add((*at, "chance"), chance_said(size["all_fit"]))
    for width in size["widths"]:
        here = (*at, width["key"])
        into.add((*here, "finished"), (width["finished"] or {}).get("value"))
        into.add((*here, "wanted"), (width["wanted"] or {}).get("value"))
        for name in ("value", "low", "high"):
            into.add((*here, "difference", name), (width["difference"] or {}).get(name))
        into.add((*here, "chance"), chance_said(width["chance"]))
        counts = set(width["counts"].values())
        into.add((*here, "count"), counts.pop() if len(counts) == 1 else None)
        for piece, count in width["counts"].items():
            into.add((*here, piece, "count"), count)
    for length in size.get("lengths", ()):
        here = (*at, length["key"])
        into.add((*here, "finished"), length["printed_mm"])
        into.add((*here, "wanted"), (length["wanted"] or {}).get("value"))
        into.add((*here, "rows"), (length["rows"] or {}).get("value"))
    return into


def of_verdict(data: Data) -> Figures:
    """Figures of the answer in sentences, as the API gives it."""
    into = Figures()
    advice(into, data["headline"].translate(MINUS))
    into.add(("advice", "action"), data["action"])
    chances(into, data["chance"].translate(MINUS))
    for point in _each(data["points"]):
        of_point(into, point["key"], point["said"].translate(MINUS))
        into.add(("point", point["key"], "code"), HELD.get(point["word"], point["word"]))
    return into
