"""What cannot hold together in words, the ways out of it, what was lifted, and what the counts keep."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from fitcheck.advice.rest.programme import Demand
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.advice.to_come.ways_out import OfferedWay, Refused
from fitcheck.records.choices import Lifted
from fitcheck.records.frozen import frozen
from fitcheck.words.demanded import cannot_hold, demanded
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, count_words, listed, sentence, small_first, spaced
from fitcheck.words.unshaped import unshaped_heading

NOTHING_WORSE = 0.005
"""Less than that is nothing [works of a back]."""


@frozen
class WayOutSaid:
    """A way out: its heading, what it leads to and what shows, what it costs, the word on its button."""

    head: str
    told: str
    cost: str
    button: str


@frozen
class RefusedSaid:
    """What cannot be knitted so.

    head, because  the heading and the sentence under it
    ways           ways out
    links          why, one demand a line: the figure that anyone can check, and what is asked
    """

    head: str
    because: str
    ways: tuple[WayOutSaid, ...]
    links: tuple[tuple[str, str], ...]


@frozen
class LiftedSaid:
    """A demand that was lifted: what is no longer asked, and its place in the list of them."""

    told: str
    place: int


def refused_said(refused: Refused) -> RefusedSaid:
    """Why the next piece cannot be cast on, and the ways out."""
    ways = tuple(_WAYS[way.code](way, refused) for way in refused.ways)
    if refused.why is not None:
        head, because = unshaped_heading(refused.why)
        told_by_ways = ways and refused.why.code == "no_cap"
        return RefusedSaid(head, "" if told_by_ways else because, ways, ())
    choose = ": choose what to lift" if len(ways) > 1 else ""
    return RefusedSaid(
        f"No counts of the {spaced(refused.piece)} yet{choose}.",
        cannot_hold(refused.conflict),
        ways,
        tuple(_link(demand, refused.counts) for demand in refused.conflict),
    )


def lifted_said(lifted: Sequence[Lifted]) -> tuple[LiftedSaid, ...]:
    """The demands that were lifted, in the order in which they were."""
    return tuple(
        LiftedSaid(sentence(lift_words(lift.piece, lift.demand, lift.times)), place)
        for place, lift in enumerate(lifted)
    )


def lift_words(piece: str, demand: str, times: int = 1) -> str:
    """ "no whole repeats of the front" """
    return f"{_LIFTED[demand].format(2 * times)} of the {spaced(piece)}"


LIFTED = "Done: these are the counts with it."
ASKED_AGAIN = "It is asked for again."
"""Said once after a way out was taken, and after it was taken back."""
NO_SUCH_WAY = "There is no such way out. Go back to the counts."
"""Said where a form names a way that was not offered."""
_LIFTED: Mapping[str, str] = {
    "repeat": "no whole repeats",
    "parity": "both sides unlike, one stitch more off at the left underarm",
    "shoulders": "other shoulders than the back’s",
    "neck": "another neck than the back’s",
    "ease": "up to 7 % eased into the armhole",
    "wider_arm": "{} stitches more at the upper arm",
    "narrower_arm": "{} stitches fewer at the upper arm",
    "deeper_armhole": "an armhole {} rows deeper",
    "shallower_armhole": "an armhole {} rows shallower",
}


def _link(demand: Demand, counts: Mapping[str, int]) -> tuple[str, str]:
    """A demand as a line that anyone can check: its figure, and what is asked."""
    names = [point_name(key) for key in demand.terms]
    match demand.code:
        case "repeat":
            first = _near(demand, counts)
            steps = [str(first + (demand.step or 1) * place) for place in range(3)]
            return _asked_of_all(steps, demand.step or 1), sentence(
                f"{demanded(demand)}: {', '.join(steps)} stitches at the {names[0]}"
            )
        case "shoulders" if demand.at % 2:
            return str(demand.at), sentence(
                f"the back’s shoulders have {demand.at} stitches together, so no two alike: {names[0]} less {names[1]} "
                f"is {demand.at}"
            )
        case "shoulders":
            return str(demand.at // 2), sentence(
                f"each shoulder has the back’s {count_words(demand.at // 2, 'stitch')}: {names[0]} less {names[1]} "
                f"is {demand.at}"
            )
        case "neck":
            return str(demand.at), sentence(f"the neck has the back’s {count_words(demand.at, 'stitch')}")
    return "even", sentence(f"{demanded(demand)}: {names[0]} less {names[1]} is even")


def _near(demand: Demand, counts: Mapping[str, int]) -> int:
    """The count of whole repeats before the one nearest to the count that stands."""
    step, key = demand.step or 1, next(iter(demand.terms))
    nearest = demand.at + step * round((counts[key] - demand.at) / step)
    return nearest - step if nearest > step else nearest


def _asked_of_all(steps: Sequence[str], step: int) -> str:
    """ "odd" where every whole repeat is, else the repeat itself."""
    odd = [int(count) % 2 for count in steps]
    return f"{step}" if len(set(odd)) > 1 else "odd" if odd[0] else "even"


# The ways


def _cost(worse: float | None) -> str:
    if worse is None:
        return ""
    return "Nothing fits worse." if worse < NOTHING_WORSE else f"{worse:.2f} of a back worse."


def _lift(way: OfferedWay, refused: Refused) -> WayOutSaid:
    codes = list(dict.fromkeys(demand.code for demand in way.lifted))
    first = "upper_arm" if "upper_arm" in way.counts else "chest" if "chest" in way.counts else next(iter(way.counts))
    wide = way.counts[first]
    others = [
        f"{count} at the {point_name(key)}" for key, count in way.counts.items() if count != refused.counts.get(key)
    ]
    leads = listed(list(dict.fromkeys([f"{wide} at the {point_name(first)}", *others])))
    shows = " ".join(_SHOWS[code](way, refused) for code in codes if code in _SHOWS)
    return WayOutSaid(
        f"Lift {listed([_LIFT_HEADS.get(code, spaced(code)) for code in codes])}",
        f"{sentence(leads)} {shows}".strip(),
        _cost(way.worse),
        f"Knit {wide}, {listed([_LIFT_BUTTONS.get(code, 'so') for code in codes])}",
    )


_LIFT_HEADS: Mapping[str, str] = {
    "repeat": "the repeats",
    "parity": "both sides alike",
    "shoulders": "equal shoulders",
    "neck": "the back’s neck",
}
_LIFT_BUTTONS: Mapping[str, str] = {
    "repeat": "without whole repeats",
    "parity": "sides unlike",
    "shoulders": "other shoulders",
    "neck": "another neck",
}


def _repeat_shows(way: OfferedWay, refused: Refused) -> str:
    demand = next(demand for demand in way.lifted if demand.code == "repeat")
    key, step = next(iter(demand.terms)), demand.step or 1
    over = (way.counts[key] - demand.at) % step
    return f"The last repeat stops {count_words(step - over, 'stitch')} short of the seam." if over else ""


def _parity_shows(way: OfferedWay, refused: Refused) -> str:
    return "One underarm casts one stitch more off than the other."


def _shoulders_show(way: OfferedWay, refused: Refused) -> str:
    demand = next(demand for demand in way.lifted if demand.code == "shoulders")
    own = sum(times * way.counts[key] for key, times in demand.terms.items()) // 2
    back = demand.at // 2
    return f"Shoulders of {own} meet the back’s of {back}: {count_words(abs(own - back), 'stitch')} is eased in each."


def _neck_shows(way: OfferedWay, refused: Refused) -> str:
    demand = next(demand for demand in way.lifted if demand.code == "neck")
    step = way.counts["neck_width"] - demand.at
    return f"Its neck is {count_words(abs(step), 'stitch')} {'wider' if step > 0 else 'narrower'} than the back’s."


_SHOWS: Mapping[str, Callable[[OfferedWay, Refused], str]] = {
    "repeat": _repeat_shows,
    "parity": _parity_shows,
    "shoulders": _shoulders_show,
    "neck": _neck_shows,
}


def _armhole_rows(way: OfferedWay, refused: Refused) -> WayOutSaid:
    more = "One row more" if way.up else "One row fewer"
    return WayOutSaid(
        f"{more} in the armhole",
        f"{count_words(way.rows, 'row')}: the shoulder then rests opposite the carriage.",
        "",
        f"Knit {count_words(way.rows, 'row')}",
    )


def _ease(way: OfferedWay, refused: Refused) -> WayOutSaid:
    percent = round(100 * way.ease)
    return WayOutSaid(
        f"Ease to {percent} %",
        f"The cap’s edge may be up to {percent} % longer than the armhole: small puckers may show.",
        "",
        f"Ease to {percent} %",
    )


def _upper_arm(way: OfferedWay, refused: Refused) -> WayOutSaid:
    upper = way.counts["upper_arm"]
    return WayOutSaid(
        f"{2 * way.times} stitches {'more' if way.up else 'fewer'} at the upper arm",
        f"{upper} at the upper arm instead of {refused.counts['upper_arm']}: {_GOES_IN}.",
        _cost(way.worse),
        f"Knit {upper} at the upper arm",
    )


def _front_rows(way: OfferedWay, refused: Refused) -> WayOutSaid:
    step = 2 * way.times
    before = way.rows - step if way.up else way.rows + step
    return WayOutSaid(
        f"Armhole {step} rows {'deeper' if way.up else 'shallower'} on the front",
        f"{count_words(way.rows, 'row')} on the front instead of {before}, the back stays: {_GOES_IN}.",
        _cost(way.worse),
        f"Knit {count_words(way.rows, 'row')} on the front",
    )


_GOES_IN = "the cap then goes in"


def _together(way: OfferedWay, refused: Refused) -> WayOutSaid:
    """Ways of which none is enough alone."""
    parts = [_WAYS[part.code](part, refused) for part in way.parts]
    heads = [parts[0].head, *(small_first(part.head) for part in parts[1:])]
    buttons = [parts[0].button, *(small_first(part.button) for part in parts[1:])]
    told = " ".join(part.told.replace(f": {_GOES_IN}", "") for part in parts)
    return WayOutSaid(listed(heads), f"{told} Only together they let the cap in.", _cost(way.worse), listed(buttons))


_WAYS: Mapping[str, Callable[[OfferedWay, Refused], WayOutSaid]] = {
    "lift": _lift,
    "armhole_rows": _armhole_rows,
    "upper_arm": _upper_arm,
    "ease": _ease,
    "front_rows": _front_rows,
    "together": _together,
}


# What is kept, and what it costs


@frozen
class BindSaid:
    """What the counts of a piece keep: its name, what it comes to, and what it costs where it costs anything."""

    name: str
    told: str
    cost: str


def binds_said(pieces: Sequence[PieceToKnit]) -> tuple[str, tuple[BindSaid, ...]]:
    """What binds: whether anything costs anything, one sentence, and each thing that is kept, the dearest first."""
    kept = [bind for piece in pieces for bind in _kept(piece)]
    if not kept:
        return "", ()
    costs = any(bind.cost for bind in kept)
    head = (
        "With one of these lifted the counts would fit better. Beside it stands what that is worth, in works of a back."
        if costs
        else "Nothing costs anything here: with any one of these lifted the counts stay as they are."
    )
    return head, tuple(sorted(kept, key=lambda bind: not bind.cost))


_BOUND: Mapping[str, str] = {
    "repeat": "repeats",
    "parity": "sides",
    "shaping": "halves",
    "shoulders": "shoulders",
    "neck": "neck",
}
_SEWN: Mapping[str, str] = {"to_underarm": "side seams", "armhole_depth": "armholes"}


def _worth(by: float) -> str:
    """What a demand that is lifted is worth [works of a back]: "0.08 of a back", "2.9 backs"."""
    return f"{by:.2f} of a back." if by < 1.0 else f"{by:.1f} backs."


def _kept(piece: PieceToKnit) -> Iterator[BindSaid]:
    """What one piece keeps: the demands of its widths, and the rows of what it is sewn to."""
    counts = {key: count.count for key, count in piece.counts.items()}
    name = spaced(piece.kind)
    if piece.together is not None and not piece.together.conflict:
        costs = {demand.key: by for demand, by in piece.together.binds}
        for demand in piece.together.demands:
            by = costs.get(demand.key)
            cost = _worth(by) if by is not None and by >= NOTHING_WORSE else ""
            yield BindSaid(f"{capital(name)}, {_BOUND[demand.code]}", _link(demand, counts)[1], cost)
    for key, seam in _SEWN.items():
        if key in piece.counts and piece.counts[key].comes == "as_piece":
            rows = count_words(counts[key], "row")
            yield BindSaid(f"{capital(name)}, {seam}", f"{rows}, as on the piece that it is sewn to.", "")
