"""One sentence for each mistake that pydantic finds in a table: field, value, what is allowed, the likely mend."""

from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Literal, NotRequired, Required, get_args, get_origin

import annotated_types
from typing_extensions import Doc, get_type_hints, is_typeddict

from chanterd.config import did_you_mean, quoted
from chanterd.values import SAID, Read, Text

KEY = "[key]"
"""How pydantic marks that a table's key is wrong, not its value."""
Place = tuple[str | int, ...]
"""Keys, and places in lists from 0, from the outside in."""
Names = Mapping[str, str]
"""What a form calls the keys. A form has no quotes around texts; without names a mistake is one in a file."""


def sentence(model: object, error: Mapping[str, Any], names: Names | None = None) -> str:
    """What is wrong, for one of the errors that pydantic found in a table of that model; see ``split`` for where."""
    place: Place = error["loc"]
    kind, value = error["type"], quoted(error["input"])
    around, key, element = split(place)
    called = named(key, names, around)
    if kind == SAID:
        said = str(error["ctx"]["said"])
        return said if element or f"'{key}'" in said else f"'{key}': {said}"
    if kind == "extra_forbidden":
        return unknown(key, get_type_hints(bare(hint_at(model, place[:-1]))))
    hint = hint_at(model, place)
    if kind == "missing":
        return missing(key, hint, names)
    allowed = wanted(hint, key, error["input"], in_file=names is None)
    if element:
        return f"{called} has {value}; each must be {allowed}."
    return f"{called if key else 'it'} is {value}; it must be {allowed}."


def unknown(key: str, known: Iterable[str]) -> str:
    """What is said of a key that is not known."""
    names = list(known)
    return f"{quoted(key)} is not known here.{did_you_mean(key, names)} Known are: {', '.join(names)}."


def missing(key: str, hint: object, names: Names | None = None) -> str:
    """What is said of a key that is not there."""
    return f"{named(key, names)} is missing; it must be {wanted(hint, key, None, in_file=names is None)}."


def named(key: str, names: Names | None, around: Place = ()) -> str:
    """The key, or what a form calls it, in quotes; names with a dot, such as ``breaks.minutes``, are for one table."""
    called = names or {}
    return f"'{called.get('.'.join(map(str, [*around, key])), called.get(key, key))}'"


def split(place: Place) -> tuple[Place, str, Place]:
    """Where a mistake is: the tables around its key, the key, and the place within the key's list."""
    whole = place[:-1] if place[-1:] == (KEY,) else place
    last = max((index for index, part in enumerate(whole) if isinstance(part, str)), default=None)
    if last is None:
        return whole, "", ()
    return whole[:last], str(whole[last]), whole[last + 1 :]


def hint_at(model: object, place: Place) -> object:
    """The type hint of a place in a model."""
    hint = model
    for part in place:
        hint = bare(hint)
        if is_typeddict(hint):
            hint = get_type_hints(hint, include_extras=True)[str(part)]
        elif part == KEY:
            break
        else:  # a list's element, or a value of a table with free keys
            hint = get_args(hint)[-1]
    return hint


def bare(hint: object) -> Any:  # noqa: ANN401 - a type hint has no type of its own
    """The hint without what is said about it."""
    while get_origin(hint) in (Annotated, NotRequired, Required):
        hint = get_args(hint)[0]
    return hint


def marks(hint: object) -> list[Any]:
    """What is said about a hint, such as the range of a number."""
    found: list[Any] = []
    while get_origin(hint) in (Annotated, NotRequired, Required):
        found += getattr(hint, "__metadata__", ())
        hint = get_args(hint)[0]
    return found


def wanted(hint: object, key: str, value: object, *, in_file: bool = True) -> str:
    """What a value must be, in words; ``value`` is what it is, which decides on what is worth saying."""
    said = {type(mark): mark for mark in marks(hint)}
    kind = bare(hint)
    if Doc in said:
        return str(said[Doc].documentation)
    if kind in (int, float):
        return _number(kind is int, said.get(annotated_types.Interval), quoted=in_file and isinstance(value, str))
    if kind is bool:
        return "true or false, without quotes"
    if get_origin(kind) is Literal:
        return f"one of {', '.join(repr(one) for one in get_args(kind))}"
    if kind is str or Read in said:
        return _text(said.get(Text), value, "a text in quotes" if in_file else "some text")
    if get_origin(kind) is list:
        return _list(kind, key, said.get(annotated_types.Len), value)
    return f"a table, begun by a line [{key}]"


def _number(whole: bool, allowed: Any, *, quoted: bool) -> str:  # noqa: ANN401, FBT001
    name = "a whole number" if whole else "a number"
    span = "" if allowed is None else f" from {allowed.ge:g} to {allowed.le:g}"
    return f"{name}{span}{', without quotes' if quoted else ''}"


def _text(allowed: Text | None, value: object, text: str) -> str:
    if allowed is None or not isinstance(value, str) or not value.strip():
        return text
    return f"{text} on one line, of at most {allowed.longest} characters, without control characters"


def _list(kind: object, key: str, allowed: Any, value: object) -> str:  # noqa: ANN401
    (inner,) = get_args(kind)
    many = (
        f", of {allowed.min_length} to {allowed.max_length}" if allowed is not None and isinstance(value, list) else ""
    )
    if is_typeddict(bare(inner)):
        return f"a list of tables{many}; begin each with a line [[{key}]], two brackets on each side"
    if bare(inner) in (int, float):
        return f"a list of numbers{many}, such as [45, 57]"
    return f'a list of texts{many}, such as ["B", "C"]'
