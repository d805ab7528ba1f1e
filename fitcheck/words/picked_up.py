"""A band that is picked up, in words: how many stitches, from which loops and which rows of the edge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.advice.to_come.picked_up import BandUp, PickedRun, PickedUp
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.pick_up import PickUp
from fitcheck.knitting.spacing import gap_lines
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import BAND_KIND, BandEdge
from fitcheck.records.sheet_kinds import FRONT_EDGE, BandKind, Begins, RunKey
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital, count_words, listed, times_words

BAND_NAMES: dict[BandEdge, str] = {
    "neck": "neck band",
    "front": "two front bands",
    "hem": "hem band",
    "cuff": "two cuffs",
}
BANDS: dict[BandEdge, str] = {
    edge: name if edge in ("front", "cuff") else f"the {name}" for edge, name in BAND_NAMES.items()
}
_ONE: dict[BandEdge, str] = {
    "neck": "the neck band",
    "front": "each front band",
    "hem": "the hem band",
    "cuff": "each cuff",
}
_EDGES: dict[BandEdge, str] = {
    "neck": "neck edge",
    "front": "each front edge",
    "hem": "lower edge",
    "cuff": "each cuff edge",
}
_RUNS: dict[RunKey, str] = {
    "back_neck": "back neck",
    "back_right": "back, right side",
    "back_left": "back, left side",
    "front_neck": "front centre",
    "front_right": "right side",
    "front_left": "left side",
    "front_right_neck": "right front",
    "front_left_neck": "left front",
    "sleeve_right": "right sleeve",
    "sleeve_left": "left sleeve",
    "rib": "rib at the hem",
    "front": "front edge",
    "hem_back": "back",
    "hem_front": "front",
    "hem_right": "right front",
    "hem_left": "left front",
    "hem_right_panel": "right panel",
    "hem_left_panel": "left panel",
    "cuff": "cuff",
}
_BEGINS: dict[Begins, str] = {
    "shoulder": "From the shoulder down",
    "slant": "From the raglan seam down",
    "centre": "From the centre up",
    "hem": "From the hem up",
}
_LETTERS = "abcdefgh"


@frozen
class RunSaid:
    """A run of the edge: its letter on the drawing, what is picked up of it and how, and its length there [mm]."""

    letter: str
    head: str
    told: str
    stitches: int
    mm: float


@frozen
class PickSaid:
    """One band: its heading, its runs in the order in which they are picked up, what was taken for granted.

    edge, band  "42.6 cm: 36 loops, two sides, 14 loops" and "96 stitches, 8 rows"
    acts        how it is knitted, in its order
    why         why its stitches cannot be said; empty where they can
    drawn       what the drawing of its edge shows, for who hears it
    sheet       kind of band that its sheet goes by
    """

    key: BandEdge
    title: str
    head: str
    runs: tuple[RunSaid, ...]
    note: str
    edge_name: str
    edge: str
    band: str
    why: str
    drawn: str
    acts: tuple[str, ...] = ()
    sheet: BandKind | None = None


def pick_said(band: BandUp, tape: Tape) -> PickSaid:
    """What a band is picked up from."""
    title, rows = capital(BAND_NAMES[band.edge]), _rows(band)
    if isinstance(band.picked, CannotSay):
        why = cannot_say_sentence(band.picked)
        return PickSaid(band.edge, title, title, (), "", _EDGES[band.edge], "", rows, why, "")
    picked = band.picked
    stitches = _stitches(band, picked)
    runs = tuple(_run(run, letter, tape) for run, letter in zip(picked.runs, _LETTERS, strict=False))
    of_runs = listed([f"{_RUNS[run.key]} {run.stitches}" for run in picked.runs])
    return PickSaid(
        band.edge,
        title,
        f"{capital(_ONE[band.edge])} is on: {stitches}" if band.on else f"Picking up {_ONE[band.edge]}: {stitches}",
        runs,
        _note(band, picked.less, tape),
        _EDGES[band.edge],
        f"{tape.length(picked.edge_mm)}: {_edge(picked.runs)}",
        ", ".join(part for part in (stitches, rows) if part),
        "",
        f"{capital(_EDGES[band.edge])} laid out flat: {of_runs}.",
        _acts(band, picked),
        BAND_KIND[band.edge],
    )


CAST_OFF: dict[BandEdge, str] = {
    "neck": "Cast off loosely: it must go over a head.",
    "front": "Cast off as loosely as it lies, or the edge draws up.",
    "hem": "Cast off loosely.",
    "cuff": "Cast off loosely: it must go over a hand.",
}
"""How each is cast off (common practice, no source)."""
OPEN_NECK = "Cast off as loosely as it lies, or the neck draws in."
"""How a neck band is that no head goes through closed: it runs from one front edge to the other (common practice)."""


def cast_off_told(edge: BandEdge, runs: Iterable[str | None]) -> str:
    """How a band is cast off, by the runs of its edge."""
    return OPEN_NECK if edge == "neck" and FRONT_EDGE in runs else CAST_OFF[edge]


def _acts(band: BandUp, picked: PickedUp) -> tuple[str, ...]:
    """How a band is knitted: on which needles, its rows, its end (common practice, no source)."""
    needles = " to ".join(picked.needles)
    hang = f"Hang them on needles {needles}."
    if picked.goes > 1:
        hang = f"They are more than the bed has: in {picked.goes} goes, each on needles {needles}."
    rows = f"Knit {count_words(band.rows, 'row')} of the band." if band.rows is not None else "Knit its rows."
    return hang, rows, cast_off_told(band.edge, (run.key for run in picked.runs))


def _stitches(band: BandUp, picked: PickedUp) -> str:
    """ "96 stitches"; of a hem each piece has its own: "118 and 118 stitches"."""
    if band.edge != "hem":
        return count_words(picked.stitches, "stitch")
    return f"{listed([str(run.stitches) for run in picked.runs])} stitches"


def _rows(band: BandUp) -> str:
    return "" if band.rows is None else count_words(band.rows, "row")


def _edge(runs: Sequence[PickedRun]) -> str:
    """ "36 loops, two sides of 25 and 26 rows, 14 loops" """
    told = []
    for run in runs:
        if run.loops:
            told.append(count_words(run.of, "loop"))
        else:
            told.append(count_words(run.of, "row") if run.of else _RUNS[run.key])
    return ", ".join(told)


def _run(run: PickedRun, letter: str, tape: Tape) -> RunSaid:
    head, told = run_told(run)
    if not run.loops and not run.of:
        told = f"Evenly, along {tape.length(run.mm)}."
    return RunSaid(letter, head, told, run.stitches, run.mm)


def run_told(run: PickedRun) -> tuple[str, str]:
    """What is picked up of a run, and how: "Right side, 10 of 13 rows." and "From the shoulder down: ..." """
    name = capital(_RUNS[run.key])
    if run.loops:
        if run.stitches == run.of:
            return f"{name}, {run.stitches}.", "Every loop."
        return f"{name}, {run.stitches} of {run.of} loops.", f"{run.of - run.stitches} of them two and two, evenly."
    if not run.of:
        return f"{name}, {run.stitches}.", "Evenly."
    head = f"{name}, {run.stitches} of {count_words(run.of, 'row')}."
    begins = _BEGINS[run.begins or "hem"]
    if not run.groups:
        head = f"{name}, {run.stitches} over {count_words(run.of, 'row')}."
        told = f"{begins}: one from each row and from each stitch cast off, as they come, evenly."
    elif run.stitches == run.of:
        told = "Every row."
    else:
        few = any(2 * group.stitches < group.of for group in run.groups)
        of_each = " of each" if sum(group.times for group in run.groups) > 1 else ""
        leaves = f"{'Take' if few else 'Leave out'} the last row{of_each}."
        told = f"{begins}: {groups_words(run.groups)}. {leaves}"
    return head, told


def groups_words(groups: Sequence[PickUp]) -> str:
    """Which rows are taken, in their order: "twice 3 of 4, then 4 of 5"; "13 times 4 of 5 and 5 of 6 by turns".

    >>> groups_words((PickUp(3, 4, 2), PickUp(4, 5, 1)))
    'twice 3 of 4, then 4 of 5'
    """
    taken = {group.of: group.stitches for group in groups}
    told = []
    for pattern, times in gap_lines([group.of for group in groups for _ in range(group.times)]):
        each = listed([f"{taken[of]} of {of}" for of in pattern])
        by_turns = " by turns" if len(pattern) > 1 else ""
        told.append(f"{each}{by_turns}" if times == 1 else f"{times_words(times)} {each}{by_turns}")
    return ", then ".join(told)


def _note(band: BandUp, less: float, tape: Tape) -> str:
    """What was taken for granted of the band."""
    told = ["A tenth fewer along the hollow sides, so that the band lies in."] if less else []
    size = tape.of_stitch(band.stitch.stitch_mm)
    if band.assumed:
        told.append(f"Its stitch of {size} is a share of the plain one, assumed: swatch the rib to know it.")
    else:
        told.append(f"Its stitch of {size} is that of the rib’s swatch.")
    if band.rows is None:
        told.append("Say how deep it is to be: then its rows can be said.")
    return " ".join(told)
