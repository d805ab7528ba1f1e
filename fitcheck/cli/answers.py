"""The commands that answer from a file: report, fabric, sizes, check, replay, schema, and the demo.

Importing this loads argparse and no more; each command loads what it needs.
"""

from __future__ import annotations

import argparse
import sys

from fitcheck.cli.output import DATA_WRONG, DONE, USAGE, complain, flush, name_of, say, say_json, width

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from fitcheck.advice.sizes.answers import SizesAnswer
    from fitcheck.records.faults import Fault
    from fitcheck.records.households import Household
    from fitcheck.records.machines import Dial
    from fitcheck.records.makes import Make
    from fitcheck.reports.steps import Steps
    from fitcheck.words.questions import WrittenQuestion


def report(arguments: argparse.Namespace) -> int:
    """The answer for one make."""
    household = _opened(arguments.file)
    if household is None:
        return DATA_WRONG
    return _answer(household, arguments, arguments.make, arguments.piece)


def fabric(arguments: argparse.Namespace) -> int:
    """What a make's fabric does."""
    from functools import partial

    from fitcheck.reports.parts import fabric_told
    from fitcheck.terminal.fabric import printed_fabric
    from fitcheck.words.names import names_of

    told = told_for(arguments)
    if told is None:
        return DATA_WRONG
    household = told.given.household
    return say_part(fabric_told(told), household, arguments, partial(printed_fabric, names=names_of(household)))


def sizes(arguments: argparse.Namespace) -> int:
    """Which size's numbers to knit."""
    from fitcheck.reports.parts import fabric_told, sizes_told
    from fitcheck.terminal.sizes import printed_sizes

    try:
        named = _dial_named(arguments.dial)
    except ValueError:
        complain(f"Not taken: --dial {arguments.dial}. A setting such as 7, 7.1 or 7+.\n")
        return USAGE

    def work_out(told: Steps) -> SizesAnswer:
        return sizes_told(told, fabric_told(told) if told.given.swatches else None, named=named)

    return told_part(arguments, work_out, printed_sizes)


def _dial_named(text: str | None) -> Dial | None:
    """The dial that the command names; None where it names none. Raises ValueError for what is no setting."""
    from fitcheck.records.machines import Dial

    return None if text is None else Dial.model_validate(text)


def told_part(arguments: argparse.Namespace, work_out: Callable[[Steps], Any], printed: Callable[..., str]) -> int:
    """A part of the answer for the make asked for.

    work_out  gives it from the make's steps;  printed: lays it out in a unit
    """
    told = told_for(arguments)
    return DATA_WRONG if told is None else say_part(work_out(told), told.given.household, arguments, printed)


def told_for(arguments: argparse.Namespace) -> Steps | None:
    """The steps of the make asked for; None after saying what is wrong with the file, or which make is meant."""
    household = _opened(arguments.file)
    if household is None:
        return None
    missing = _which(household, arguments.make, None, "This file", "--make")
    if missing:
        complain(missing)
        return None
    from fitcheck.reports.choose import chosen
    from fitcheck.reports.steps import steps

    return steps(chosen(household, arguments.make))


def say_part(answer: Any, household: Household, arguments: argparse.Namespace, printed: Callable[..., str]) -> int:
    """Say an answer as data or laid out, in the unit asked for or the file's own."""
    if getattr(arguments, "json", False):
        from fitcheck.words.data import json_text

        say_json(json_text(answer, indent=2) + "\n")
    else:
        from fitcheck.words.figures import own_unit

        say(printed(answer, arguments.unit or own_unit(household.unit), width=width()))
    return DONE


def check(arguments: argparse.Namespace) -> int:
    """Everything that is wrong in a file at once, then what is unlikely."""
    from fitcheck.records.questions import questions

    if arguments.json:
        return _check_as_data(arguments.file)
    household = _opened(arguments.file)
    if household is None:
        return DATA_WRONG
    from fitcheck.terminal.report import printed_check

    say(printed_check(questions(household), household, name_of(arguments.file), width=width()))
    return DONE


def _check_as_data(file: str) -> int:
    """Print every fault, or every question and the keys of the makes, as JSON."""
    from fitcheck.records.faults import RecordsError
    from fitcheck.records.files import open_household
    from fitcheck.records.places import write_path
    from fitcheck.records.questions import questions
    from fitcheck.words.data import json_text
    from fitcheck.words.questions import written_question

    faults: tuple[Fault, ...] = ()
    asked: list[WrittenQuestion] = []
    makes: list[str] = []
    try:
        household = open_household(_source(file))
        makes = [make.id for make in household.makes]
        for question in questions(household):
            asked.append(written_question(question, write_path(household.path_of(question.place))))
    except RecordsError as wrong:
        faults = wrong.faults
    checked = {"file": name_of(file), "faults": faults, "questions": asked, "makes": makes}
    say_json(json_text(checked, indent=2) + "\n")
    return DATA_WRONG if faults else DONE


def replay(arguments: argparse.Namespace) -> int:
    """Whether a sheet can be knitted; else its first line that cannot."""
    from fitcheck.knitting.replay import replay as knit
    from fitcheck.knitting.written import read_sheet
    from fitcheck.records.faults import RecordsError
    from fitcheck.records.machines import WIDEST_BED

    name = name_of(arguments.file)
    try:
        sheet = read_sheet(_source(arguments.file))
    except RecordsError as wrong:
        if arguments.json:
            return _say_replay({"file": name, "refused": wrong.faults, "needles": None, "replay": None}, DATA_WRONG)
        from fitcheck.terminal.report import printed_faults

        complain(printed_faults(wrong.faults, name, width=width()))
        return DATA_WRONG
    needles = sheet.head.bed or WIDEST_BED
    knitted = knit(sheet, needles=needles)
    code = DATA_WRONG if knitted.faults else DONE
    if arguments.json:
        return _say_replay({"file": name, "refused": (), "needles": needles, "replay": knitted}, code)
    from fitcheck.terminal.replayed import printed_replay

    (complain if knitted.faults else say)(printed_replay(knitted, sheet, needles, name, width=width()))
    return code


def _say_replay(replayed: dict[str, Any], code: int) -> int:
    from fitcheck.words.data import json_text

    say_json(json_text(replayed, indent=2) + "\n")
    return code


def schema(arguments: argparse.Namespace) -> int:
    """The JSON schema of the report or of the household file."""
    import json

    if arguments.of == "household":
        from fitcheck.records.households import Household

        shape = Household.model_json_schema()
    else:
        from fitcheck.words.data import report_schema

        shape = report_schema()
    say(json.dumps(shape, ensure_ascii=True, indent=2) + "\n")
    return DONE


def demo(arguments: argparse.Namespace) -> int:
    """The answer for a make of the invented household, then the household as a service."""
    from importlib.resources import files

    from fitcheck.records.files import open_household

    file = files("demo_garments") / "household.json"
    household = open_household(file.read_bytes())
    if arguments.list:
        wide = max(len(make.id) for make in household.makes)
        say("".join(f"{make.id:<{wide}}  {make.name}\n" for make in household.makes))
        return DONE
    make = arguments.key or arguments.make or household.makes[0].id
    code = _answer(household, arguments, make, holds="The demo", option="fitcheck demo")
    if code == DONE:
        _say_followed(household, str(file))
    if code != DONE or arguments.no_serve:
        return code
    from fitcheck.cli.service import demo_service

    flush()
    return demo_service(arguments)


def _say_followed(household: Household, file: str) -> None:
    """Name the make that has a begun sheet, and the commands that go on from it."""
    make = next((make for make in household.makes if make.sheets), None)
    if make is None:
        return
    import os
    import shlex

    from fitcheck.terminal.paper import wrapped
    from fitcheck.words.followed import followed_said

    named = shlex.quote(file.removeprefix(os.getcwd() + os.sep))
    typed = [
        f"  fitcheck {command} --make {make.id}"
        for command in (f"rest {named}", f"sheet {named} {make.sheets[-1].piece}", f"seams {named}", f"yarn {named}")
    ]
    say("\n".join(["", *wrapped(followed_said(make), width()), *typed, ""]))


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

        complain(printed_faults(wrong.faults, name_of(file), width=width()))
        return None


def _answer(
    household: Household,
    arguments: argparse.Namespace,
    make: str | None,
    piece: str | None = None,
    *,
    holds: str = "This file",
    option: str = "--make",
) -> int:
    from fitcheck.records.faults import FitcheckError
    from fitcheck.reports.shaped import report

    missing = _which(household, make, piece, holds, option)
    if missing:
        complain(missing)
        return DATA_WRONG
    try:
        answer = report(household, make=make, piece=piece)
    except FitcheckError as wrong:
        complain(f"{wrong}\n")
        return DATA_WRONG
    if arguments.all:
        from functools import partial

        from fitcheck.terminal.report import printed
        from fitcheck.words.names import names_of

        return say_part(answer, household, arguments, partial(printed, names=names_of(household)))
    from fitcheck.terminal.in_short import printed_in_short

    return say_part(answer, household, arguments, printed_in_short)


def _which(household: Household, make: str | None, piece: str | None, holds: str, option: str) -> str:
    """Ask for the make or the piece where it is not clear; empty where it is."""
    from fitcheck.words import which

    makes: list[Make] = household.makes
    if not makes:
        return f"{which.NO_MAKE}\n"
    keys = [record.id for record in makes]
    if make is None and len(makes) > 1:
        return f"{which.which_make(holds, keys, option)}\n"
    if make is not None and make not in keys:
        return f"{which.no_such_make(make, holds, keys, option)}\n"
    chosen = next(record for record in makes if make in (None, record.id))
    pieces = [knitted.id for knitted in chosen.pieces]
    return "" if piece is None or piece in pieces else f"{which.no_such_piece(piece, chosen.id, pieces)}\n"
