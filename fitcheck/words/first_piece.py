"""What is knitted first, and what comes before it: other counts, a swatch, or what keeps the widths from fitting."""

from __future__ import annotations

from fitcheck.advice.groups import GroupAsked
from fitcheck.advice.sizes.answers import CopyAsked, FirstPiece, HardlyFits, NotThis, SwatchFirst, Uneven
from fitcheck.words.bed import needles_asked, way_out
from fitcheck.words.copied import copied_first
from fitcheck.words.figures import Tape, chance_words
from fitcheck.words.names import garment_name, point_name, size_name
from fitcheck.words.phrases import capital, count_words, few, key_words, listed, spaced
from fitcheck.words.said import MOST_HEAD

SETTING_NAMES = {
    "strands": "strands",
    "carriage": "carriage",
    "needle_arrangement": "needle arrangement",
    "mast_tension": "mast tension",
    "weights": "weights",
    "stitch_pattern": "stitch pattern",
    "yarn": "yarn",
    "machine": "machine",
}
"""Settings of a swatch as sentences call them."""
RECORDS = ("yarn", "machine")
"""Those that are records of their own, of which a swatch knows the key."""
MAIN_WIDTHS = ("chest", "panel_width", "upper_arm")
"""The width by which a piece is known: the first of them that it has."""


def knit_first(first: FirstPiece, tape: Tape) -> list[str]:
    """ "Knit the back first: 114 stitches at the chest, at dial 6.2." - what comes before it, what is not known yet."""
    told = comes_before(first, tape)
    told += uneven_told(first.uneven) if first.uneven is not None else []
    needles = needles_asked(first.ask_needles) if first.ask_needles is not None else []
    # Where nothing else comes first it is the question; else it is asked below.
    told += [*needles, *_knit(first, tape)] if first.code == "needles" else [*_knit(first, tape), *needles]
    width = _width(first)
    missing = [] if width else ["how many stitches it takes"]
    missing += [] if first.dial else ["at which dial"]
    if missing:
        told.append(f"Not known yet: {listed(missing)}.")
    return told


def comes_before(first: FirstPiece, tape: Tape) -> list[str]:
    """What comes before the first piece, the most important first; nothing where it can be begun."""
    told = copy_asked_told(first.as_read) if first.as_read is not None else []
    told += group_asked_told(first.which_fabric) if first.which_fabric is not None else []
    told += not_this_told(first.not_this, first.dial, tape) if first.not_this is not None else []
    told += swatch_told(first.swatch) if first.swatch is not None else []
    return told + (bed_told(first.hardly_fits) if first.hardly_fits and first.hardly_fits.limit == "bed" else [])


def copy_asked_told(asked: CopyAsked) -> list[str]:
    """Whether the garment is copied as it was read, why that is asked, and that what follows hangs on it."""
    told = copied_first(asked.why, garment_name(asked.garment))
    return [*told, "Size and counts hang on that; copied as it was read, they are these."]


def group_asked_told(asked: GroupAsked) -> list[str]:
    """ "One strand or two? 8 swatches are of one strand and are taken, 1 is of two." - which fabric it is."""
    name = asked.setting
    others = listed([setting_words(name, said, number) for said, number in asked.others])
    said, number = asked.taken
    values = listed([setting_value(name, _said(name, value)) for value, _ in (asked.taken, *asked.others)], "or")
    begin = capital(values) if name == "strands" else f"Which {SETTING_NAMES[name]}: {values}"
    return [
        f"{begin}?",
        f"{capital(setting_words(name, said, number))}, taken here; {others}.",
        "Name with the make only the swatches of its own fabric.",
    ]


def setting_words(setting: str, said: str, number: int) -> str:
    """How many swatches have a setting: "8 swatches are of one strand"."""
    swatches = f"{count_words(number, 'swatch')} {'is' if number == 1 else 'are'}"
    value = setting_value(setting, _said(setting, said), whole=True)
    return f"{swatches} {'of' if setting == 'strands' else 'with'} {value}"


def setting_value(setting: str, said: str, *, whole: bool = False) -> str:
    """A setting as a sentence has it: "one strand", "two", "the lace carriage"."""
    if setting == "strands" and said.isdecimal():
        strands = few(int(said))
        return f"{strands} {'strand' if said == '1' else 'strands'}" if whole or said == "1" else strands
    return f"{SETTING_NAMES[setting]} {said}" if whole else said


def _said(setting: str, said: str) -> str:
    """A setting as it was written; what is a record of its own is known by its key."""
    return key_words(said) if setting in RECORDS else said


def not_this_told(other: NotThis, dial: str | None, tape: Tape) -> list[str]:
    """ "Do not knit size M: the chest comes out 58.1 cm, not 52.0." and what to knit instead."""
    point = point_name(other.key)
    at, wanted = tape.length(other.finished_mm), tape.bare(other.wanted_mm)
    out = f"comes out {at}, not {wanted}"
    if other.size is None:
        what = f"{count_words(other.count, 'stitch')} at the {point}" if other.count else "what was planned"
        begin, because = f"Do not knit {what}", f"it {out}"
    elif not other.chosen and other.sizes > 1 and other.instead is not None:
        begin, because = "Knit no size as it is", f"of size {size_name(other.size)}, the nearest, the {point} {out}"
    else:
        begin, because = f"Do not knit size {size_name(other.size)}", f"the {point} {out}"
    ways = []
    if other.instead is not None and other.instead_mm is not None:
        at = f" at dial {dial}" if dial else ""
        ways.append(f"{count_words(other.instead, 'stitch')}{at} give {tape.bare(other.instead_mm)}")
    if other.nearest is not None:
        name = size_name(other.nearest)
        ways.append(f"size {name} is nearest" if ways else f"size {name} is nearer")
    told = f"{begin}: {because}."
    apart = [told] if len(told) <= MOST_HEAD else [f"{begin}.", f"{capital(because)}."]
    return [*apart, f"{capital(', or '.join(ways))}."]


def swatch_told(swatch: SwatchFirst) -> list[str]:
    """ "Knit a swatch at dial 9 first, wash and block it: none was knitted there." """
    at = f" at dial {swatch.dial}" if swatch.dial else ""
    knit = f"Knit a swatch{at} first, wash and block it"
    match swatch.reason:
        case "no_swatch":
            return [f"{knit}.", "Nothing says yet what a stitch of this fabric measures."]
        case "not_at_dial":
            return [f"{knit}.", "None was knitted there, nor close by on both sides of it."]
        case "labels_changed":
            return [
                "Look at the swatches first: were their labels changed?",
                f"The one labelled dial {swatch.looser} has smaller stitches than the one labelled dial "
                f"{swatch.tighter}.",
                f"If no label was changed, a swatch more{at} tells.",
            ]
        case "would_tell":
            assert swatch.chance_now is not None
            assert swatch.chance_then is not None
            return [
                f"{knit}.",
                f"{capital(chance_words(swatch.chance_now))} now that every width fits, and "
                f"{chance_words(swatch.chance_then)} once the stitch is known.",
            ]


def hardly_fits_words(hardly: HardlyFits, tape: Tape) -> str:
    """ "1 in 10 that every width fits, because whole repeats come no nearer at the chest" """
    point, allowed = point_name(hardly.key), tape.length(hardly.allowed_mm)
    why = {
        "repeat": f"whole repeats come no nearer at the {point}",
        "tape": f"{allowed} is allowed at the {point}, finer than what is wanted there is known",
        "fabric": f"{allowed} is allowed at the {point}, finer than pieces come out alike",
    }
    return f"{chance_words(hardly.chance)} that every width fits, because {why[hardly.limit]}"


def bed_told(hardly: HardlyFits) -> list[str]:
    """ "The bed has 122 needles and the chest wants 128 stitches: 1 in 10 that it fits." - and ways out."""
    wants = f"the {point_name(hardly.key)} wants {count_words(hardly.stitches or 0, 'stitch')}"
    fits = f"{chance_words(hardly.chance)} that every width fits on it"
    return [
        f"The bed has {hardly.needles} needles, and {wants}.",
        f"{capital(fits)}.",
        way_out(hardly.construction, (hardly.stitches or 0) - (hardly.needles or 0)),
    ]


def uneven_told(uneven: Uneven) -> list[str]:
    """ "Is 112 at the chest right? Whole repeats of 6 make 108 or 114." - a count that the pattern does not make."""
    asked = f"Is {uneven.count} at the {point_name(uneven.key)} right?"
    beside = f"{uneven.below} or {uneven.above}"
    if uneven.multiple is not None:
        return [asked, f"Whole repeats of {uneven.multiple} make {beside}."]
    return [asked, f"From {uneven.apart} at the chest {beside} are shaped alike on both sides."]


def _width(first: FirstPiece) -> str | None:
    return next((key for key in MAIN_WIDTHS if key in first.counts), None)


def _knit(first: FirstPiece, tape: Tape) -> list[str]:
    piece = f"the {spaced(first.kind)}"
    width = _width(first)
    counts = f": {count_words(first.counts[width], 'stitch')} at the {point_name(width)}" if width else ""
    begin = f"Then knit {piece}" if first.swatch is not None else f"Knit {piece} first"
    match first.code:
        case "bed":
            begin = f"On it knit {piece} first"
        case "uneven":
            begin = f"If it is, knit {piece} first"
        case "needles":
            begin = f"If it has as many, knit {piece} first"
    if counts and first.swatch is not None and first.swatch.reason == "no_swatch":
        counts += " if the gauge is met"
    limit = first.hardly_fits if first.code != "bed" else None
    told = [f"{begin}{counts}{f', at dial {first.dial}' if first.dial else ''}."]
    told += [f"{capital(hardly_fits_words(limit, tape))}."] if limit is not None and limit.limit != "bed" else []
    if width and first.size:
        end = "" if first.likely else ", which comes nearest to what is wanted"
        told.append(f"That is size {size_name(first.size)}{end}.")
    if width and width != "hem" and first.counts.get("hem"):
        told.append(f"The hem has {count_words(first.counts['hem'], 'stitch')}.")
    return told
