"""The `fitcheck` command.

Nothing heavy is imported before it is needed: ``fitcheck --help`` loads argparse and no more. Exit codes:
0 done, 1 the data is wrong or not there, 2 the command line is wrong. An answer is written whole or not at
all.
"""

from __future__ import annotations

import argparse
import os
import sys

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TextIO

    from fitcheck.records.households import Household
    from fitcheck.words import Unit

DONE, DATA_WRONG, USAGE = 0, 1, 2
_PLAIN = str.maketrans({"−": "-", "±": "+-", "…": "...", "’": "'", "·": "."})


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command; returns its exit code.

    argv  words after the command's name; None takes those that it was started with
    """
    try:
        arguments = _parser().parse_args(argv)
    except SystemExit as leaving:  # argparse leaves by itself, after --help too
        return leaving.code if isinstance(leaving.code, int) else USAGE
    try:
        code: int = arguments.run(arguments)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever reads has seen enough. What is still in the buffer goes nowhere, and quietly.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return 130
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
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

    check = commands.add_parser(
        "check",
        help="check a household file",
        description="Check a household file: everything that is wrong at once, then what is unlikely.",
    )
    check.add_argument("file", metavar="FILE", help="household file; - reads standard input")
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
    demo.add_argument("--make", metavar="KEY", help="which make; the first otherwise")
    _add_unit(demo)
    demo.set_defaults(run=_demo)
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


def _check(arguments: argparse.Namespace) -> int:
    household = _opened(arguments.file)
    if household is None:
        return DATA_WRONG
    from fitcheck.records.plausibility import questions
    from fitcheck.terminal import printed_check

    _say(printed_check(questions(household), _name(arguments.file)))
    return DONE


def _schema(arguments: argparse.Namespace) -> int:
    import json

    if arguments.of == "household":
        from fitcheck.records.households import Household

        shape = Household.model_json_schema()
    else:
        from fitcheck.report import schema

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
    return _answer(household, arguments.make or household.makes[0].id, None, arguments.unit)


def _opened(file: str) -> Household | None:
    """The household of a file or of standard input; None after saying everything that is wrong with it."""
    from fitcheck.records.faults import RecordsError
    from fitcheck.records.files import open_household

    try:
        return open_household(sys.stdin.buffer.read() if file == "-" else file)
    except RecordsError as wrong:
        from fitcheck.terminal import printed_faults

        _say(printed_faults(wrong.faults, _name(file)), sys.stderr)
        return None


def _answer(
    household: Household, make: str | None, piece: str | None, unit: Unit | None, *, as_json: bool = False
) -> int:
    from fitcheck.records.faults import FitcheckError
    from fitcheck.report import report

    try:
        found = report(household, make=make, piece=piece)
    except FitcheckError as wrong:
        _say(f"{wrong}\n", sys.stderr)
        return DATA_WRONG
    if as_json:
        _say_json(found.to_json(indent=2) + "\n")
        return DONE
    from fitcheck.terminal import printed

    own: Unit = "cm" if household.unit == "m" else household.unit
    _say(printed(found, unit or own))
    return DONE


def _name(file: str) -> str:
    return "standard input" if file == "-" else os.path.basename(file) or file


def _writable(text: str, stream: TextIO) -> bool:
    try:
        text.encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def _say(text: str, stream: TextIO | None = None) -> None:
    """Write text; where the terminal lacks a character, the plain one of its kind, else a question mark."""
    out = stream or sys.stdout
    if not _writable(text, out):
        encoding = out.encoding or "ascii"
        text = text.translate(_PLAIN).encode(encoding, "replace").decode(encoding)
    out.write(text)


def _say_json(text: str) -> None:
    """Write JSON; where the terminal lacks a character, escaped, so that nothing of it is lost."""
    if not _writable(text, sys.stdout):
        import json

        text = json.dumps(json.loads(text), ensure_ascii=True, indent=2) + "\n"
    sys.stdout.write(text)


if __name__ == "__main__":
    sys.exit(main())
