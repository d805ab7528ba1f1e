"""What the command writes: text as the terminal can show it, whole or not at all, and trouble in plain words."""

from __future__ import annotations

import contextlib
import os
import sys

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import TextIO

DONE, DATA_WRONG, USAGE = 0, 1, 2
"""Exit codes."""
_PLAIN = str.maketrans({"−": "-", "±": "+-", "…": "...", "’": "'", "·": "."})


class UnwritableError(Exception):
    """What was to be said cannot be written where it was to go; the message is for people."""


def width() -> int:
    """Columns to write in: the environment's COLUMNS within what can be laid out and read, 80 otherwise."""
    from fitcheck.terminal.paper import NARROWEST, WIDEST, WIDTH

    said = os.environ.get("COLUMNS", "")
    return min(WIDEST, max(NARROWEST, int(said))) if said.isascii() and said.isdigit() and int(said) else WIDTH


def name_of(file: str) -> str:
    """How a file is called in a message."""
    return "standard input" if file == "-" else os.path.basename(file) or file


def _writable(text: str, stream: TextIO) -> bool:
    try:
        text.encode(stream.encoding or "utf-8")
    except UnicodeEncodeError:
        return False
    return True


def say(text: str) -> None:
    """Write text; where the terminal lacks a character, the plain one of its kind, else a question mark."""
    write(_plain_for(text, sys.stdout))


COMMAND = "  fitcheck "
"""How a line begins that is there to be copied."""


def complain(text: str) -> None:
    """Say what is wrong on standard error, in lines of the terminal's width, but a command whole, so that it can be
    copied; where even that is closed, the exit code alone says it."""
    from fitcheck.terminal.paper import wrapped

    columns = width()
    lines = []
    for line in text.split("\n"):
        short = len(line) <= columns or line.startswith(COMMAND)
        lines += [line] if short else wrapped(line, columns)
    text = "\n".join(lines)
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(_plain_for(text, sys.stderr))
        sys.stderr.flush()


def say_json(text: str) -> None:
    """Write JSON; where the terminal lacks a character, escaped, so that nothing of it is lost."""
    if sys.stdout is not None and not _writable(text, sys.stdout):
        import json

        text = json.dumps(json.loads(text), ensure_ascii=True, indent=2) + "\n"
    write(text)


def _plain_for(text: str, out: TextIO | None) -> str:
    if out is None or _writable(text, out):
        return text
    encoding = out.encoding or "ascii"
    return text.translate(_PLAIN).encode(encoding, "replace").decode(encoding)


def write(text: str) -> None:
    """Write text as it is; raises UnwritableError with the reason in words."""
    if sys.stdout is None:
        raise UnwritableError("standard output is closed")
    with _told():
        sys.stdout.write(text)


def flush() -> None:
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
        raise UnwritableError(why[:1].lower() + why[1:]) from error
    except ValueError as error:
        raise UnwritableError("standard output is closed") from error


def drop_the_rest() -> None:
    """Let nothing that is still buffered be tried again when Python leaves."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
