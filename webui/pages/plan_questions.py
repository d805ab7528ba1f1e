"""What is asked about the figures of a plan before it is answered: likely slips in the chest, the swatch, the counts.

The rules are those of the records; a plan has two more, because its sizes and its swatch stand beside the chest: a
chest that is half or twice what every size would be, and a count that is far from the chest and a slip of the finger
away from it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import Question
from fitcheck.records.households import Household
from fitcheck.records.known_gauge import digit_slips
from fitcheck.records.makes import Make
from fitcheck.records.plausibility import NEAR_WANTED, READ_ROUND, questions
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch
from fitcheck.words import question_asked
from webui.forms.drafts import Draft
from webui.forms.typed import several
from webui.pages import ground

FAR_COUNT = 1.8
"""How many times wider or narrower than the chest a size may come out before its count is asked about [1] (assumed)."""


@dataclass(frozen=True, slots=True)
class PlanQuestion:
    """A question about a field of the plan.

    odd   what was read and why it is odd
    slip  the likely slip as its button says it, empty where none is likely;  sets: what that button types, by field
    keep  what the other button says;  keeps: the hidden field that remembers it
    """

    field: str
    odd: str
    slip: str
    sets: Mapping[str, str]
    keep: str
    keeps: Mapping[str, str]


def as_kept(draft: Draft, field: str) -> str:
    """What is remembered of a field that was kept: typed anew, it is asked about anew."""
    meant = f" {draft.text('chest_meant') or 'flat'}" if field == "chest" else ""
    return f"{draft.text(field)}{meant}"


def is_kept(draft: Draft, field: str) -> bool:
    """Whether what is typed in a field was asked about and kept."""
    return bool(draft.text(field)) and draft.text(f"kept_{field}") == as_kept(draft, field)


def plan_questions(
    draft: Draft, household: Household, make: Make, swatch: Swatch | None, table: SizeTable | None, answer: SizesAnswer
) -> list[PlanQuestion]:
    """What is unlikely in a plan and was not kept; the first question about a field is the one that is asked."""
    alone = household.model_copy(
        update={
            "wearers": [],
            "garments": [],
            "swatches": [swatch] if swatch else [],
            "size_tables": [table] if table else [],
            "makes": [make.model_copy(update={"fits": make.fits.model_copy(update={"garment": None})})],
        }
    )
    found = [one for one in (_of_record(draft, one) for one in questions(alone)) if one is not None]
    # Nothing is compared with a figure that is in question itself.
    if not found:
        found = list(_chest_against_sizes(draft, answer)) or list(_counts_against_chest(draft, answer))
    first: dict[str, PlanQuestion] = {}
    for one in found:
        if not is_kept(draft, one.field):
            first.setdefault(one.field, one)
    return list(first.values())


def _asked(draft: Draft, field: str, odd: str, slip: str, sets: Mapping[str, str], read: str) -> PlanQuestion:
    return PlanQuestion(field, odd, slip, sets, f"Keep {read}", {f"kept_{field}": as_kept(draft, field)})


def _of_record(draft: Draft, question: Question) -> PlanQuestion | None:
    """A question about the records, as one about the field that the figure was typed in."""
    odd = question_asked(question)
    if question.place.path == ("fits", "numbers", "chest"):
        sets = {"chest_meant": "round"} if question.code == "round_measure" else {"chest": question.meant}
        return _asked(draft, "chest", odd, question.slip, sets if question.meant else {}, question.read)
    place = question.place
    if place.kind != "swatches" or place.path[:3] != ("stages", 0, "across"):
        return None
    texts = several(draft.text("across"))
    if question.meant and place.reading is not None:
        texts[place.reading] = question.meant
        return _asked(draft, "across", odd, question.slip, {"across": "; ".join(texts)}, question.read)
    return _asked(draft, "across", odd, "", {}, question.read)


def _chests(answer: SizesAnswer) -> Iterator[tuple[str, float, float]]:
    """Every size whose chest is known: its name, finished and wanted [mm]."""
    for size in answer.sizes:
        width = size.width("chest")
        if width and not isinstance(width.finished, CannotSay) and not isinstance(width.wanted, CannotSay):
            yield size.name, width.finished.value, width.wanted.value


def _chest_against_sizes(draft: Draft, answer: SizesAnswer) -> Iterator[PlanQuestion]:
    """Ask about a chest that is twice or half as wide as every size: round for flat, or flat for round."""
    chests = list(_chests(answer))
    text, meant = draft.text("chest"), draft.text("chest_meant") or "flat"
    if not text or not chests:
        return
    low, high = READ_ROUND
    times = 2.0 if meant == "round" else 1.0
    read = ground.length(times * chests[0][2])
    come_out = "The size comes out" if len(chests) == 1 else "The sizes come out"
    widths = " and ".join(ground.length(mm) for mm in dict.fromkeys(mm for _, mm, _ in chests[:2]))
    if meant == "flat" and all(low <= wanted / mm <= high for _, mm, wanted in chests):
        slip = f"It is the round measure: {ground.length(chests[0][2] / 2)} flat"
        odd = f"{read} for the chest, flat? {come_out} at {widths} in this fabric."
        yield _asked(draft, "chest", odd, slip, {"chest_meant": "round"}, read)
    elif meant == "round" and all(low <= mm / wanted <= high for _, mm, wanted in chests):
        odd = f"{read} for the chest, round? {come_out} at {widths} flat in this fabric."
        yield _asked(draft, "chest", odd, f"It is flat: {read}", {"chest_meant": "flat"}, read)


def _counts_against_chest(draft: Draft, answer: SizesAnswer) -> Iterator[PlanQuestion]:
    """Ask about a typed count far from the chest, with the slip of the finger that brings it nearest."""
    if draft.text("table"):
        return
    sizes = {name: (mm, wanted) for name, mm, wanted in _chests(answer)}
    typed = {draft.text(f"size_{number}") or str(number): draft.text(f"count_{number}") for number in (1, 2)}
    counted = [(int(text), sizes[name][0]) for name, text in typed.items() if name in sizes and text.isdecimal()]
    for number in (1, 2):
        field = f"count_{number}"
        mm, wanted = sizes.get(draft.text(f"size_{number}") or str(number), (0.0, 0.0))
        text = draft.text(field)
        if not mm or not text.isdecimal() or abs(math.log(mm / wanted)) <= math.log(FAR_COUNT):
            continue
        count = int(text)
        odd = f"{count} stitches at the chest? They come out at {ground.length(mm)}; {ground.length(wanted)} is wanted."
        # A stitch is what one count more makes; the seams take the same from both.
        (one, one_mm), (two, two_mm) = counted[0], counted[-1]
        stitch = (one_mm - two_mm) / (one - two) if one != two else mm / count
        off = {other: abs(mm + (other - count) * stitch - wanted) for other in digit_slips(count)[0]}
        meant = min(sorted(off), key=off.__getitem__)
        near = off[meant] <= (NEAR_WANTED - 1) * wanted
        slip, sets = (f"{meant} stitches", {field: str(meant)}) if near else ("", {})
        yield _asked(draft, field, odd, slip, sets, f"{count} stitches")
