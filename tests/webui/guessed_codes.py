"""Codes guessed at a service at home: how many are looked at, whether one comes in, and whether time tells anything.

    .venv/bin/python -m tests.webui.guessed_codes [codes] [seed]

For each code many addresses guess as fast as they can, half of them all but its last character, while one who knows it
comes too late. Then the clock is let run by hand: a day of guesses from one address and from thousands. Ends with 1
where somebody came in, or more was looked at than is allowed.
"""

from __future__ import annotations

import logging
import random
import statistics
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

from fitcheck.store import Store
from tests.webui.home_served import FORM, Served, served
from webui.pairing.codes import ALPHABET, LASTS_SECONDS, LENGTH, TRIES, TRIES_A_MINUTE, Code, Pairing, TooMany

ADDRESSES = 40
"""Addresses that guess at one code; each tries more than it may in a minute."""
GUESSES = TRIES_A_MINUTE + 2
CHANCE = TRIES / len(ALPHABET) ** LENGTH
"""That a guess comes in before a code is void, at most."""


def guess(rng: random.Random, code: Code | None = None) -> str:
    """A wrong code: all but the last character of one where it is given."""
    text = code.text[:-1] if code else "".join(rng.choice(ALPHABET) for _ in range(LENGTH - 1))
    return text + rng.choice([letter for letter in ALPHABET if code is None or letter != code.text[-1]])


def guessed_at(home: Served, rng: random.Random, first: int) -> Counter[str]:
    """How guesses at one code of a running service were answered."""
    code = home.home.pairing.invite("everything")
    tries = [
        (f"127.{first // 200}.{first % 200}.{10 + address}", guess(rng, code if number % 2 else None))
        for number in range(GUESSES)
        for address in range(ADDRESSES)
    ]

    def sent(of: tuple[str, str]) -> str:
        address, text = of
        status = home.ask("POST", "/pair", f"code={text}&name=x", source=address, **FORM).status
        return {303: "came in", 401: "not taken", 429: "has to wait"}.get(status, f"answered {status}")

    with ThreadPoolExecutor(8) as pool:
        told = Counter(pool.map(sent, tries))
    # Whoever knows it comes too late: it is void, so at most TRIES of all guesses were held against it.
    late = sent((f"127.{first // 200}.{first % 200}.9", str(code)))
    told["came in with the code itself once it was void"] += late == "came in"
    return told


def a_day(rng: random.Random, addresses: int) -> tuple[int, int, int, int]:
    """Codes made in a day; how often a guess came in, was held against one, and had to wait, from so many addresses."""
    now = [0.0]
    pairing = Pairing(lambda: now[0])
    made = came = looked_at = waits = 0
    for number in range(20_000):
        now[0] = 86_400 * number / 20_000
        if number % (20_000 * LASTS_SECONDS // 86_400) == 0:
            pairing.invite("measure")  # somebody makes a code every ten minutes, the whole day
            made += 1
        there = pairing.code is not None
        try:
            came += pairing.use(guess(rng, pairing.code), f"{rng.randrange(addresses)}") is not None
            looked_at += there
        except TooMany:
            waits += 1
    return made, came, looked_at, waits


def nanoseconds(rng: random.Random, rounds: int = 4000) -> tuple[float, float, float]:
    """How long a code is looked at [ns] where the guess is far, near, and where there is no code; half of them."""
    took: tuple[list[int], list[int], list[int]] = ([], [], [])
    for _ in range(rounds):
        for place, near, there in ((0, False, True), (1, True, True), (2, False, False)):
            pairing = Pairing()
            code = pairing.invite("measure") if there else None
            text = guess(rng, code if near else None)
            began = time.perf_counter_ns()
            pairing.use(text, "a")
            took[place].append(time.perf_counter_ns() - began)
    far, near_by, none = map(statistics.median, took)
    return far, near_by, none


def in_a_crowd(rng: random.Random, addresses: int = 20_000) -> float:
    """How long a guess takes after so many addresses guessed within the minute [ns]; half of them."""
    pairing, took = Pairing(), []
    for number in range(addresses):
        began = time.perf_counter_ns()
        pairing.use(guess(rng), f"{number}")
        took.append(time.perf_counter_ns() - began)
    return statistics.median(took[addresses // 2 :])


def main(codes: int = 5, seed: int = 1) -> int:
    """Guess, and print what came of it."""
    logging.getLogger("waitress").setLevel(logging.ERROR)
    rng, told = random.Random(seed), Counter[str]()
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "f.db") as store, served(store) as home:
        for number in range(codes):
            told += guessed_at(home, rng, number)
        devices = len(store.devices(date.today()))
    print(
        f"{codes} codes, {codes * ADDRESSES * GUESSES} guesses over the network: {dict(told)}; {devices} devices paired"
    )
    came = devices
    for addresses in (1, 5000):
        made, came_in, looked_at, waits = a_day(rng, addresses)
        print(
            f"a day of 20,000 guesses from {addresses} addresses, {made} codes made: {came_in} came in, {looked_at} "
            f"held against a code (at most {TRIES * made}), {waits} had to wait"
        )
        came += came_in + max(0, looked_at - TRIES * made)
    print("a guess that is far off, near, and without a code: {:.0f}, {:.0f}, {:.0f} ns".format(*nanoseconds(rng)))
    print(f"a guess after 10,000 and more of other addresses in the same minute: {in_a_crowd(rng):.0f} ns")
    print(f"the chance that one comes in before a code is void: 1 in {1 / CHANCE:,.0f}")
    return int(came > 0 or told["came in"] > 0)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
