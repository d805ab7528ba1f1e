"""Frozen values: dataclasses with slots whose methods cost nothing before somebody needs them.

The standard library compiles six methods for each class that it freezes, half a millisecond a class; a report stands
on some 270, and that was a fifth of a cold start. Here five of the six are the same for all classes, and
``__init__``, the one that differs, is compiled when it is first looked up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, field, fields
from operator import attrgetter
from typing import Any, NoReturn, TypeVar, dataclass_transform, overload

Value = TypeVar("Value")


@overload
def frozen(cls: type[Value], /) -> type[Value]: ...
@overload
def frozen(*, eq: bool = True, kw_only: bool = False) -> Callable[[type[Value]], type[Value]]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(field, Field))
def frozen(cls: Any = None, /, *, eq: bool = True, kw_only: bool = False) -> Any:
    """Make a class a frozen value, as ``dataclass(frozen=True, slots=True)`` does.

    eq       whether values with equal fields are equal; each is only itself otherwise
    kw_only  whether its fields are given by name alone

    ``fields``, ``replace`` and ``asdict`` take it, ``match`` too, and a method that the class writes itself stays.
    """
    if cls is None:
        return lambda cls: _frozen(cls, eq=eq, kw_only=kw_only)
    return _frozen(cls, eq=eq, kw_only=kw_only)


def _frozen(cls: type[Any], *, eq: bool, kw_only: bool) -> type[Any]:
    made = dataclass(init=False, repr=False, eq=False, slots=True, kw_only=kw_only)(cls)
    own = vars(made)
    methods = {
        "__repr__": _repr,
        "__setattr__": _kept_as_it_is,
        "__delattr__": _kept_as_it_is,
        "__setstate__": _set_state,
    }
    if eq:
        methods |= _compared([part.name for part in fields(made) if part.compare])
    if "__init__" not in own:
        made.__init__ = _Initializer(made)
    for name, method in methods.items():
        if own.get(name) is None:  # Python gives a class that writes __eq__ alone a __hash__ of None
            setattr(made, name, method)
    return made


def _compared(names: list[str]) -> dict[str, Callable[..., Any]]:
    """How values of one class are told apart: by these fields."""
    values: Callable[[object], object] = attrgetter(*names) if names else lambda _: ()

    def equal(self: object, other: object) -> bool:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def hashed(self: object) -> int:
        return hash(values(self))

    return {"__eq__": equal, "__hash__": hashed}


def _repr(self: Any) -> str:
    shown = ", ".join(f"{part.name}={getattr(self, part.name)!r}" for part in fields(self) if part.repr)
    return f"{type(self).__qualname__}({shown})"


def _kept_as_it_is(self: object, name: str, *_: object) -> NoReturn:
    raise FrozenInstanceError(f"{type(self).__name__}.{name} is kept as it is: dataclasses.replace makes another")


def _set_state(self: object, state: tuple[None, dict[str, Any]]) -> None:
    """Take the values of a copy or a pickle, which Python sets one by one."""
    for name, value in state[1].items():
        object.__setattr__(self, name, value)


class _Initializer:
    """``__init__`` of a class until it is first looked up; then it is compiled and takes this one's place."""

    def __init__(self, of: type[Any]) -> None:
        self.of = of

    def __get__(self, instance: object, owner: type[Any]) -> Callable[..., None]:
        made = _initializer(self.of)
        self.of.__init__ = made  # of the class that has it, not of one that inherits it
        return made if instance is None else made.__get__(instance)


def _initializer(cls: type[Any]) -> Callable[..., None]:
    """Compile ``__init__``: a line a field, each by its slot, which takes two thirds of ``object.__setattr__``."""
    known: dict[str, Any] = {"_MISSING": MISSING}
    given: list[str] = []
    by_name: list[str] = []
    body: list[str] = []
    for part in fields(cls):
        name = value = part.name
        parameter = name
        if part.default_factory is not MISSING:
            known[f"_{name}"] = part.default_factory
            value = f"_{name}() if {name} is _MISSING else {name}" if part.init else f"_{name}()"
            parameter += "=_MISSING"
        elif part.default is not MISSING:
            known[f"_{name}"] = part.default
            parameter += f"=_{name}"
        if part.init:
            (by_name if part.kw_only else given).append(parameter)
        if part.init or value != name:
            known[f"_set_{name}"] = getattr(cls, name).__set__
            body.append(f" _set_{name}(self, {value})")
    if hasattr(cls, "__post_init__"):
        body.append(" self.__post_init__()")
    named = ["*", *by_name] if by_name else []
    text = f"def __init__(self, {', '.join([*given, *named])}):\n" + "\n".join(body or [" pass"])
    exec(text, known)  # noqa: S102  # names of fields, which stand in the program
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    made.__annotations__ = {part.name: part.type for part in fields(cls) if part.init} | {"return": None}
    return made
