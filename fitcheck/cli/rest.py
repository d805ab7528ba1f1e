"""The commands about the rest of the sweater: its counts, the sheet of a piece, seams, yarn."""

from __future__ import annotations

import argparse

from fitcheck.cli.answers import say_part, told_for, told_part
from fitcheck.cli.output import DATA_WRONG, DONE, complain, say, say_json, width

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from fitcheck.reports.the_rest import TheRest

PIECES = (
    "front",
    "left_front",
    "right_front",
    "back",
    "sleeve",
    "left_sleeve",
    "right_sleeve",
    "side_panel",
    "neck_band",
    "front_band",
    "hem_band",
    "cuff_band",
)


def rest(arguments: argparse.Namespace) -> int:
    """What to cast on next or to go on with, and every count."""
    from functools import partial

    from fitcheck.reports.on_the_needles import bands_by_file, in_hand_by_file
    from fitcheck.reports.the_rest import rest_told
    from fitcheck.terminal.the_rest import printed_rest

    told = told_for(arguments)
    if told is None:
        return DATA_WRONG
    rest = rest_told(told)
    printed = partial(printed_rest, in_hand=in_hand_by_file(rest), bands=bands_by_file(rest))
    return say_part(rest.answer, told.given.household, arguments, printed)


def seams(arguments: argparse.Namespace) -> int:
    """Which edges are sewn together, and whether they fit."""
    from fitcheck.reports.the_rest import rest_told
    from fitcheck.terminal.the_rest import printed_seams

    return told_part(arguments, lambda told: rest_told(told).answer, printed_seams)


def yarn(arguments: argparse.Namespace) -> int:
    """Whether the yarn lasts."""
    from functools import partial

    from fitcheck.reports.on_the_needles import all_by_file
    from fitcheck.reports.the_rest import rest_told
    from fitcheck.terminal.the_rest import printed_yarn

    told = told_for(arguments)
    if told is None:
        return DATA_WRONG
    rest = rest_told(told)
    printed = partial(printed_yarn, on_the_needles=all_by_file(rest))
    return say_part(rest.answer, told.given.household, arguments, printed)


def sheet(arguments: argparse.Namespace) -> int:
    """The sheet of a piece; exit 1 where there is none, with the reason."""
    from fitcheck.reports.the_rest import rest_told

    told = told_for(arguments)
    return DATA_WRONG if told is None else _say_sheet(rest_told(told), arguments)


def _say_sheet(rest: TheRest, arguments: argparse.Namespace) -> int:
    from fitcheck.estimates.numbers import CannotSay

    written = rest.sheet(arguments.piece)
    if isinstance(written, CannotSay):
        from fitcheck.words.cannot_say import cannot_say_sentence

        complain(f"{cannot_say_sentence(written)}\n")
        return DATA_WRONG
    if arguments.json:
        say_json(f"{written.to_json()}\n")
    elif arguments.csv:
        say(written.to_csv())
    else:
        from fitcheck.terminal.sheet import printed_sheet
        from fitcheck.words.the_rest import piece_title

        coming = (piece for piece in rest.answer.pieces if piece.kind == arguments.piece)
        title = next((piece_title(piece.kind, other=piece.other) for piece in coming), "")
        say(printed_sheet(written, title=title, width=width()))
    return DONE


def add_commands(
    commands: argparse._SubParsersAction[Any], add_unit: Callable[[argparse.ArgumentParser], None]
) -> None:
    """Add the commands to those of the command line.

    add_unit  adds the option that says the unit of an answer
    """
    for name, about, run in (
        ("rest", "print what to cast on next, and the counts of every piece still to knit", rest),
        ("sheet", "print the knitting sheet of a piece, by row counter", sheet),
        ("seams", "print which edges are sewn together, and whether they fit", seams),
        ("yarn", "print whether the yarn lasts", yarn),
    ):
        command = commands.add_parser(name, help=about, description=f"{about[:1].upper()}{about[1:]}.")
        command.add_argument("file", metavar="FILE", help="household file; - reads standard input")
        if name == "sheet":
            command.add_argument(
                "piece", metavar="PIECE", choices=PIECES, help="kind of a piece still to knit, such as front"
            )
        command.add_argument("--make", metavar="KEY", help="which make; not needed where there is only one")
        if name != "sheet":
            add_unit(command)
        command.add_argument("--json", action="store_true", help="codes and numbers instead of sentences")
        if name == "sheet":
            command.add_argument("--csv", action="store_true", help="a line for each time that something is done")
        command.set_defaults(run=run)
