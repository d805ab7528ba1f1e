"""The one cache: made once, whoever asks; what failed is kept for nobody; no more than there is room for."""

from __future__ import annotations

import threading
import time
from contextlib import ExitStack

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


def given(cache, who, act=lambda: None, *, others=1):
    """What somebody is given who asks, while so many others are answered, for what was read a moment before."""
    cache.get("report", lambda: 1, lambda: "as it was", "of the make")
    act()
    with ExitStack() as answered:
        for _ in range(1 + others):
            answered.enter_context(cache.answering())
        with cache.asked(who):
            return cache.get("report", lambda: 2, lambda: "as it is", "of the make")


def test_who_asks_while_others_are_answered_is_given_what_was_read_a_little_before():
    assert given(Cache(), "phone") == "as it was"


def test_who_changed_something_is_given_nothing_that_was_read_before():
    cache = Cache()
    assert given(cache, "phone", lambda: cache.changed("phone")) == "as it is"


def test_what_somebody_else_changed_a_moment_ago_may_be_missing():
    cache = Cache()
    assert given(cache, "phone", lambda: cache.changed("laptop")) == "as it was"


def test_what_was_read_longer_ago_is_missing_to_nobody(monkeypatch):
    monkeypatch.setattr("webui.cache.LATE_S", 0.0)
    assert given(Cache(), "phone") == "as it is"


def test_who_has_to_be_told_what_is_there_now_is_told_it_though_others_are_answered():
    assert given(Cache(), None) == "as it is"


def test_whoever_is_alone_is_given_nothing_that_is_older_than_his_question():
    cache = Cache()
    assert given(cache, "phone", others=0) == "as it is"
    with cache.answering():
        pass
    assert given(cache, "phone", others=0) == "as it is"


def test_a_list_is_made_in_one_turn_from_the_first_that_is_not_there():
    cache, whose = Cache(), []
    cache.keep("report", 1, "there")
    with cache.all_in_turn():
        cache.get("report", lambda: 1, lambda: "new")
        whose.append(cache._turn._whose)
        for key in (2, 3):
            cache.get("report", lambda key=key: key, lambda: whose.append(cache._turn._whose))
            whose.append(cache._turn._whose)
    me = threading.get_ident()
    assert [*whose, cache._turn._whose] == [None, me, me, me, me, None]


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
