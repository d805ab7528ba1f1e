"""The words of the command line, and the command itself.

Nothing heavy is imported before it is needed: ``fitcheck --help`` loads argparse and no more. Exit codes:
0 done, 1 the data is wrong or not there, 2 the command line is wrong. An answer is written whole or not at
all.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys

from fitcheck.cli import answers, rest, service
from fitcheck.cli.output import DATA_WRONG, DONE, USAGE, UnwritableError, complain, drop_the_rest, flush, say, write

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any, NoReturn

    from _typeshed import SupportsWrite


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command; returns its exit code.

    argv  words after the command's name; None takes those that it was started with
    """
    if argv is not None:
        return _answered(argv)
    # A process of its own ends with its answer: to look for what it could throw away, at its end too, took a fifth.
    gc.disable()
    code = _answered(None)
    gc.freeze()
    return code


def _answered(argv: Sequence[str] | None) -> int:
    """Run the command, and have its answer written whole or not at all; returns its exit code."""
    # No plugin is to look at the records: to find none, pydantic reads what every installed package says of itself.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    try:
        code = _run(argv)
        flush()
    except BrokenPipeError:
        # Whoever reads has seen enough. What is still in the buffer goes nowhere, and quietly.
        drop_the_rest()
        return DONE
    except UnwritableError as unwritable:
        drop_the_rest()
        complain(f"The answer could not be written: {unwritable}.\n")
        return DATA_WRONG
    except KeyboardInterrupt:
        return 130
    return code


def _run(argv: Sequence[str] | None) -> int:
    try:
        words = sys.argv[1:] if argv is None else argv
        arguments = _parser(*words[:1]).parse_args(words)
    except SystemExit as leaving:  # argparse leaves by itself, after --help too
        return leaving.code if isinstance(leaving.code, int) else USAGE
    code: int = arguments.run(arguments)
    return code


class _Parser(argparse.ArgumentParser):
    """argparse keeps quiet about help that cannot be written; this one does not, and says what it takes instead."""

    def error(self, message: str) -> NoReturn:
        """Say how the command is written and what is not, and leave."""
        complain(f"{self.format_usage()}{message[:1].upper()}{message[1:]}\n")
        raise SystemExit(USAGE)

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        """Refuse a value that is none of those to choose from."""
        if action.choices is None or value in action.choices:
            return
        named = action.option_strings[0] if action.option_strings else (action.metavar or self.prog.split()[-1])
        choices = [str(choice) for choice in action.choices]
        raise _NotTakenError(f"not taken: {named} {value}. One of {', '.join(choices[:-1])} or {choices[-1]}.")

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        if message and file is not None and file is sys.stdout:
            write(message)
        else:
            super()._print_message(message, file)


class _NotTakenError(argparse.ArgumentError):
    """A value that is not taken; it names its option itself."""

    def __init__(self, message: str) -> None:
        super().__init__(None, message)


def _parser(first: str = "") -> argparse.ArgumentParser:
    """What takes the command line apart.

    first  its first word: where it asks for an answer, none but the commands that answer are set up
    """
    parser = _Parser(
        prog="fitcheck",
        description="Is this blocked piece right, and what now? For sweaters knitted in pieces by machine.",
        epilog="Exit codes: 0 done, 1 the data is wrong, 2 the command line is wrong.",
    )
    parser.add_argument("--version", action=_Version, help="show the version and leave")
    # Its name is said: to find it, argparse would lay out a help that nobody asked for.
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True, prog=parser.prog)
    _add_answers(commands)
    if first in _ANSWERS:
        return parser
    rest.add_commands(commands, _add_unit)
    _add_checks(commands)
    demo = _add_demo(commands)
    service.add_demo_options(demo)
    service.add_commands(commands)
    return parser


_ANSWERS = {
    "report": ("print the answer for one make", answers.report),
    "fabric": ("print what a make's fabric does: gauge, finishing, dial, next swatch", answers.fabric),
    "sizes": ("print which size's numbers to knit in this fabric", answers.sizes),
}
"""The commands that answer about one make: what is said of each, and what it does."""


def _add_answers(commands: argparse._SubParsersAction[_Parser]) -> None:
    """The commands that answer about one make."""
    for name, (about, run) in _ANSWERS.items():
        part = commands.add_parser(name, help=about, description=f"{about[:1].upper()}{about[1:]}.")
        part.add_argument("file", metavar="FILE", help="household file; - reads standard input")
        part.add_argument("--make", metavar="KEY", help="which make; not needed where there is only one")
        if name == "report":
            part.add_argument("--piece", metavar="KEY", help="which piece; the last one that was read otherwise")
            _add_all(part)
        _add_unit(part)
        part.add_argument("--json", action="store_true", help="codes and numbers instead of sentences")
        if run is answers.sizes:
            part.add_argument("--dial", metavar="DIAL", help="at which dial, such as 7.1; the advised one otherwise")
        part.set_defaults(run=run)


def _add_checks(commands: argparse._SubParsersAction[_Parser]) -> None:
    """The commands that look at a file itself, and those that say what one looks like."""
    check = commands.add_parser(
        "check",
        help="check a household file",
        description="Check a household file: everything that is wrong at once, then what is unlikely.",
    )
    check.add_argument("file", metavar="FILE", help="household file; - reads standard input")
    check.add_argument("--json", action="store_true", help="faults and questions as data")
    check.set_defaults(run=answers.check)

    replay = commands.add_parser(
        "replay",
        help="knit a sheet through in figures",
        description="Knit a sheet through in figures: it can be knitted, or its first line that cannot is named.",
    )
    replay.add_argument("file", metavar="SHEET", help="sheet as JSON; - reads standard input")
    replay.add_argument("--json", action="store_true", help="faults, rows, loops, widths, ends and heights as data")
    replay.set_defaults(run=answers.replay)

    schema = commands.add_parser("schema", help="print a JSON schema", description="Print a JSON schema.")
    schema.add_argument(
        "of", nargs="?", choices=("report", "household"), default="report", help="of what; report otherwise"
    )
    schema.set_defaults(run=answers.schema)


def _add_demo(commands: argparse._SubParsersAction[_Parser]) -> argparse.ArgumentParser:
    demo = commands.add_parser(
        "demo",
        help="print the answer for the invented household",
        description="Print the answer for a make of the invented household that comes along.",
    )
    demo.add_argument("--list", action="store_true", help="list the makes instead")
    which = demo.add_mutually_exclusive_group()
    which.add_argument("key", nargs="?", metavar="KEY", help="which make; the first otherwise")
    which.add_argument("--make", metavar="KEY", help="the same")
    _add_unit(demo)
    _add_all(demo)
    demo.set_defaults(run=answers.demo)
    return demo


def _add_unit(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--unit", choices=("cm", "in", "mm"), help="unit of the answer; the file's own otherwise")


def _add_all(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--all", action="store_true", help="the whole report; one screen of it otherwise")


class _Version(argparse.Action):
    """Show the version; looked up only when asked for."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str | None = None) -> None:
        super().__init__(option_strings, dest, nargs=0, default=argparse.SUPPRESS, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version

        say(f"fitcheck {version('fitcheck')}\n")
        parser.exit(DONE)
