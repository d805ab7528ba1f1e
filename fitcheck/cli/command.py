"""The `fitcheck` command.

Nothing heavy is imported before it is needed: ``fitcheck --help`` loads argparse and no more. Exit codes:
0 done, 1 the data is wrong or not there, 2 the command line is wrong. An answer is written whole or not at
all.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import sys

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from typing import TextIO

    from _typeshed import SupportsWrite

    from fitcheck.records.faults import Fault, Question
    from fitcheck.records.households import Household
    from fitcheck.records.makes import Make
    from fitcheck.words import Unit

DONE, DATA_WRONG, USAGE = 0, 1, 2
_PLAIN = str.maketrans({"−": "-", "±": "+-", "…": "...", "’": "'", "·": "."})


class _UnwritableError(Exception):
    """What was to be said cannot be written where it was to go; the message is for people."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command; returns its exit code.

    argv  words after the command's name; None takes those that it was started with
    """
    try:
        code = _run(argv)
        _flush()
    except BrokenPipeError:
        # Whoever reads has seen enough. What is still in the buffer goes nowhere, and quietly.
        _drop_the_rest()
        return DONE
    except _UnwritableError as unwritable:
        _drop_the_rest()
        _complain(f"The answer could not be written: {unwritable}.\n")
        return DATA_WRONG
    except KeyboardInterrupt:
        return 130
    return code


def _run(argv: Sequence[str] | None) -> int:
    try:
        arguments = _parser().parse_args(argv)
    except SystemExit as leaving:  # argparse leaves by itself, after --help too
        return leaving.code if isinstance(leaving.code, int) else USAGE
    code: int = arguments.run(arguments)
    return code


class _Parser(argparse.ArgumentParser):
    """argparse keeps quiet about help that cannot be written; this one does not."""

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        if message and file is not None and file is sys.stdout:
            _write(message)
        else:
            super()._print_message(message, file)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="fitcheck",
        description="Is this blocked piece right, and what now? For sweaters knitted in pieces by machine.",
        epilog="Exit codes: 0 done, 1 the data is wrong, 2 the command line is wrong.",
    )
    parser.add_argument("--version", action=_Version, help="show the version and leave")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)

    report = commands.add_parser(
        "report", help="print the answer for one make", description="Print the answer for one make."
    )
    report.add_argument("file", metavar="FILE", help="household file; - reads standard input")
    report.add_argument("--make", metavar="KEY", help="which make; not needed where there is only one")
    report.add_argument("--piece", metavar="KEY", help="which piece; the last one that was read otherwise")
    _add_unit(report)
    report.add_argument("--json", action="store_true", help="codes and numbers instead of sentences")
    report.set_defaults(run=_report)

    for name, about, run in (
        ("fabric", "print what a make's fabric does: gauge, finishing, dial, next swatch", _fabric),
        ("sizes", "print which size's numbers to knit in this fabric", _sizes),
    ):
        part = commands.add_parser(name, help=about, description=f"{about[:1].upper()}{about[1:]}.")
        part.add_argument("file", metavar="FILE", help="household file; - reads standard input")
        part.add_argument("--make", metavar="KEY", help="which make; not needed where there is only one")
        _add_unit(part)
        part.add_argument("--json", action="store_true", help="codes and numbers instead of sentences")
        part.set_defaults(run=run)

    check = commands.add_parser(
        "check",
        help="check a household file",
        description="Check a household file: everything that is wrong at once, then what is unlikely.",
    )
    check.add_argument("file", metavar="FILE", help="household file; - reads standard input")
    check.add_argument("--json", action="store_true", help="faults and questions as data")
    check.set_defaults(run=_check)

    schema = commands.add_parser("schema", help="print a JSON schema", description="Print a JSON schema.")
    schema.add_argument(
        "of", nargs="?", choices=("report", "household"), default="report", help="of what; report otherwise"
    )
    schema.set_defaults(run=_schema)

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
    demo.set_defaults(run=_demo)

    # The command stands above everything: what works with the database and the network lives with the service.
    from fitcheck.cli.service import add_commands, add_demo_options

    add_demo_options(demo)
    add_commands(commands)
    return parser


def _add_unit(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--unit", choices=("cm", "in", "mm"), help="unit of the answer; the file's own otherwise")


class _Version(argparse.Action):
    """Show the version; looked up only when asked for."""

    def __init__(self, option_strings: Sequence[str], dest: str, help: str | None = None) -> None:
        super().__init__(option_strings, dest, nargs=0, default=argparse.SUPPRESS, help=help)

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version

        _say(f"fitcheck {version('fitcheck')}\n")
        parser.exit(DONE)


def _report(arguments: argparse.Namespace) -> int:
    household = _opened(arguments.file)
    if household is None:
        return DATA_WRONG
    return _answer(household, arguments.make, arguments.piece, arguments.unit, as_json=arguments.json)


def _fabric(arguments: argparse.Namespace) -> int:
    from fitcheck.advice.fabric.answer import fabric_answer
    from fitcheck.terminal.fabric import printed_fabric

    asked = _asked_make(arguments)
    if asked is None:
        return DATA_WRONG
    household, make, unit = asked
    answer = fabric_answer(make, household)
    _say_part(arguments, answer.to_json(indent=2), lambda: printed_fabric(answer, unit, width=_width()))
    return DONE


def _sizes(arguments: argparse.Namespace) -> int:
    import json
    from dataclasses import asdict

    from fitcheck.advice.fabric.of_make import fabric_of, tape_of
    from fitcheck.advice.sizes.which_size import sizes_of
    from fitcheck.terminal.sizes import printed_sizes

    asked = _asked_make(arguments)
    if asked is None:
        return DATA_WRONG
    household, make, unit = asked
    pool = tape_of(make, household)
    known = fabric_of(make, household, pool)
    answer = sizes_of(make, household, known.fabric if known.specimens else None, pool=pool, dial=known.dial)
    data = json.dumps(asdict(answer), ensure_ascii=False, allow_nan=False, indent=2)
    _say_part(arguments, data, lambda: printed_sizes(answer, unit, width=_width()))
    return DONE


def _asked_make(arguments: argparse.Namespace) -> tuple[Household, Make, Unit] | None:
    """The household, the make asked for and the unit of the answer; None after saying what is wrong."""
    household = _opened(arguments.file)
    if household is None:
        return None
    missing = _which(household, arguments.make, None, "This file", "--make")
    if missing:
        _complain(missing)
        return None
    make = next(one for one in household.makes if arguments.make in (None, one.id))
    own: Unit = "cm" if household.unit == "m" else household.unit
    return household, make, arguments.unit or own


def _say_part(arguments: argparse.Namespace, data: str, text: Callable[[], str]) -> None:
    if arguments.json:
        _say_json(data + "\n")
    else:
        _say(text())


def _check(arguments: argparse.Namespace) -> int:
    from fitcheck.records.plausibility import questions

    if arguments.json:
        return _check_as_data(arguments.file)
    household = _opened(arguments.file)
    if household is None:
        return DATA_WRONG
    from fitcheck.terminal.report import printed_check

    makes = len(household.makes)
    _say(printed_check(questions(household), _name(arguments.file), makes=makes, width=_width()))
    return DONE


def _check_as_data(file: str) -> int:
    """Print every fault, or every question and the keys of the makes, as JSON."""
    import json
    from dataclasses import asdict

    from fitcheck.records.faults import RecordsError
    from fitcheck.records.files import open_household
    from fitcheck.records.plausibility import questions

    faults: tuple[Fault, ...] = ()
    asked: tuple[Question, ...] = ()
    makes: list[str] = []
    try:
        household = open_household(_source(file))
        asked, makes = questions(household), [make.id for make in household.makes]
    except RecordsError as wrong:
        faults = wrong.faults
    found = {
        "file": _name(file),
        "faults": [asdict(one) for one in faults],
        "questions": [asdict(one) for one in asked],
        "makes": makes,
    }
    _say_json(json.dumps(found, ensure_ascii=False, indent=2) + "\n")
    return DATA_WRONG if faults else DONE


def _schema(arguments: argparse.Namespace) -> int:
    import json

    if arguments.of == "household":
        from fitcheck.records.households import Household

        shape = Household.model_json_schema()
    else:
        from fitcheck.reports.schema import schema

        shape = schema()
    _say(json.dumps(shape, ensure_ascii=True, indent=2) + "\n")
    return DONE


def _demo(arguments: argparse.Namespace) -> int:
    from importlib.resources import files

    from fitcheck.records.files import open_household

    household = open_household((files("demo_garments") / "household.json").read_bytes())
    if arguments.list:
        wide = max(len(make.id) for make in household.makes)
        _say("".join(f"{make.id:<{wide}}  {make.name}\n" for make in household.makes))
        return DONE
    make = arguments.key or arguments.make or household.makes[0].id
    code = _answer(household, make, None, arguments.unit, holds="The demo", option="fitcheck demo")
    if code != DONE or arguments.no_serve:
        return code
    from fitcheck.cli.service import demo_service

    _flush()
    return demo_service(arguments)


def _source(file: str) -> str | bytes:
    """A file's name, or the bytes of standard input."""
    if file != "-":
        return file
    return sys.stdin.buffer.read() if sys.stdin is not None else b""


def _opened(file: str) -> Household | None:
    """The household of a file or of standard input; None after saying everything that is wrong with it."""
    from fitcheck.records.faults import RecordsError
    from fitcheck.records.files import open_household

    try:
        return open_household(_source(file))
    except RecordsError as wrong:
        from fitcheck.terminal.report import printed_faults

        _complain(printed_faults(wrong.faults, _name(file), width=_width()))
        return None


def _answer(
    household: Household,
    make: str | None,
    piece: str | None,
    unit: Unit | None,
    *,
    as_json: bool = False,
    holds: str = "This file",
    option: str = "--make",
) -> int:
    from fitcheck.records.faults import FitcheckError
    from fitcheck.reports.shaped import report

    missing = _which(household, make, piece, holds, option)
    if missing:
        _complain(missing)
        return DATA_WRONG
    try:
        found = report(household, make=make, piece=piece)
    except FitcheckError as wrong:
        _complain(f"{wrong}\n")
        return DATA_WRONG
    if as_json:
        _say_json(found.to_json(indent=2) + "\n")
        return DONE
    from fitcheck.terminal.report import printed

    own: Unit = "cm" if household.unit == "m" else household.unit
    _say(printed(found, unit or own, width=_width()))
    return DONE


def _which(household: Household, make: str | None, piece: str | None, holds: str, option: str) -> str:
    """Ask for the make or the piece where it is not clear; empty where it is."""
    makes: list[Make] = household.makes
    if not makes:
        return 'This file has no make yet, and a report is on a make: add one under "makes".\n'
    keys = [one.id for one in makes]
    if make is None and len(makes) > 1:
        return f"Which make? {holds} has {_listed(keys)}: {option} {keys[0]}\n"
    if make is not None and make not in keys:
        return f"No make {make!r} here. {holds} has {_listed(keys)}: {option} {keys[0]}\n"
    chosen = next(one for one in makes if make in (None, one.id))
    pieces = [one.id for one in chosen.pieces]
    if piece is None or piece in pieces:
        return ""
    if not pieces:
        return f"No piece {piece!r} here: {chosen.id} has no piece yet.\n"
    return f"No piece {piece!r} here. {chosen.id} has {_listed(pieces)}: --piece {pieces[0]}\n"


def _listed(keys: Sequence[str]) -> str:
    return keys[0] if len(keys) == 1 else f"{', '.join(keys[:-1])} and {keys[-1]}"


def _width() -> int:
    """Columns to write in: the environment's COLUMNS within what can be laid out and read, 80 otherwise."""
    from fitcheck.terminal.report import NARROWEST, WIDEST, WIDTH

    said = os.environ.get("COLUMNS", "")
    return min(WIDEST, max(NARROWEST, int(said))) if said.isascii() and said.isdigit() and int(said) else WIDTH


def _name(file: str) -> str:
    return "standard input" if file == "-" else os.path.basename(file) or file


def _writable(text: str, stream: TextIO) -> bool:
    try:
        text.encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _say(text: str) -> None:
    """Write text; where the terminal lacks a character, the plain one of its kind, else a question mark."""
    _write(_plain_for(text, sys.stdout))


def _complain(text: str) -> None:
    """Say what is wrong on standard error; where even that is closed, the exit code alone says it."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(_plain_for(text, sys.stderr))
        sys.stderr.flush()


def _say_json(text: str) -> None:
    """Write JSON; where the terminal lacks a character, escaped, so that nothing of it is lost."""
    if sys.stdout is not None and not _writable(text, sys.stdout):
        import json

        text = json.dumps(json.loads(text), ensure_ascii=True, indent=2) + "\n"
    _write(text)


def _plain_for(text: str, out: TextIO | None) -> str:
    if out is None or _writable(text, out):
        return text
    encoding = out.encoding or "ascii"
    return text.translate(_PLAIN).encode(encoding, "replace").decode(encoding)


def _write(text: str) -> None:
    if sys.stdout is None:
        raise _UnwritableError("standard output is closed")
    with _told():
        sys.stdout.write(text)


def _flush() -> None:
    """Write what is in the buffer now, while its trouble can still be told."""
    if sys.stdout is not None:
        with _told():
            sys.stdout.flush()


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """Trouble of writing in words for people; a reader that left is no trouble."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        why = error.strerror or "the system gives no reason"
        raise _UnwritableError(why[:1].lower() + why[1:]) from error
    except ValueError as error:
        raise _UnwritableError("standard output is closed") from error


def _drop_the_rest() -> None:
    """Let nothing that is still buffered be tried again when Python leaves."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
