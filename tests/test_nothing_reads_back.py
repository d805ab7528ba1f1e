"""Prose is no interface: where sentences are put together or laid out, none is cut up or searched again."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).parents[1]
ROOMS = ("words", "terminal", "reports")
CUTS = {
    "startswith", "endswith", "removeprefix", "removesuffix", "split", "rsplit", "partition", "rpartition", "sub",
    "match", "fullmatch", "search", "findall",
}  # fmt: skip
NO_SENTENCE = {
    ("cannot_say.py", "refused_sentence"): "the catalogue's name of a point, which the reason was given with",
    ("sizes.py", "size_assumed_sentence"): "a code: change:rested",
    ("names.py", "garment_name"): "a name that is ours",
    ("phrases.py", "small_first"): "the first word of what is being put together",
    ("phrases.py", "count_words"): "a noun",
    ("odd.py", "_short"): "a point's name",
    ("questions.py", "slip_asked"): "two words of a table",
    ("finished.py", "next_name"): "what somebody called a sweater, and the number behind it",
    ("sheet.py", "_parts"): "codes of a part and of a group: second_half, left_shoulder",
    ("sheet.py", "_group"): "the same codes",
    ("at_machine.py", "_half"): "the code of a part: second_half",
    ("at_machine.py", "_group"): "the code of a group: left_shoulder",
    ("sheet_page.py", "_knitted_through"): "the same code",
    ("faults.py", "fault_sentence"): "what a person is told to type, with its own end",
    ("questions.py", "shortened"): "what was typed",
    ("changes.py", "_it"): "the name of a piece: the sleeves",
    ("dates.py", "_parts"): "a day as it was typed",
    ("dates.py", "_month"): "a month as it was typed",
    ("helps.py", "_to_be_surer"): "a code: growth_along",
    ("points.py", "point_of"): "a code: seam_stitch",
    ("paper.py", "_split"): "a figure in a column",
    ("paper.py", "gutter"): "a sign",
    ("paper.py", "wrapped"): "a space that held two words together",
    ("page.py", "joined"): "the lines of the whole page",
}
"""What is cut all the same, and what it is."""


def cuts() -> set[tuple[str, str]]:
    found = set()
    for room in ROOMS:
        for path in sorted((ROOT / "fitcheck" / room).glob("*.py")):
            for function in ast.walk(ast.parse(path.read_text("utf-8"))):
                if isinstance(function, ast.FunctionDef) and any(
                    isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute) and call.func.attr in CUTS
                    for call in ast.walk(function)
                ):
                    found.add((path.name, function.name))
    return found


def test_no_sentence_is_read_back() -> None:
    assert cuts() == set(NO_SENTENCE)
