"""What is said of the phone at the table: where it finds the service, how it is paired, and which devices are."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from fitcheck.words.dates import write_day
from fitcheck.words.phrases import count_words

MAY: Mapping[str, str] = {"measure": "may measure", "everything": "may do everything"}
"""What a device may, in its line."""

# The page of a device that is not paired

PAIR_HEAD = "Pair this phone"
PAIR_TOLD = (
    "Type the code that stands on the machine where Fitcheck runs: in the window it was started in, or in its settings "
    "under Devices."
)
NOT_THIS_CODE = "Not this code. Each can be used once, for ten minutes. Make a new one in the settings of the machine."
WAIT_A_MINUTE = "Five codes were tried within a minute. Wait a minute, then type the one on the screen."
CANNOT_PAIR = "It cannot be kept just now that this phone is paired. Type the same code again in a moment."
NO_COME_BACK = "Fitcheck cannot read its own file just now, so it knows no device. Look at the machine where it runs."
PLAIN_PAGE = "What is sent over the wifi is not sealed. Use your own wifi, never one that strangers are in."
NOT_PAIRED = "This device is not paired. Pair it at /pair with the code that the machine shows."
ELSEWHERE = "Fitcheck answers here under its own address only."
ONLY_OWN_PAGES = "Only Fitcheck’s own pages may change something. Do it there."

# A device that may measure, where it may not

MEASURES_HEAD = "Not from this phone."
MEASURES_TOLD = (
    "It was paired to measure: it reads makes and their sheets, keeps readings, weights and taps. For more, remove it "
    "in the settings of the machine and pair it for everything."
)

# The terminal and the settings


def answers_at_home(url: str, name_url: str) -> str:
    """Where paired devices find the service; name_url: the same by a name, or nothing."""
    by_name = f", also {name_url}" if name_url else ""
    return f"At home it answers at {url}{by_name} for devices that are paired."


def code_lasts(right: str, minutes: int) -> str:
    """What a device may once it used a code, and how long that can be used [minutes]."""
    return f"It {MAY[right]} then. The code can be used once, for {count_words(minutes, 'minute')}."


HOW_TO_PAIR = "Point the phone’s camera at the square, or open this address on it and type the code."
NO_SQUARE = "Open this address on the phone and type the code."
PLAIN = (
    "What goes over the wifi is not sealed: whoever is in it can read it. Use your own wifi, never one that strangers "
    "are in. It ends with the command."
)
NOT_AT_HOME = (
    "No other device can reach Fitcheck now. To measure with a phone, stop it and start it again with: "
    "fitcheck serve --home"
)
CODES_ON_THE_MACHINE = "Codes for other devices are made in the settings of the machine where Fitcheck runs."
NO_DEVICES = "No device is paired."
MORE_CODES = "More codes, also for a device that may do everything: Settings, Devices, on this machine."


def moved(before: str, now: str) -> str:
    """That the service could not be had at its last address; both as one types them."""
    return (
        f"Last time it was at {before}, which is not to be had now. Open {now} on each phone and pair it again; what "
        "waits on one stands on its old page as text."
    )


def device_line(name: str, right: str, first_seen: date, last_seen: date) -> str:
    """One device: "Phone, may measure, paired 30 Nov 2026, here last 2 Dec 2026"."""
    return f"{name}, {what_it_may(right, first_seen, last_seen)}"


def what_it_may(right: str, first_seen: date, last_seen: date) -> str:
    """What a device may, when it was paired, and when it came by last."""
    return f"{MAY[right]}, paired {write_day(first_seen)}, here last {write_day(last_seen)}"


def removed(name: str) -> str:
    """That a device was removed."""
    return f"{name} is removed: it has to be paired again."


def no_such_device(name: str) -> str:
    """That no device has a name."""
    return f"No device is called {name}."
