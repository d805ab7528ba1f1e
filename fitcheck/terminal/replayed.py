"""What came of knitting a sheet through, on a terminal."""

from __future__ import annotations

from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.replay import Replay
from fitcheck.terminal.paper import WIDTH, wrapped
from fitcheck.words.replayed import replayed_sentences


def printed_replay(replay: Replay, sheet: Sheet, needles: int, name: str, *, width: int = WIDTH) -> str:
    """Lay out whether a sheet can be knitted, or the first line that cannot.

    needles  of the bed that was taken;  name: of the file
    """
    lines = [f"{name}:", ""]
    for sentence in replayed_sentences(replay, sheet, needles):
        lines += wrapped(sentence, width, "  ", "  ")
    return "\n".join(lines) + "\n"
