"""Frozen values are dataclasses with slots: only when their methods are made differs."""

from __future__ import annotations

import copy
import pickle
from dataclasses import FrozenInstanceError, asdict, dataclass, field, fields, replace
from inspect import signature

import pytest

from fitcheck.records.frozen import frozen


def like(**how):
    """The same class, by the standard library and by us."""

    def made(decorated):
        class Piece:
            """A piece."""

            name: str
            count: int = 0
            rows: list[int] = field(default_factory=list, compare=False)
            seen: int = field(default=3, repr=False)
            width: float = field(init=False)

            def __post_init__(self) -> None:
                object.__setattr__(self, "width", self.count / 2)

        return decorated(Piece)

    return made(dataclass(frozen=True, slots=True, **how)), made(frozen(**how) if how else frozen)


@frozen
class Kept:
    """Something to be copied."""

    name: str
    far: float = 1.0


@frozen
class More(Kept):
    """One field more than what it stands on."""

    rows: int = 2


MADE = ((("a",), {}), (("a", 4), {}), (("a",), {"rows": [1], "seen": 5}), ((), {"name": "b", "count": 2}))


@pytest.mark.parametrize(("given", "named"), MADE)
def test_a_frozen_value_holds_shows_and_compares_what_the_standard_library_s_does(given, named):
    theirs, ours = (cls(*given, **named) for cls in like())
    assert repr(ours) == repr(theirs)
    assert asdict(ours) == asdict(theirs)
    assert [part.name for part in fields(ours)] == [part.name for part in fields(theirs)]
    assert type(ours).__match_args__ == type(theirs).__match_args__
    assert list(signature(type(ours)).parameters) == list(signature(type(theirs)).parameters)
    changed, rows = (replace(ours, count=9, **none) for none in ({}, {"rows": [7]}))
    assert changed.width == 4.5
    assert changed == rows
    assert hash(changed) == hash(rows)
    assert changed != ours
    assert ours != theirs


def test_a_default_that_is_made_is_made_for_each():
    _, ours = like()
    assert ours("a").rows is not ours("a").rows


def test_nothing_can_be_set_or_taken_away_and_nothing_added():
    kept = Kept("a")
    for do in (lambda: setattr(kept, "name", "b"), lambda: setattr(kept, "other", 1), lambda: delattr(kept, "name")):
        with pytest.raises(FrozenInstanceError):
            do()
    assert kept == Kept("a")
    assert not hasattr(kept, "__dict__")


def test_too_few_and_too_many_values_are_refused_as_those_of_any_function():
    for given in ((), ("a", 1.0, 2), ("a", 1.0, 2, 3)):
        with pytest.raises(TypeError, match=r"Kept\.__init__\(\)"):
            Kept(*given)


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda value: pickle.loads(pickle.dumps(value))])
def test_copies_and_pickles_are_equal(again):
    assert again(More("a", 2.0, 5)) == More("a", 2.0, 5)


def test_who_inherits_has_an_initializer_of_its_own_whichever_is_made_first():
    assert More("a").rows == 2
    assert Kept("a", 3.0).far == 3.0
    assert Kept("a") != More("a")


def test_values_may_be_told_apart_by_identity_and_given_by_name_alone():
    for cls in like(eq=False):
        assert cls("a") != cls("a")
        assert len({cls("a"), cls("a")}) == 2
    for cls in like(kw_only=True):
        assert cls(name="a").name == "a"
        with pytest.raises(TypeError):
            cls("a")


def test_a_method_that_the_class_writes_itself_stays():
    @frozen
    class Own:
        """Its own methods."""

        name: str

        def __init__(self) -> None:
            object.__setattr__(self, "name", "own")

        def __eq__(self, other: object) -> bool:
            return True

        def __hash__(self) -> int:
            return 7

        def __repr__(self) -> str:
            return "mine"

    assert (repr(Own()), hash(Own()), Own() == 3, Own().name) == ("mine", 7, True, "own")


def test_a_value_without_fields_is_equal_to_its_like():
    @frozen
    class Bare:
        """Nothing in it."""

    assert Bare() == Bare()
    assert hash(Bare()) == hash(Bare())
    assert repr(Bare()).endswith("Bare()")
