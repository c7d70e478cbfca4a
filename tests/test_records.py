"""Records against the standard library's dataclasses, which they stand for."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest

from genbg.records import record


def make(decorate: Callable[..., Any], **options: Any) -> Any:
    """A class of the same fields, by one decorator or the other."""

    class Lamp:
        """A lamp on its way."""

        name: str
        light: int = 7
        oils: list[str] = dataclasses.field(default_factory=list)

    Lamp.__qualname__ = "Lamp"
    return decorate(frozen=True, **options)(Lamp)


def outcome(make_it: Callable[[], Any]) -> Any:
    """What comes of a call: the text of the record, or the kind of error."""
    try:
        return repr(make_it())
    except (TypeError, AttributeError) as error:
        return type(error)


CALLS: list[tuple[tuple[Any, ...], dict[str, Any]]] = [
    ((), {}),
    (("quay",), {}),
    (("quay", 3), {}),
    (("quay", 3, ["whale"]), {}),
    (("quay", 3, [], 4), {}),
    ((), {"name": "quay"}),
    ((), {"light": 2, "name": "quay"}),
    (("quay",), {"name": "pier"}),
    (("quay",), {"lihgt": 2}),
    ((), {"light": 2}),
    (("quay",), {"oils": ["palm"]}),
]


@pytest.mark.parametrize(("places", "names"), CALLS)
@pytest.mark.parametrize("kw_only", [False, True])
def test_call_as_dataclass(places, names, kw_only):
    """Every way to call one gives the record, or the kind of error, that a dataclass gives."""
    ours = make(record, kw_only=kw_only)
    theirs = make(dataclasses.dataclass, kw_only=kw_only)
    assert outcome(lambda: ours(*places, **names)) == outcome(lambda: theirs(*places, **names))


@pytest.mark.parametrize(
    ("places", "names", "told"),
    [
        ((), {"light": 2}, "missing 'name'"),
        (("quay",), {"lihgt": 2}, "unexpected keyword argument 'lihgt'"),
        (("quay",), {"name": "pier"}, "multiple values for argument 'name'"),
        (("quay", 3, [], 4), {}, "takes 3 values by position but 4 were given"),
    ],
)
def test_call_wrong_told(places, names, told):
    with pytest.raises(TypeError, match=told):
        make(record)(*places, **names)


def test_equal_and_hash_as_dataclass():
    @record(frozen=True)
    class Buoy:
        """A buoy."""

        place: int
        bell: bool = False

    assert Buoy(1) == Buoy(1, False)
    assert hash(Buoy(1)) == hash(Buoy(1, False))
    assert Buoy(1) != Buoy(2)
    assert Buoy(1) != (1, False)
    assert {Buoy(1): "a"}[Buoy(1)] == "a"


def test_eq_false_is_itself_only():
    lamp = make(record, eq=False)
    one = lamp("quay")
    assert one == one
    assert one != lamp("quay")
    assert {one: 1}[one] == 1


def test_frozen():
    one = make(record)("quay")
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.light = 3
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.other = 3
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.light
    assert one.light == 7


def test_default_lists_are_not_shared():
    lamp = make(record)
    assert lamp("a").oils is not lamp("b").oils


def test_library_takes_it_for_a_dataclass():
    one = make(record)("quay", 3, ["whale"])
    assert dataclasses.is_dataclass(one)
    assert [field.name for field in dataclasses.fields(one)] == ["name", "light", "oils"]
    assert dataclasses.asdict(one) == {"name": "quay", "light": 3, "oils": ["whale"]}
    assert repr(dataclasses.replace(one, light=4)) == "Lamp(name='quay', light=4, oils=['whale'])"
    with pytest.raises(TypeError, match="lihgt"):
        dataclasses.replace(one, lihgt=4)
    assert copy.deepcopy(one) == one


@record(frozen=True)
class Berth:
    """At the top of a module, where pickle finds it."""

    number: int

    def __post_init__(self) -> None:
        if self.number < 0:
            raise ValueError("no such berth")


class Bollard(Berth):
    """A plain class below a record."""


@record(frozen=True)
class Dock(Berth):
    """A record below a record: its fields come after."""

    depth: int = 4


def test_pickle_and_checks():
    assert pickle.loads(pickle.dumps(Berth(3))) == Berth(3)
    with pytest.raises(ValueError, match="no such berth"):
        Berth(-1)


def test_below_a_record():
    assert Dock(1, 2).depth == 2
    assert dataclasses.asdict(Dock(1)) == {"number": 1, "depth": 4}
    assert Dock(1) != Berth(1)
    assert Bollard(2).number == 2
    with pytest.raises(ValueError, match="no such berth"):
        Dock(-1)


def test_frozen_false_told():
    with pytest.raises(ValueError, match="frozen"):
        record(frozen=False)
