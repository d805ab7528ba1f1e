"""Which swatches are one fabric, and which of these fabrics a make is knitted in (model 8b, fit rule 14).

One fabric is one yarn on one machine: equal carriage, strands, mast tension, weights, needle arrangement and stitch
pattern. A field that nobody filled in agrees with anything; mast tensions one mark apart agree. Groups are told as
groups: the one that the make names or its pieces belong to is taken, else the one with the most swatches, and then it
is asked which it is. A swatch of a rib beside as many of another pattern is that of the bands: nothing is asked about
it. How a swatch was washed and blocked makes no other group.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make, Piece
from fitcheck.records.stages import Stage
from fitcheck.records.swatches import Swatch

SETTINGS: Mapping[str, str] = MappingProxyType(
    {
        "yarn": "other_yarn",
        "machine": "other_machine",
        "carriage": "other_carriage",
        "strands": "other_strands",
        "mast_tension": "other_tension",
        "weights": "other_weights",
        "needle_arrangement": "other_needles",
        "stitch_pattern": "other_pattern",
    }
)
"""Fields that must be equal before two are pooled, with the code that names an unequal one."""
ASKED_FIRST = (
    "strands",
    "carriage",
    "needle_arrangement",
    "mast_tension",
    "weights",
    "stitch_pattern",
    "yarn",
    "machine",
)
"""Which of the settings that differ is asked about: what makes the largest difference first (ours, no source)."""
TENSION_APART = 1.0
"""Marks of the mast tension that two swatches of one fabric may be apart (model 8b)."""
RIB = "rib"
"""A swatch whose stitch pattern is called so tells the bands; assumed, for nothing else names theirs."""
_NUMBER = re.compile(r"\s*(\d{1,3}(?:[.,]\d{1,2})?)\s*")


@frozen
class SwatchGroup:
    """Swatches of one fabric.

    swatches  their keys, in the order of the make;  one that leaves a setting unsaid may be of several groups
    settings  what they were knitted with, as it was written; a setting that none of them says is not in it
    taken     the fabric of the make
    """

    swatches: tuple[str, ...]
    settings: Mapping[str, str]
    taken: bool


@frozen
class GroupAsked:
    """Groups that nothing tells apart: which fabric is it?

    setting  the setting in which they differ
    taken    what the largest group has there, and how many swatches are of it
    others   the same of the other groups
    """

    setting: str
    taken: tuple[str, int]
    others: tuple[tuple[str, int], ...]


@frozen
class Grouped:
    """The swatches of a make in groups.

    usual   what the make's fabric is, per setting, with `treatment` and `blocking`; empty where nobody said it
    groups  the group that is taken first, then the others, the largest first; none where the make has no swatch
    asked   where neither make nor pieces say which group it is
    """

    usual: Mapping[str, str]
    groups: tuple[SwatchGroup, ...]
    asked: GroupAsked | None


def grouped(make: Make, swatches: Sequence[Swatch]) -> Grouped:
    """Group a make's swatches, and say which group its fabric is.

    swatches  of the make, the newest first: of two groups alike the newer one is taken
    """
    own = {"yarn": make.yarn or "", "machine": make.machine or ""}
    for piece in reversed(make.standing):
        own = _filled(own, said_of(piece))
    own = {field: own.get(field, "") for field in SETTINGS}
    parties = _parties(swatches)
    fitting = _of_the_body([party for party in parties if _agree_all(own, party.settings)])
    usual = _filled(own, fitting[0].settings) if fitting else own
    order = [*fitting[:1], *(party for party in parties if party not in fitting[:1])]
    place = {key: number for number, key in enumerate(make.swatches)}
    groups = [
        SwatchGroup(
            tuple(sorted((swatch.id for swatch in party.swatches), key=place.__getitem__)),
            {field: said for field, said in party.settings.items() if said},
            party in fitting[:1],
        )
        for party in order
    ]
    finish = _finish([*reversed(make.standing)], fitting[0].swatches if fitting else ())
    return Grouped({**usual, **finish}, tuple(groups), _asked(fitting))


def said_of(record: Swatch | Piece, swatches: Sequence[Swatch] = ()) -> dict[str, str]:
    """Every setting as it was written; empty where nothing was.

    A swatch that says no strands is of one beside swatches of its yarn that say two (assumed: who doubles it says so).

    swatches  of the make, where the record is one of them
    """
    said = {field: str(getattr(record, field) or "") for field in SETTINGS}
    if not said["strands"] and any((swatch.strands or 1) > 1 and swatch.yarn == record.yarn for swatch in swatches):
        said["strands"] = "1"
    return said


def finish_of(record: Swatch | Piece) -> dict[str, str]:
    """How it was washed and blocked the last time; empty where nothing was written."""
    blocked = blocked_stage(record.stages)
    return {
        "treatment": blocked.treatment if blocked else "",
        "blocking": blocked.blocking or "" if blocked else "",
    }


def blocked_stage(stages: Sequence[Stage]) -> Stage | None:
    """The last washing and blocking."""
    return next((stage for stage in reversed(stages) if stage.kind == "blocked"), None)


def agree(setting: str, said: str, usual: str) -> bool:
    """Whether two settings are one: blank agrees with anything; of two treatments one may say more than the other."""
    if setting == "treatment":
        return _parts(said) <= _parts(usual) or _parts(usual) <= _parts(said)
    if not said or not usual or _plain(said) == _plain(usual):
        return True
    one, other = _NUMBER.fullmatch(said), _NUMBER.fullmatch(usual)
    if setting != "mast_tension" or one is None or other is None:
        return False
    return abs(_mark(one[1]) - _mark(other[1])) <= TENSION_APART


def called_a_rib(pattern: str) -> bool:
    """Whether a stitch pattern is called a rib: "1x1 rib", "Rib 2-2"."""
    return RIB in pattern.casefold().replace("-", " ").split()


# Parties: swatches that agree in every setting


@frozen
class _Party:
    """Swatches that agree, and what they were knitted with."""

    swatches: tuple[Swatch, ...]
    settings: Mapping[str, str]


def _parties(swatches: Sequence[Swatch]) -> list[_Party]:
    """The largest party, the largest among the rest, and so on; a swatch that says little is of each that it may be."""
    said = [(swatch, said_of(swatch, swatches)) for swatch in swatches]
    # Who says most goes first: who says nothing of the strands joins a fabric, and founds none.
    said.sort(key=lambda entry: -sum(map(bool, entry[1].values())))
    parties: list[_Party] = []
    left = said
    while left:
        founders = {tuple(settings.values()): settings for _, settings in left}
        largest = max((_party(settings, said) for settings in founders.values()), key=lambda party: len(party.swatches))
        parties.append(largest)
        grouped_now = {swatch.id for swatch in largest.swatches}
        left = [entry for entry in left if entry[0].id not in grouped_now]
    return sorted(parties, key=lambda party: -len(party.swatches))


def _party(founder: Mapping[str, str], said: Iterable[tuple[Swatch, Mapping[str, str]]]) -> _Party:
    settings: Mapping[str, str] = founder
    members = []
    for swatch, own in said:
        if _agree_all(settings, own):
            settings = _filled(settings, own)
            members.append(swatch)
    return _Party(tuple(members), settings)


def _of_the_body(fitting: Sequence[_Party]) -> Sequence[_Party]:
    """Those that may be the fabric of the pieces: without ribs, where as many swatches are of another pattern."""
    plain = [party for party in fitting if not called_a_rib(party.settings["stitch_pattern"])]
    return plain if plain and len(plain[0].swatches) >= len(fitting[0].swatches) else fitting


def _agree_all(one: Mapping[str, str], other: Mapping[str, str]) -> bool:
    return all(agree(field, one[field], other[field]) for field in SETTINGS)


def _filled(one: Mapping[str, str], other: Mapping[str, str]) -> dict[str, str]:
    """What one says, and where it says nothing what the other does."""
    return {field: one.get(field) or other.get(field, "") for field in SETTINGS}


def _asked(fitting: Sequence[_Party]) -> GroupAsked | None:
    """Which fabric is it, where more than one may be."""
    if len(fitting) < 2:
        return None
    first, others = fitting[0], fitting[1:]
    setting = next(
        field
        for field in ASKED_FIRST
        if any(not agree(field, first.settings[field], party.settings[field]) for party in others)
    )
    return GroupAsked(
        setting,
        (first.settings[setting], len(first.swatches)),
        tuple(
            (party.settings[setting], len(party.swatches))
            for party in others
            if not agree(setting, first.settings[setting], party.settings[setting])
        ),
    )


# How the fabric is washed and blocked


def _finish(pieces: Sequence[Piece], swatches: Sequence[Swatch]) -> dict[str, str]:
    """Treatment and blocking: those of the pieces, the last first; else what most swatches had, pins last.

    What is held by pins measures its pins (fit rule 2): it says how a fabric is blocked only where nothing else does.
    """
    finish = {}
    for field in ("treatment", "blocking"):
        own = next((said for piece in pieces if (said := finish_of(piece)[field])), "")
        told = [said for swatch in swatches if (said := finish_of(swatch)[field])]
        patted = [said for said in told if said != "pinned"]
        finish[field] = own or _most(field, patted or told)
    return finish


def _most(field: str, told: Sequence[str]) -> str:
    """What most agree with, and of those what says most; the first of equals; empty without any."""
    return max(told, key=lambda said: (sum(agree(field, said, other) for other in told), len(_parts(said))), default="")


def _plain(text: object) -> str:
    """A setting as it is compared: no matter how it is spaced or whether it has capitals."""
    return " ".join(str(text or "").split()).casefold()


def _parts(treatment: str) -> frozenset[str]:
    return frozenset(part for written in treatment.split(",") if (part := _plain(written)))


def _mark(text: str) -> float:
    return float(text.replace(",", "."))
