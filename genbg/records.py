"""Frozen records: dataclasses whose methods are shared instead of compiled for each class.

The standard library's decorator writes and compiles up to six methods a class, half a millisecond
for each of more than a hundred classes at every start. A record is a dataclass all the same:
`fields`, `replace` and `asdict` take it, and type checkers read it as one.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple, NoReturn, TypeVar

__all__ = ["record"]

T = TypeVar("T")


class Plan(NamedTuple):
    """What the shared methods need to know of a class.

    names: of all fields, in order
    places: of those that may be given by position
    defaults: what makes the value of a field that is not given
    finish: the class's own `__post_init__`, or None
    """

    names: tuple[str, ...]
    places: tuple[str, ...]
    defaults: tuple[tuple[str, Callable[[], Any]], ...]
    finish: Callable[[Any], None] | None


if TYPE_CHECKING:
    from dataclasses import dataclass as record
else:

    def record(*, frozen: bool, eq: bool = True, kw_only: bool = False) -> Callable[[type], type]:
        """A decorator like `dataclasses.dataclass`, for records that are frozen.

        frozen: always true, and said so that readers and type checkers see it
        eq: equal, and of equal hash, where all fields are; else each instance is only itself
        Raises ValueError for a record that is not frozen; instances raise what a dataclass's do.
        """
        if not frozen:
            raise ValueError("a record is frozen: use dataclasses.dataclass for one that changes")

        def finish(made: type) -> type:
            made = dataclasses.dataclass(init=False, repr=False, eq=False, kw_only=kw_only)(made)
            fields = dataclasses.fields(made)
            made.__plan__ = Plan(
                tuple(field.name for field in fields),
                tuple(field.name for field in fields if not field.kw_only),
                tuple(_defaults(fields)),
                getattr(made, "__post_init__", None),
            )
            made.__init__, made.__repr__ = _init, _repr
            made.__setattr__, made.__delattr__ = _refuse, _refuse
            if eq:
                made.__eq__, made.__hash__ = _equal, _hash
            return made

        return finish


def _defaults(fields: Iterable[dataclasses.Field[Any]]) -> Iterator[tuple[str, Callable[[], Any]]]:
    for field in fields:
        if field.default_factory is not dataclasses.MISSING:
            yield field.name, field.default_factory
        elif field.default is not dataclasses.MISSING:
            yield field.name, functools.partial(_same, field.default)


def _same(value: T) -> T:
    return value


def _init(self: Any, *values: Any, **named: Any) -> None:
    names, places, defaults, finish = self.__plan__
    given = dict(zip(places, values, strict=False))
    if named:
        if given.keys() & named.keys() or not named.keys() <= set(names):
            raise TypeError(_complaint(self, values, named))
        given.update(named)
    if len(values) > len(places):
        raise TypeError(_complaint(self, values, named))
    if len(given) < len(names):
        for name, make in defaults:
            if name not in given:
                given[name] = make()
        if len(given) < len(names):
            raise TypeError(_complaint(self, values, named))
    self.__dict__.update(given)
    if finish is not None:
        finish(self)


def _complaint(self: Any, values: tuple[Any, ...], named: dict[str, Any]) -> str:
    """What is wrong with the values that a record was called with."""
    names, places, defaults, _ = self.__plan__
    what = f"{type(self).__qualname__}()"
    if len(values) > len(places):
        return f"{what} takes {len(places)} values by position but {len(values)} were given"
    placed = places[: len(values)]
    for name in named:
        if name not in names:
            return f"{what} got an unexpected keyword argument {name!r}"
        if name in placed:
            return f"{what} got multiple values for argument {name!r}"
    spare = {name for name, _ in defaults}
    lacking = [n for n in names if n not in placed and n not in named and n not in spare]
    return f"{what} missing {', '.join(map(repr, lacking))}"


def _repr(self: Any) -> str:
    parts = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__plan__.names)
    return f"{type(self).__qualname__}({parts})"


def _refuse(self: Any, name: str, value: object = None) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot assign to or delete field {name!r}")


def _values(self: Any) -> tuple[Any, ...]:
    return tuple(getattr(self, name) for name in self.__plan__.names)


def _equal(self: Any, other: object) -> bool:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return _values(self) == _values(other)


def _hash(self: Any) -> int:
    return hash(_values(self))
