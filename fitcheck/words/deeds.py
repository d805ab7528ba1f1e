"""What is said once after a deed: that something was kept, changed, undone or deleted, or why nothing was."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, count_words, few, listed
from fitcheck.words.shelves import LONGEST_NAME

CHANGED = "Changed."
CHANGED_ELSEWHERE = "It was changed on another device just now. Look again."
NOT_DELETED = "It was changed meanwhile, so nothing was deleted. Look at it again."
NOT_UNDONE = "It was changed again since, so nothing was undone."
UNDONE = "Undone: it is as it was before."
DONE_AGAIN = "Done again: it is as it was before the undo."
ANSWERED_ALREADY = "That question is answered already."
KEPT_TODAY = "Kept with today’s date, so that you can come back to it."
FREE_AGAIN = "Free again: each make goes by its own readings."
FROZEN = "Frozen: every make uses it from now on."
AS_SEWN = "As its pieces were read, less what the seams take."
"""What stands beside the measuring of a garment that its pieces stand for."""
DONE_KEPT = "What is done is kept."
ANSWER_CHANGED = "The answer has changed since this one was shown. Look at the new one."
COUNTS_CHANGED = "The counts have changed since this was shown. Look at the new ones."
SHEET_CHANGED = "The sheet has changed since this one was shown. Look at the new one."
ASKED_OTHERWISE = "The question has changed since this page was shown. Look at the new one."
COUNTS_PLANNED = "These counts are the planned ones now."
OTHER_COUNTS_NOW = "These counts are others now. Look at them once more."
LATEST_ALREADY = "This make fits the latest measuring already."
INVENTED_HERE = "The invented household is on the table. Every figure in it is made up."
STILL_THERE = "Everything you typed is still in the form."
TOO_LONG = "One of the fields holds more than any record takes. Shorten it, then keep the form again."


def answered_already(typed: str) -> str:
    """That there is nothing to answer any more, with the figure that was typed and is not kept."""
    return f"{ANSWERED_ALREADY} Not kept: {typed.strip()}." if typed.strip() else ANSWERED_ALREADY


_WHERE_NOW = {
    "garments": "is in the wardrobe",
    "swatches": "is in the book",
    "yarns": "is in the swatch book",
    "machines": "is in the swatch book",
    "size_tables": "is kept",
    "wearers": "belongs to the household now",
    "makes": "is among the makes",
}


def added(kind: str, name: str) -> str:
    """That a record is new, and where it stands; a person's name stays as it was typed."""
    return f"{_told(kind, name)} {_WHERE_NOW[kind]}."


def kept_again(kind: str, name: str) -> str:
    """That a form which had made a record was sent again."""
    return f"{_told(kind, name)} was kept from this form before: it is changed now, and there is no second one."


def _told(kind: str, name: str) -> str:
    return "It" if kind == "garments" and len(name) > LONGEST_NAME else name if kind == "wearers" else capital(name)


def finished(name: str, *, hung: bool, readings: int = 0) -> str:
    """That a make is finished, where it hangs, and with how many readings of the tape."""
    told = capital(name) if len(name) <= LONGEST_NAME else "It"
    of = f", with {count_words(readings, 'reading')}" if readings else ""
    return f"{told} is finished{' and hangs in the wardrobe' if hung else ''}{of}."


def readings_kept(count: int) -> str:
    """How many readings were kept."""
    return f"Kept {count_words(count, 'reading')}."


def make_deleted(name: str) -> str:
    """That a make was deleted."""
    return f"Deleted: {name}."


def was_deleted(name: str) -> str:
    """That a record was deleted."""
    return f"{capital(name)} was deleted. It can be brought back."


def still_named(name: str, others: Sequence[str], more: int) -> str:
    """Why a record was not deleted: which others name it."""
    told = [*others, f"{few(more)} more"] if more else list(others)
    return f"{capital(name)} was kept, because {listed(told)} name{'s' if len(told) == 1 and not more else ''} it."


def not_brought_back(read: str, accepts: str) -> str:
    """Why a record stays deleted."""
    return f"Not brought back: {read}. {accepts}"


def is_back(name: str = "it") -> str:
    """That a record is back."""
    return f"{capital(name)} is back."


def not_there(name: str, where: str) -> str:
    """That no record has the name of an address."""
    return f"There is no {name} in the {where}. Look for a slip in its name."


def deleted_from(name: str, where: str) -> str:
    """The same of a record that was deleted."""
    return f"{capital(name)} was deleted. It can be brought back at the foot of the {where}."


def backed_up(path: str) -> str:
    """Where the backup stands."""
    return f"Everything is copied to {path}. Keep a copy on another disk."


def taken_in(counts: Sequence[str]) -> str:
    """What came of a household file."""
    return f"Taken in: {', '.join(counts) or 'nothing was in it'}."


def readings_added(added: int, there: int) -> str:
    """What came of a table of readings."""
    return f"{count_words(added, 'reading')} added{f', {there} were here already' if there else ''}."


def invented_gone(stayed: Sequence[str]) -> str:
    """That the invented household is gone, and what of it stayed."""
    told = "The invented household is gone."
    return f"{told} Kept, because your own records name it: {listed(stayed)}." if stayed else told


def more_readings(count: int) -> str:
    """What changed an answer: "3 more readings"."""
    return f"{count} more reading{'s' if count > 1 else ''}"


def planned_for(piece: str) -> str:
    """The same: a count that was typed for a piece to come."""
    return f"planned for the {piece}"


def count_kept(count: int, key: str) -> str:
    """The same: a planned count that was asked about and is right."""
    return f"{count} at the {point_name(key)} kept"


def instead_of(now: str, read: str) -> str:
    """The same: what was typed in the place of something else."""
    return f"{now} instead of {read}"


def put_right(text: str) -> str:
    """The same: a figure that was put right."""
    return f"put right: {text}"


def dial(setting: str) -> str:
    """The same: where the dial stood."""
    return f"dial {setting}"


def size_is_knitted(name: str) -> str:
    """The same: which size of the pattern is knitted."""
    return f"size {name}"


NEWER = "the newer measuring"
READING_ASIDE, SWEATER_KEPT, COUNTED = "a reading set aside", "the sweater kept", "counted"
USUAL_COSTS, COSTS_KEPT = "the usual costs", "the costs kept"
KEPT_AS_TYPED = "kept as typed"
OWN_COUNTS = "counts of your own"
COUNTS_SWAPPED = "counts swapped"


# Why a page does not come

WENT_WRONG = "Something in the program went wrong. Nothing was changed. Try again, or restart it."


def measured_for(name: str, make: str) -> str:
    """That a swatch is new, and of which make it is."""
    return f"{capital(name)} is in the book, and one of the swatches of {make}."


def swatches_kept(count: int) -> str:
    """How many swatches were put in the book."""
    return f"Kept {count_words(count, 'swatch')}."


NO_SUCH_SIZE = "The pattern has no such size."
NO_SUCH_PIECE = "That piece is not there."
NO_SUCH_POINT = "That piece or point is not there."
NO_SUCH_STAGE = "That stage is not there."
NO_SUCH_CHANGE = "That change is not in the history."
NO_SUCH_ANSWER = "That answer is not there."
COUNTS_NO_JSON = "The counts are no JSON."
NO_SWATCH_OF_FABRIC = "There is no swatch of that yarn on that machine yet. Add one in the swatch book."
NO_OUTLINE = "No outline: too little was read to draw this piece, or its construction is not drawn."
_HEADS = {
    403: "Not from there.",
    404: "There is nothing here.",
    405: "That cannot be done here.",
    409: "It was changed meanwhile.",
    410: "It was deleted.",
    413: "That is too much at once.",
    422: "Not taken.",
    503: "The database is busy.",
    507: "The disk is full.",
}

ONLY_READ = "The database is only read."
ALLOW_WRITING = (
    "Allow writing to the database, then stop Fitcheck and start it again: it is only read now, and nothing is kept."
)
START_AGAIN = (
    "Stop Fitcheck and start it again: the database was taken away or replaced, and nothing is kept until then."
)
"""What stands on every page while nothing can be written."""


def not_done(status: int) -> str:
    """The heading over why a page does not come, by the status of the answer."""
    return _HEADS.get(status, "That did not work.")


NO_SUCH_ADDRESS = "No page has this address. It was mistyped, or what it showed was deleted."
NO_SUCH_DEED = "This address does not take what was sent to it."


def no_such_page(status: int) -> str:
    """Why a page does not come of which nobody knows more than its status."""
    return {404: NO_SUCH_ADDRESS, 405: NO_SUCH_DEED}.get(status, "")
