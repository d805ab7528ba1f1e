"""The one cache: made once, whoever asks; what failed is kept for nobody; no more than there is room for."""

from __future__ import annotations

import threading
import time

import pytest

from webui.cache import MOST, Cache


def test_a_value_is_made_once_for_all_who_come_meanwhile():
    cache, seen = Cache(), []

    def slow():
        time.sleep(0.05)
        return object()

    threads = [threading.Thread(target=lambda: seen.append(cache.get("report", lambda: "key", slow))) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(seen), len(set(seen)), cache.made["report"]) == (6, 1, 1)


def test_what_failed_is_made_anew_for_the_next_who_asks():
    cache = Cache()

    def fails():
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        cache.get("fabric", lambda: "key", fails)
    assert cache.kept("fabric", "key") is None
    assert cache.get("fabric", lambda: "key", lambda: None) is None
    assert cache.get("fabric", lambda: "key", fails) is None


def test_the_one_asked_for_longest_ago_goes_first():
    cache = Cache()
    for number in range(MOST["page"]):
        cache.keep("page", number, number)
    assert cache.kept("page", 0) == 0
    cache.keep("page", "new", "new")
    assert cache.count("page") == MOST["page"]
    assert cache.kept("page", 0) == 0
    assert cache.kept("page", 1) is None


def test_kinds_do_not_know_each_other():
    cache = Cache()
    cache.keep("page", "key", "page")
    assert cache.get("fabric", lambda: "key", lambda: "fabric") == "fabric"
    assert cache.kept("page", "key") == "page"


def test_who_waited_through_changes_finds_what_was_made_last():
    cache, state, seen = Cache(), [0], []

    def slow():
        state[0] += 1  # somebody writes while it is made
        time.sleep(0.05)
        return state[0]

    def ask():
        seen.append(cache.get("report", lambda: min(state[0], 2), slow))

    threads = [threading.Thread(target=ask) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(seen), cache.made["report"]) == (6, 3)


def test_who_waited_is_answered_by_what_was_read_since_he_asked_though_more_was_changed():
    cache, state, seen = Cache(), [0], []

    def slow():
        state[0] += 1  # somebody writes all the time
        time.sleep(0.05)
        return state[0]

    def ask():
        seen.append(cache.get("report", lambda: state[0], slow, "of the make"))

    threads = [threading.Thread(target=ask) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    # The first is made of what was read before some of the others asked; the second answers all who waited.
    assert len(seen) == 6
    assert cache.made["report"] == 2


def test_nobody_is_answered_by_what_was_read_before_he_asked():
    cache = Cache()
    cache.get("report", lambda: 1, lambda: "old", "of the make")
    assert cache.get("report", lambda: 2, lambda: "new", "of the make") == "new"
    assert cache.get("report", lambda: 3, lambda: "other", "of another make") == "other"


def test_in_a_list_all_is_as_new_as_the_list_and_no_newer():
    cache = Cache()
    with cache.from_now():
        assert cache.get("report", lambda: 1, lambda: "first", "of the make") == "first"
        assert cache.get("report", lambda: 2, lambda: "later", "of the make") == "first"
    assert cache.get("report", lambda: 2, lambda: "later", "of the make") == "later"
