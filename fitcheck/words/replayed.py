"""What came of knitting a sheet through in figures: that it can be knitted, or the first line that cannot, and why."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.knitting.lines import Sheet, SheetLine
from fitcheck.knitting.needles import Span, needle_name
from fitcheck.knitting.replay import Replay, ReplayFault
from fitcheck.words.phrases import capital, count_words, listed, spaced
from fitcheck.words.sheet import line_act, needles_words


def replayed_sentences(replay: Replay, sheet: Sheet, needles: int) -> list[str]:
    """What came of it, a sentence or two each.

    needles  of the bed that was taken
    """
    if not replay.faults:
        return _knitted(replay, sheet, needles)
    lines = sheet.unfolded()
    place = replay.faults[0].line
    if place == len(lines):
        told = [f"Every act can be done, and the end is not as the sheet says after {_rows(replay.rows)}."]
        return told + [_why(fault, None, needles) for fault in replay.faults]
    line = lines[place]
    at = f"At {line.counter}" if line.counter is not None else "After rows that nobody said"
    carriage = f", carriage {line.carriage}" if line.carriage else ""
    told = [
        f"Line {place + 1} of {len(lines)} cannot be knitted.",
        f"{at}{carriage}, {spaced(line.part)}: {line_act(line, sheet.head)}.",
    ]
    return told + [_why(fault, line, needles) for fault in replay.faults]


def _knitted(replay: Replay, sheet: Sheet, needles: int) -> list[str]:
    acts = len(sheet.unfolded())
    told = [f"It can be knitted: {acts} acts, {_rows(replay.rows)}, {replay.loops} loops."]
    if replay.ends:
        told.append(f"In the end: {_groups(replay.ends)}.")
    if sheet.head.bed is None:
        told.append(f"The sheet names no bed; one of {needles} needles was taken.")
    return told


def _rows(rows: int) -> str:
    return count_words(rows, "row")


def _groups(groups: Mapping[str, int]) -> str:
    return listed([f"{spaced(name)} {many}" for name, many in groups.items()]) if groups else "nothing"


def _needles(needles: Any) -> str:
    return needles_words(Span(*needles)) if isinstance(needles, tuple) else "none"


def _why(fault: ReplayFault, line: SheetLine | None, bed: int) -> str:
    """Why it cannot be knitted, with the figures, and what would do."""
    read, found = fault.read, fault.found
    match fault.code:
        case "outside_bed":
            return f"The bed has {bed} needles; {_outside(read)} is not one of them."
        case "carriage_elsewhere" if line is not None and line.act == "move_carriage":
            return "Stitches are on the bed, so the carriage cannot be brought over it."
        case "carriage_elsewhere":
            return f"The carriage stands {found} there: an odd number of rows lies between, or a line is missing."
        case "not_at_carriage":
            return f"The carriage stands {found}: do it there, or a row later at the other side."
        case "rest_at_carriage":
            return f"The carriage stands {found}: only needles at the other side can rest."
        case "twice_at_one_counter":
            return "This edge was shaped at this counter already: knit a row between."
        case "edge_jumps":
            return f"{read} at once, and {found} at most can be moved."
        case "too_few_stitches":
            return f"It needs {count_words(int(str(read)), 'stitch')}; {found} can be used."
        case "cast_off_of_resting":
            return f"{capital(str(found))} of these loops rest: bring them back to work first."
        case "counter_runs_back":
            said = "no figure" if read is None else str(read)
            return f"The counter shows {found} before it, and the line says {said}: nobody set it back."
        case "count_differs":
            return _count(read, found)
        case "needles_differ":
            return f"The sheet says needles {_needles(read)}; it is {_needles(found)}."
        case "not_the_parked_loops":
            return "No such group is on waste yarn with as many stitches, on those needles."
        case "step_higher_than_two_rows":
            return f"A needle rests while the one beside it knits {found} rows; {read} at most, or a hole opens."
        case "stitches_left_on_the_bed":
            return f"{count_words(int(str(found)), 'stitch')} still on the bed: take them off first."
        case "resting_at_the_end":
            return f"{found} of the {spaced(str(read))} still rest: bring them back to work before they go off."
        case "ends_differ" if isinstance(read, Mapping) and isinstance(found, Mapping):
            return f"In the end there should be {_groups(read)}; there is {_groups(found)}."
        case "drop_differs" if isinstance(read, Mapping) and isinstance(found, Mapping):
            (name,) = read
            return f"The {spaced(name)} should fall by {_rows(read[name])}; it falls by {found[name]}."
        case "side_unsaid":
            return "It does not say where, of which group, or to which figure."
    return capital(spaced(fault.code)) + "."


def _outside(read: object) -> str:
    return needle_name(read) if isinstance(read, int) else _needles(read)


def _count(read: object, found: object) -> str:
    if isinstance(read, tuple) and isinstance(found, tuple):
        return (
            f"The head says {_rows(read[0])} and {read[1]} loops; {_rows(found[0])} and {found[1]} loops were knitted: "
            "an act stands at another row than it was planned for."
        )
    return f"The sheet says {count_words(int(str(read)), 'stitch')}; there are {found}."
