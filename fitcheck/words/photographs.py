"""What is said of photographs beside a record: what each is of, how many there are, and what became of one."""

from __future__ import annotations

from fitcheck.words.phrases import count_words

KEPT = "The photograph is kept."
THERE_ALREADY = "This photograph is there already."
TAKEN_AWAY = "The photograph is taken away."
NOTHING_CHOSEN = "No photograph was chosen, so none was kept."
FULL = "There is room for 8 photographs here. Take one away first."
TOO_LARGE = "A photograph has 1.8 MB at most. Make it smaller on the device, as this page does with its script."
NOT_HERE = "not in this household: left out of the file that it came with"
FOR_SCRIPT = {
    "shrinking": "Made smaller on this device …",
    "unread": "This device cannot read that file as a picture. Choose a JPEG or PNG.",
}
"""What a script says while it makes a photograph smaller, and where it cannot."""


def which(number: int, count: int) -> str:
    """Which photograph it is, for who cannot see it: "Photograph 2 of 3"."""
    return f"Photograph {number} of {count}"


def in_all(count: int, size: int) -> str:
    """How many photographs are kept, and how large they are together [bytes]."""
    return f"{count_words(count, 'photograph')}, {max(size / 1e6, 0.1):.1f} MB."
