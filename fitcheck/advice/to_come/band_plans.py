"""A band that is picked up as it is knitted: its plan by row counter, and what its loops are picked up from.

Bands of a pair are parts of one sheet, so are the hems of back and front; what is wider than the bed is knitted in
goes.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fitcheck.advice.to_come.picked_up import BandUp, PickedRun, PickedUp
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.amounts import amount_of
from fitcheck.knitting.band import BandPart, band_sheet, plan_band
from fitcheck.knitting.lines import Note, Sheet
from fitcheck.knitting.plan import Plan
from fitcheck.records.makes import BAND_KIND

ONLY = "body"
"""Part of a band that is knitted at once; any other has a name of its own."""
_ORDER = ("first", "second")
_HEMS = {
    "hem_back": "back",
    "hem_front": "front",
    "hem_right": "right_front",
    "hem_left": "left_front",
    "hem_right_panel": "right_panel",
    "hem_left_panel": "left_panel",
}


def band_plan(band: BandUp) -> Plan | CannotSay:
    """A band by row counter, or why there is no plan: nobody said how deep it is, or its stitches cannot be said."""
    if isinstance(band.picked, CannotSay):
        return band.picked
    if band.rows is None:
        return CannotSay("band_depth_unsaid", piece=BAND_KIND[band.edge])
    parts = [BandPart(name, stitches) for name, stitches, _ in _parts(band, band.picked)]
    return plan_band(BAND_KIND[band.edge], parts, band.rows)


def sheet_of_band(band: BandUp) -> Sheet | CannotSay:
    """The lines of a band, which nothing has knitted through yet; or why there are none."""
    if isinstance(band.picked, CannotSay):
        return band.picked
    plan = band_plan(band)
    if not isinstance(plan, Plan):
        return plan
    picked = {name: tuple(map(_note, runs)) for name, _, runs in _parts(band, band.picked)}
    return band_sheet(plan, picked)


def band_loops(band: BandUp) -> int:
    """Loops of all that is knitted of a band [loops]; 0 where it has no plan."""
    plan = band_plan(band)
    return amount_of(plan).loops if isinstance(plan, Plan) else 0


def _parts(band: BandUp, picked: PickedUp) -> Iterator[tuple[str, int, tuple[PickedRun, ...]]]:
    """Name, stitches and runs of each part; the runs of what is knitted in goes stand with the first of them."""
    whole = [("", picked.stitches, picked.runs)]
    if band.edge == "hem":
        whole = [(_HEMS[run.key], run.stitches, (run,)) for run in picked.runs]
    elif band.times > 1:
        name = "cuff" if band.edge == "cuff" else "band"
        whole = [(f"{time}_{name}", picked.stitches, picked.runs) for time in _ORDER[: band.times]]
    for name, stitches, runs in whole:
        if picked.goes == 1:
            yield name or ONLY, stitches, runs
            continue
        of_each, over = divmod(stitches, picked.goes)
        for go in range(picked.goes):
            numbered = f"{name}_go_{go + 1}" if name else f"go_{go + 1}"
            yield numbered, of_each + (go < over), () if go else runs


def _note(run: PickedRun) -> Note:
    """A run as it stands under the act that hangs it."""
    values: dict[str, Any] = {"run": run.key, "stitches": run.stitches, "of": run.of, "loops": run.loops}
    if run.begins is not None:
        values["begins"] = run.begins
    if run.groups:
        values["groups"] = [{"stitches": group.stitches, "of": group.of, "times": group.times} for group in run.groups]
    return Note("picked", values)
