"""The commands that work with the database: serve, backup and restore, out and in.

Importing this loads argparse and no more; each command loads what it needs.
"""

from __future__ import annotations

import argparse
import sys
from contextlib import contextmanager

from fitcheck.cli.output import DATA_WRONG, DONE, complain, flush, name_of, say, write

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path
    from typing import IO, Any

    from fitcheck.store import Store


def add_commands(subparsers: Any) -> None:
    """Put the commands on the parser of `fitcheck`."""
    command = _command(subparsers, "serve", serve, "answer pages and API on this machine until stopped")
    _add_data(command)
    command.add_argument("--new", action="store_true", help="begin anew though backups say that there was a database")
    command.add_argument("--home", action="store_true", help="answer paired phones in your own wifi too")
    command.add_argument("--name", metavar="NAME", help="with --home: a name that your wifi has for this machine")
    _add_listening(command, "; with --home its own in your wifi")

    command = _command(subparsers, "devices", devices, "say which devices are paired, or remove one")
    command.add_argument("--remove", metavar="NAME", help="this one has to be paired again")
    _add_data(command)

    command = _command(subparsers, "backup", backup, "copy the database with all its history")
    to = command.add_mutually_exclusive_group()
    to.add_argument("to", nargs="?", metavar="TO", help="new file; the folder of backups beside the data otherwise")
    to.add_argument("--list", action="store_true", help="say which backups are beside the data, and make none")
    _add_data(command)

    command = _command(subparsers, "restore", restore, "make the database equal to a backup; what was there is kept")
    command.add_argument("backup", metavar="BACKUP", help="file that the command backup made")
    _add_data(command)

    command = _command(subparsers, "export", export_bundle, "write everything that is kept now as a household file")
    where = command.add_mutually_exclusive_group()
    where.add_argument("to", nargs="?", default="-", metavar="TO", help="new file; standard output otherwise")
    where.add_argument("--photos", metavar="FILE.zip", help="new file with the photographs beside the household file")
    command.add_argument("--make", metavar="KEY", help="one make and what it rests on, instead of everything")
    _add_data(command)

    command = _command(subparsers, "import", import_bundle, "take a household file in, all or nothing")
    command.add_argument("file", metavar="FILE", help="household file, also with photographs; - reads standard input")
    how = command.add_mutually_exclusive_group()
    how.add_argument("--update", action="store_true", help="take the file's where a record is here and differs")
    how.add_argument("--replace", action="store_true", help="make the database equal to the file")
    _add_data(command)

    command = _command(subparsers, "readings-out", readings_out, "write every reading as CSV")
    command.add_argument("to", nargs="?", default="-", metavar="TO", help="new file; standard output otherwise")
    _add_data(command)

    command = _command(subparsers, "readings-in", readings_in, "add the readings of a CSV, all or none")
    command.add_argument("file", metavar="FILE", help="CSV file; - reads standard input")
    _add_data(command)


def add_demo_options(parser: argparse.ArgumentParser) -> None:
    """Put on the command demo what its service needs."""
    parser.add_argument("--no-serve", action="store_true", help="print the answer and leave")
    _add_listening(parser)


def _command(subparsers: Any, name: str, run: Callable[..., int], said: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = subparsers.add_parser(
        name, help=said, description=f"{said[0].upper()}{said[1:]}."
    )
    parser.set_defaults(run=run)
    return parser


def _add_data(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--data", metavar="FILE", help="database; the usual one of this system otherwise")


def _add_listening(parser: argparse.ArgumentParser, at_home: str = "") -> None:
    parser.add_argument("--address", metavar="IP", help=f"127.0.0.1 or ::1; 127.0.0.1 otherwise{at_home}")
    parser.add_argument("--port", type=_port, metavar="N", help="8674 otherwise; 0 takes any free one")
    parser.set_defaults(home=False)


def _port(said: str) -> int:
    if not (said.isascii() and said.isdigit() and int(said) < 65536):
        raise argparse.ArgumentTypeError(f"{said!r} is no port: a whole number from 0 to 65535")
    return int(said)


def _in_plain_words(run: Callable[[argparse.Namespace], None]) -> Callable[[argparse.Namespace], int]:
    """A command that says in plain words what went wrong; its exit code says whether anything did."""

    def command(arguments: argparse.Namespace) -> int:
        from fitcheck.records.faults import FitcheckError, RecordsError

        try:
            run(arguments)
        except RecordsError as wrong:
            from fitcheck.terminal.report import printed_faults

            file = getattr(arguments, "file", "")
            complain(printed_faults(wrong.faults, name_of(file) if file else "the records"))
            return DATA_WRONG
        except FitcheckError as wrong:
            complain(f"{wrong}\n")
            return DATA_WRONG
        return DONE

    return command


@_in_plain_words
def serve(arguments: argparse.Namespace) -> None:
    """Serve the user's database until stopped."""
    with _opened(arguments.data, new=arguments.new) as store:
        _serve(store, arguments)


@_in_plain_words
def demo_service(arguments: argparse.Namespace) -> None:
    """Serve the invented household from a temporary database until stopped; nothing of it is kept."""
    import tempfile
    from importlib.resources import files
    from pathlib import Path

    from fitcheck.store import Store

    with tempfile.TemporaryDirectory(prefix="fitcheck-demo-") as folder, Store.open(Path(folder) / "demo.db") as store:
        store.import_bundle((files("demo_garments") / "household.json").read_bytes())
        _serve(store, arguments)


def _serve(store: Store, arguments: argparse.Namespace) -> None:
    from contextlib import ExitStack

    from fitcheck.cli.home import opened_at_home, told_at_home
    from fitcheck.words.left_out import at_start
    from webui import server
    from webui.app import create_app
    from webui.config import ADDRESS, PORT, Config
    from webui.listening import listen, url_of

    with ExitStack() as stack:
        at = ADDRESS if arguments.home else arguments.address or ADDRESS
        sock = stack.enter_context(listen(at, PORT if arguments.port is None else arguments.port))
        opened = opened_at_home(store, arguments) if arguments.home else None
        if opened is not None:
            stack.enter_context(opened.sock)
        if not store.only_read:
            store.sweep_photographs()
        _told(f"Fitcheck answers at {url_of(sock)} (its API: {url_of(sock)}api/v1/browse)\n")
        if opened is not None:
            _told(told_at_home(opened))
        told = " (only read: nothing can be written there)" if store.only_read else ""
        _told(f"Data: {store.path}{told}\n{at_start(len(store.left_out()))}Stop with Ctrl-C.\n")
        home, home_sock = (opened.home, opened.sock) if opened is not None else (None, None)
        server.serve(lambda port: create_app(store, config=Config(port, home=home)), sock, store.tend, home_sock)


@_in_plain_words
def devices(arguments: argparse.Namespace) -> None:
    """Say which devices are paired, or remove one."""
    from fitcheck.cli.home import told_of_devices
    from fitcheck.store.faults import NotFound
    from fitcheck.words import home as words

    if arguments.remove is None:
        with _to_read(arguments.data) as store:
            _told(told_of_devices(store))
        return
    with _there(arguments.data) as store:
        if not store.remove_device(arguments.remove):
            raise NotFound("device", arguments.remove, words.no_such_device(arguments.remove))
        _told(f"{words.removed(arguments.remove)}\n")


@_in_plain_words
def backup(arguments: argparse.Namespace) -> None:
    """Copy the database into one new file and say where it is, or say which backups are there."""
    if arguments.list:
        _told(_backups_beside(_path(arguments.data)))
        return
    with _to_read(arguments.data) as store:
        _told(f"Backup: {store.back_up(arguments.to)}\n")


def _backups_beside(database: Path) -> str:
    """The backups of a database, a line and a file each, the newest first; the database may be gone."""
    from datetime import date

    from fitcheck.store.backup_files import backups_of
    from fitcheck.store.daily import DAILY_KEPT
    from fitcheck.words import backups as say

    found = backups_of(database.absolute())
    if not found:
        return f"{say.NONE}\n"
    lines = [
        f"{say.backup_line(backup.at.astimezone(), backup.size, backup.why, date.today())}\n  {backup.path}\n"
        for backup in found
    ]
    return "".join([*lines, f"{say.which_stay(DAILY_KEPT)}\n"])


@_in_plain_words
def restore(arguments: argparse.Namespace) -> None:
    """Make the database equal to a backup."""
    from pathlib import Path

    from fitcheck.store.backups import restore as restored

    path = _path(arguments.data)
    kept = restored(path, Path(arguments.backup))
    _told(f"Restored: {path}\n" + (f"What was there is kept: {kept}\n" if kept is not None else ""))


@_in_plain_words
def export_bundle(arguments: argparse.Namespace) -> None:
    """Write everything that is kept now, or one make, as a household file, or with its photographs."""
    import json

    from fitcheck.words.phrases import count_words

    with _to_read(arguments.data) as store:
        if arguments.photos:
            _album_out(store, arguments.photos, arguments.make)
            return
        raw = store.export_make(arguments.make) if arguments.make else store.export_bundle()
        _out(arguments.to, raw)
        left_out = json.loads(raw).get("photographs_left_out")
        if left_out:
            complain(f"Left out: {count_words(left_out, 'photograph')}. With --photos FILE.zip they come along.\n")


def _album_out(store: Store, to: str, make: str | None) -> None:
    """Write an album into a new file; one that is there stays as it is."""
    with _new_file(to) as opened:
        store.export_album(opened, make)


@_in_plain_words
def import_bundle(arguments: argparse.Namespace) -> None:
    """Take a household file in."""
    from io import BytesIO
    from pathlib import Path

    from fitcheck.records.files import LARGEST_BYTES
    from fitcheck.store.album import MAGIC
    from fitcheck.store.bundle import How

    how: How = "replace" if arguments.replace else "update" if arguments.update else "merge"
    raw = _in(arguments.file, LARGEST_BYTES)
    with _opened(arguments.data) as store:
        if not raw.startswith(MAGIC):
            imported = store.import_bundle(raw, how)
        elif arguments.file == "-":
            imported = store.import_album(BytesIO(raw), how)
        else:
            with Path(arguments.file).open("rb") as album:
                imported = store.import_album(album, how)
        counts = ", ".join(
            f"{len(getattr(imported, name))} {name}" for name in ("created", "changed", "deleted", "unchanged")
        )
        _told(f"{counts}\nData: {store.path}\n")


@_in_plain_words
def readings_out(arguments: argparse.Namespace) -> None:
    """Write every reading as CSV."""
    with _to_read(arguments.data) as store:
        _out(arguments.to, store.readings_as_csv().encode())


@_in_plain_words
def readings_in(arguments: argparse.Namespace) -> None:
    """Add the readings of a CSV."""
    from fitcheck.records.faults import FitcheckError
    from fitcheck.records.files import LARGEST_BYTES

    try:
        text = _in(arguments.file, LARGEST_BYTES).decode("utf-8")
    except UnicodeDecodeError:
        said = f"{arguments.file} is no text in UTF-8. Save it as CSV UTF-8 and try again."
        raise FitcheckError(said) from None
    with _there(arguments.data) as store:
        added = store.add_readings_from_csv(text)
    _told(f"{added.added} added, {added.already_here} here already\n")


# What they share


def _path(data: str | None) -> Any:
    from pathlib import Path

    from fitcheck.store.folders import FILE, data_folder

    return Path(data) if data is not None else data_folder() / FILE


def _opened(data: str | None, *, new: bool = False) -> Store:
    from fitcheck.store import Store

    return Store.open(_path(data), new=new)


def _there(data: str | None) -> Store:
    """Open a database that must be there: a slip in its name must not make a new one."""
    _look_for(data)
    return _opened(data)


def _to_read(data: str | None) -> Store:
    """Open a database that must be there, and write nothing of it."""
    from fitcheck.store import Store

    _look_for(data)
    return Store.open_to_read(_path(data))


def _look_for(data: str | None) -> None:
    """Raise NotFound where there is no database and never was one; of one that is gone, opening it tells."""
    from fitcheck.store.backup_files import backups_of
    from fitcheck.store.faults import NotFound

    path = _path(data).absolute()
    if not path.exists() and not backups_of(path):
        raise NotFound("database", str(path), f"There is no database {path}. `fitcheck serve` makes one.")


def _in(file: str, largest: int) -> bytes:
    """Read a file or standard input, no more than what can be taken and a byte."""
    from pathlib import Path

    from fitcheck.store.faults import NotFound

    if file == "-":
        return sys.stdin.buffer.read(largest + 1) if sys.stdin is not None else b""
    try:
        with Path(file).open("rb") as opened:
            return opened.read(largest + 1)
    except OSError as error:
        said = (error.strerror or "no reason").lower()
        raise NotFound("file", file, f"{file} cannot be read: {said}. Look for a slip in its name.") from error


def _out(to: str, raw: bytes) -> None:
    """Write to standard output, or to a new file; one that is there stays as it is."""
    if to == "-":
        write(raw.decode("utf-8"))
        return
    with _new_file(to) as opened:
        opened.write(raw)


@contextmanager
def _new_file(to: str) -> Iterator[IO[bytes]]:
    """Open a new file to write, which only its owner may read; none is left where something is wrong, and one that is
    there stays as it is."""
    import os
    from pathlib import Path

    from fitcheck.store.faults import AlreadyThere, plainly

    path = Path(to)
    with plainly(path):
        try:
            handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), 0o600)
        except FileExistsError:
            raise AlreadyThere(path) from None
        try:
            with open(handle, "wb") as opened:
                yield opened
        except BaseException:
            path.unlink(missing_ok=True)
            raise


def _told(text: str) -> None:
    """Say it now: what follows may take long."""
    say(text)
    flush()
