"""The code by which a device is paired: who reads it on this machine's screen may come in.

Eight of 32 characters are 40 bits: with twenty tries a code, one guess in fifty thousand million comes through.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections import Counter, deque
from collections.abc import Callable
from hmac import compare_digest

from fitcheck.records.frozen import frozen
from fitcheck.store.devices import Right

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""What a code is made of: no letter that is read as a figure or as another letter."""
_READ_AS = str.maketrans({"O": "0", "I": "1", "L": "1", "U": "V"})
LENGTH = 8
LASTS_SECONDS = 600
"""How long a code can be used [s]."""
TRIES = 20
"""Wrong codes, of whomever, after which the code is void."""
TRIES_A_MINUTE = 5
"""Wrong codes of one address in a minute, after which it has to wait."""
_MINUTE = 60.0


class TooMany(Exception):  # noqa: N818 - it names what is the matter
    """An address tried too many codes within a minute."""


@frozen
class Code:
    """A code that can be used once: its characters, what its device may do, and until when, by the clock."""

    text: str
    right: Right
    until: float

    def __str__(self) -> str:
        return f"{self.text[:4]}-{self.text[4:]}"


class Pairing:
    """The one code that can be used now, and who tried others. Any thread may ask.

    clock  seconds that only grow
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._guard = threading.Lock()
        self._code: Code | None = None
        self._wrong = 0
        self._tried: deque[tuple[float, str]] = deque()
        self._times: Counter[str] = Counter()

    def invite(self, right: Right) -> Code:
        """Make a code for a device with a right; the one before it is void."""
        text = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        with self._guard:
            self._code, self._wrong = Code(text, right, self._clock() + LASTS_SECONDS), 0
            return self._code

    @property
    def code(self) -> Code | None:
        """The code that can be used now; None where none can."""
        with self._guard:
            return self._good()

    def minutes_left(self, code: Code) -> int:
        """How many minutes a code can be used still, begun ones too."""
        return max(1, -int((self._clock() - code.until) // _MINUTE))

    def use(self, typed: str, address: str) -> Code | None:
        """Use a code, as somebody at an address typed it; None where it is not the one that can be used.

        Raises TooMany without looking at it.
        """
        text = typed[:64].upper().replace("-", "").replace(" ", "").translate(_READ_AS)
        with self._guard:
            now = self._clock()
            self._forget(now - _MINUTE)
            if self._times[address] >= TRIES_A_MINUTE:
                raise TooMany
            code = self._good()
            # Compared also where there is no code, so that nobody can tell by the time.
            right = compare_digest(text.encode(), (code.text if code else "-" * LENGTH).encode())
            if code is not None and right:
                self._code = None
                return code
            self._tried.append((now, address))
            self._times[address] += 1
            self._wrong += 1
            return None

    def _forget(self, before: float) -> None:
        """Forget who tried, up to then, one by one: a crowd of addresses makes no guess dear."""
        while self._tried and self._tried[0][0] <= before:
            _, address = self._tried.popleft()
            self._times[address] -= 1
            if not self._times[address]:
                del self._times[address]

    def give_back(self, code: Code) -> None:
        """Let a code be used that was, where nothing came of it and there is no newer one."""
        with self._guard:
            if self._code is None:
                self._code = code

    def _good(self) -> Code | None:
        if self._code is not None and (self._clock() >= self._code.until or self._wrong >= TRIES):
            self._code = None
        return self._code
