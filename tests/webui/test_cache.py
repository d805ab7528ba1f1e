"""The one cache: made once, whoever asks; what failed is kept for nobody; no more than there is room for."""

from __future__ import annotations

import threading
import time

import pytest

from webui.cache import MOST, Cache, Turn


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


def test_what_one_asks_for_twice_is_made_once_though_it_was_changed_meanwhile():
    cache = Cache()
    with cache.asked():
        assert cache.get("report", lambda: 1, lambda: "first", "of the make") == "first"
        assert cache.get("report", lambda: 2, lambda: "later", "of the make") == "first"
    assert cache.get("report", lambda: 2, lambda: "later", "of the make") == "later"


def test_what_was_kept_and_holds_still_answers_whoever_asks_before_it_is_changed():
    cache = Cache()
    cache.keep("report", 1, "kept", "of the make")
    with cache.asked():
        assert cache.get("report", lambda: 1, lambda: "new", "of the make") == "kept"
        assert cache.get("report", lambda: 2, lambda: "new", "of the make") == "kept"


def waits_for_a_list(cache, who, act=lambda: None):
    """What somebody is given who asks for a list while another makes one of what was read before."""
    seen, under_way, asked = [], threading.Event(), threading.Event()

    def first():
        with cache.all_in_turn():
            cache.get("report", lambda: 1, lambda: "as it was", "of the make")
            under_way.set()
            asked.wait(5)
            while not cache._turn._waiting:
                time.sleep(0.001)

    def second():
        under_way.wait(5)
        act()
        with cache.asked(who):
            asked.set()
            with cache.all_in_turn():
                seen.append(cache.get("report", lambda: 2, lambda: "as it is", "of the make"))

    threads = [threading.Thread(target=first), threading.Thread(target=second)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return seen[0]


def test_who_waits_for_a_list_is_given_what_was_read_a_little_before_he_asked():
    assert waits_for_a_list(Cache(), "phone") == "as it was"


def test_who_changed_something_is_given_nothing_that_was_read_before():
    cache = Cache()
    assert waits_for_a_list(cache, "phone", lambda: cache.changed("phone")) == "as it is"


def test_what_somebody_else_changed_a_moment_ago_may_be_missing():
    cache = Cache()
    assert waits_for_a_list(cache, "phone", lambda: cache.changed("laptop")) == "as it was"


def test_who_has_to_be_told_what_is_there_now_is_told_it_though_he_waits():
    assert waits_for_a_list(Cache(), None) == "as it is"


def test_nobody_who_need_not_wait_is_given_anything_older_than_his_question():
    cache = Cache()
    cache.get("report", lambda: 1, lambda: "as it was", "of the make")
    with cache.asked("phone"), cache.all_in_turn():
        assert cache.get("report", lambda: 2, lambda: "as it is", "of the make") == "as it is"


def test_who_changed_something_is_forgotten_when_all_that_was_read_before_is_too_old_anyway(monkeypatch):
    cache = Cache()
    cache.changed("phone")
    monkeypatch.setattr("webui.cache.LATE_S", 0.0)
    cache.changed("laptop")
    assert list(cache._changed) == ["laptop"]


def test_turns_are_taken_in_the_order_in_which_they_were_asked_for_and_again_by_who_has_one():
    turn, order = Turn(), []

    def take(name):
        with turn:
            order.append(name)

    threads = [threading.Thread(target=take, args=(name,)) for name in range(5)]
    with turn, turn:
        for number, thread in enumerate(threads, 1):
            thread.start()
            while len(turn._waiting) < number:
                time.sleep(0.001)
    for thread in threads:
        thread.join()
    assert order == [0, 1, 2, 3, 4]
