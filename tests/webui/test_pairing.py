"""A code: how long it lasts, how often it is tried, and that it is read as people type it."""

from __future__ import annotations

import pytest

from webui.pairing.codes import ALPHABET, LASTS_SECONDS, Pairing, TooMany
from webui.pairing.home import Home, session_of
from webui.pairing.qr import qr_lines, qr_svg


class Clock:
    """Seconds that a test lets pass."""

    now = 1000.0

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def pairing(clock):
    return Pairing(clock)


def test_a_code_is_eight_of_thirty_two_characters_and_another_each_time(pairing):
    assert len(set(ALPHABET)) == 32
    codes = [pairing.invite("measure").text for _ in range(200)]
    assert len(set(codes)) == 200
    assert {len(code) for code in codes} == {8}
    assert set("".join(codes)) == set(ALPHABET)


@pytest.mark.parametrize("typed", ["{0}", " {1} ", "{2}", "{3}"])
def test_a_code_is_read_as_people_type_it(pairing, monkeypatch, typed):
    letters = iter("K0Q12MVX")
    monkeypatch.setattr("webui.pairing.codes.secrets.choice", lambda _: next(letters))
    code = pairing.invite("measure")
    ways = (str(code), code.text.lower(), "kOqI 2muX", "KoQl2MVX")
    assert pairing.use(typed.format(*ways), "192.168.1.9") == code


def test_a_code_can_be_used_once_for_ten_minutes_and_a_newer_one_ends_it(pairing, clock):
    first, code = pairing.invite("measure"), pairing.invite("everything")
    assert pairing.use(str(first), "a") is None
    clock.now += LASTS_SECONDS - 1
    assert pairing.minutes_left(code) == 1
    assert pairing.use(str(code), "a") == code
    assert pairing.use(str(code), "a") is None
    code = pairing.invite("measure")
    clock.now += LASTS_SECONDS
    assert pairing.code is None
    assert pairing.use(str(code), "a") is None


def test_five_wrong_codes_a_minute_are_tried_from_one_address(pairing, clock):
    code = pairing.invite("measure")
    for _ in range(5):
        assert pairing.use("AAAA-AAAA", "a") is None
    with pytest.raises(TooMany):
        pairing.use(str(code), "a")
    clock.now += 59
    with pytest.raises(TooMany):
        pairing.use(str(code), "a")
    clock.now += 1
    assert pairing.use(str(code), "a") == code


def test_after_twenty_wrong_codes_of_whomever_the_code_is_void(pairing):
    code = pairing.invite("everything")
    for number in range(20):
        assert pairing.use("AAAA-AAAA", f"address {number}") is None
    assert pairing.use(str(code), "another") is None
    newer = pairing.invite("everything")
    assert pairing.use(str(newer), "another") == newer


def test_wrong_codes_count_also_while_there_is_none_and_are_forgotten_after_a_minute(pairing, clock):
    for _ in range(5):
        assert pairing.use("", "a") is None
    with pytest.raises(TooMany):
        pairing.use("--------", "a")
    clock.now += 60
    assert pairing.use("--------", "b") is None
    assert (dict(pairing._times), len(pairing._tried)) == ({"b": 1}, 1)


def test_a_code_of_which_nothing_came_can_be_used_again_unless_there_is_a_newer_one(pairing):
    code = pairing.invite("measure")
    assert pairing.use(str(code), "a") == code
    pairing.give_back(code)
    assert pairing.use(str(code), "a") == code
    newer = pairing.invite("measure")
    pairing.give_back(code)
    assert pairing.code == newer


def test_a_session_is_found_among_other_cookies_and_nowhere_else():
    session = "a" * 43
    found = session_of(f"device={session}")
    assert found is not None
    assert found == session_of(f"unit=in; device={session}; by=Juna") == session_of(f"x=1;device={session}")
    for other in (f"xdevice={session}", f"device={session}a", f'by="device={session}"', "device=", ""):
        assert session_of(other) is None


def test_the_square_holds_the_address_and_behind_it_the_code_which_no_request_carries(pairing):
    import segno

    code = pairing.invite("measure")
    invitation = Home("192.168.1.20", 8674).invitation(code)
    assert invitation == f"http://192.168.1.20:8674/pair#{code}"
    rows = segno.make_qr(invitation, error="l").matrix
    halves = {" ": (1, 1), "▀": (0, 1), "▄": (1, 0), "█": (0, 0)}
    lines = [line.removeprefix("\x1b[97;40m").removesuffix("\x1b[0m") for line in qr_lines(invitation).splitlines()]
    drawn = [[halves[sign][half] for sign in line] for line in lines for half in (0, 1)]
    assert [row[4:-4] for row in drawn[4 : 4 + len(rows)]] == [list(row) for row in rows]
    assert 'fill="#fff"' in qr_svg(invitation)
