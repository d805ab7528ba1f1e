"""The phone at the table, by command: the service is opened at home, and devices are listed and removed.

Importing this loads argparse and no more.
"""

from __future__ import annotations

import argparse
import sys

TYPE_CHECKING = False  # typing itself would cost start-up time
if TYPE_CHECKING:
    from fitcheck.store import Store
    from webui.at_home.opening import Opened


def opened_at_home(store: Store, arguments: argparse.Namespace) -> Opened:
    """Listen at home as the command line says. Raises CannotListen."""
    from webui.at_home.opening import open_at_home

    return open_at_home(store, arguments.address, arguments.port, arguments.name or "")


def told_at_home(opened: Opened) -> str:
    """Where phones find it and how one is paired, with a code that can be used now."""
    from fitcheck.cli.output import width
    from fitcheck.terminal.paper import wrapped
    from fitcheck.words import home as say
    from webui.pairing.qr import qr_lines

    home = opened.home
    code = home.pairing.invite("measure")
    # A square in a file that somebody keeps would be read by nobody.
    square = qr_lines(home.invitation(code)) if sys.stdout is not None and sys.stdout.isatty() else ""
    before = [say.moved(opened.before, home.url)] if opened.before else []
    before += [say.answers_at_home(home.url, home.name_url), say.PLAIN, say.HOW_TO_PAIR if square else say.NO_SQUARE]
    after = [say.code_lasts(code.right, home.pairing.minutes_left(code)), say.MORE_CODES]
    # Address and code stand whole in lines of their own.
    return "".join(
        [
            *(f"{line}\n" for part in before for line in wrapped(part, width())),
            f"{square}  {home.url}pair\n  {code}\n",
            *(f"{line}\n" for part in after for line in wrapped(part, width())),
        ]
    )


def told_of_devices(store: Store) -> str:
    """Each paired device, a line each."""
    from datetime import date

    from fitcheck.words import home as say

    lines = [
        say.device_line(device.name, device.right, device.first_seen, device.last_seen)
        for device in store.devices(date.today())
    ]
    return "".join(f"{line}\n" for line in lines or [say.NO_DEVICES])
