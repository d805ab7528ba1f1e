"""What is asked about the figures of a plan before it is answered: likely slips in the chest, the swatch, the counts.

The rules are those of the records; a plan has two more, because its sizes and its swatch stand beside the chest: a
chest that is half or twice what every size would be, and a count that is far from the chest and a slip of the finger
away from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.advice.sizes.slips import chest_slip, count_slips
from fitcheck.records.base import MOST_COUNTED
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.questions import questions
from fitcheck.records.questions.question import Question
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch
from fitcheck.words import question_asked, slip_words
from fitcheck.words.sizes import chest_slip_asked, count_slip_asked
from webui.forms.drafts import Draft
from webui.forms.typed import several, whole_number
from webui.pages import ground


@frozen
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
    asked = [
        question for question in (_of_record(draft, question) for question in questions(alone)) if question is not None
    ]
    # Nothing is compared with a figure that is in question itself.
    if not asked:
        asked = list(_chest_against_sizes(draft, answer)) or list(_counts_against_chest(draft, answer))
    first: dict[str, PlanQuestion] = {}
    for question in asked:
        if not is_kept(draft, question.field):
            first.setdefault(question.field, question)
    return list(first.values())


def _asked(draft: Draft, field: str, odd: str, slip: str, sets: Mapping[str, str], read: str) -> PlanQuestion:
    return PlanQuestion(field, odd, slip, sets, f"Keep {read}", {f"kept_{field}": as_kept(draft, field)})


def _of_record(draft: Draft, question: Question) -> PlanQuestion | None:
    """A question about the records, as one about the field that the figure was typed in."""
    odd = question_asked(question)
    if question.place.path == ("fits", "numbers", "chest"):
        sets = {"chest_meant": "round"} if question.code == "round_measure" else {"chest": question.meant}
        return _asked(draft, "chest", odd, slip_words(question), sets if question.meant else {}, question.read)
    place = question.place
    if place.kind != "swatches" or place.path[:3] != ("stages", 0, "across"):
        return None
    texts = several(draft.text("across"))
    if question.meant and place.reading is not None:
        texts[place.reading] = question.meant
        return _asked(draft, "across", odd, slip_words(question), {"across": "; ".join(texts)}, question.read)
    return _asked(draft, "across", odd, "", {}, question.read)


def _chest_against_sizes(draft: Draft, answer: SizesAnswer) -> Iterator[PlanQuestion]:
    """Ask about a chest that is twice or half as wide as every size: round for flat, or flat for round."""
    slip = chest_slip(answer, "round" if draft.text("chest_meant") == "round" else "flat")
    if slip is None or not draft.text("chest"):
        return
    asked = chest_slip_asked(slip, ground.tape())
    meant = "round" if slip.meant == "flat" else "flat"
    yield _asked(draft, "chest", asked.odd, asked.slip, {"chest_meant": meant}, asked.read)


def _counts_against_chest(draft: Draft, answer: SizesAnswer) -> Iterator[PlanQuestion]:
    """Ask about a typed count far from the chest, with the slip of the finger that brings it nearest."""
    if draft.text("table"):
        return
    fields = {draft.text(f"size_{number}") or str(number): f"count_{number}" for number in (1, 2)}
    typed = {name: whole_number(draft.text(field), 0, MOST_COUNTED) for name, field in fields.items()}
    counts = {name: count for name, count in typed.items() if count is not None}
    for slip in count_slips(answer, counts):
        field, asked = fields[slip.size], count_slip_asked(slip, ground.tape())
        sets = {field: str(slip.meant)} if slip.meant is not None else {}
        yield _asked(draft, field, asked.odd, asked.slip, sets, asked.read)
