"""What the schema finds wrong with a definition, in the words of the person who wrote it."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Iterator
from typing import Annotated, Any, TypeAlias, get_args

from pydantic import BaseModel, Field, TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from tarebook.core.errors import Fault
from tarebook.series import schema
from tarebook.series.other_units import was_it

Location: TypeAlias = tuple[int | str, ...]

MOST_SHOWN = 60
"""Characters of an input that a message repeats; the rest is cut."""

BLANK = "See a blank definition: tarebook start NEW_FOLDER."
MOST_MEANT = 1e12
"""Numbers as large as this mean nothing in any unit."""

_BOUNDS = ("greater_than", "greater_than_equal", "less_than", "less_than_equal", "value_error")

SORT = "given_as"
"""The key that says which of several tables is meant."""

_ALLOWED = {
    "float_type": "a number, without quotes",
    "string_type": 'a text in "quotes"',
    "list_type": "a list, as in [5, 10, 15]",
    "model_type": "a table: its name in [brackets], then one 'key = value' a line",
    "model_attributes_type": "a table: its name in [brackets], then one 'key = value' a line",
    "string_too_short": "a text that is not empty",
    "string_too_long": "a text of at most {max_length} characters",
    "string_pattern_mismatch": "characters that can be printed",
    "too_short": "a list of at least {min_length}",
    "too_long": "a list of at most {max_length}",
    "greater_than": "a number above {gt:g}",
    "greater_than_equal": "{ge:g} or more",
    "less_than": "a number below {lt:g}",
    "less_than_equal": "at most {le:g}",
    "finite_number": "a finite number",
}


def shown(value: object) -> str:
    """Return an input as a message repeats it: quoted if a text, cut if it is long.

    Examples
    --------
    >>> shown("1,52"), len(shown("x" * 10_000))
    ("'1,52'", 60)
    """
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    # Only as much of a text as can be shown: it may be as long as a file.
    text = repr(value[: 2 * MOST_SHOWN] if isinstance(value, str) else value)
    return text if len(text) <= MOST_SHOWN else f"{text[: MOST_SHOWN - 2]} …"


def did_you_mean(
    word: str, known: Iterable[str], otherwise: str = "", *, likeness: float = 0.5
) -> str:
    """Return the question whether a known word was meant, or what to do if none is close.

    Examples
    --------
    >>> did_you_mean("nominl_g", ["name", "nominal_g"])
    'Did you mean nominal_g?'
    """
    close = difflib.get_close_matches(word[:MOST_SHOWN], list(known), n=1, cutoff=likeness)
    return f"Did you mean {close[0]}?" if close else otherwise


def schema_faults(error: ValidationError, name: str) -> tuple[Fault, ...]:
    """Return the faults that the schema found.

    Parameters
    ----------
    error : ValidationError
    name : str
        Name of the file.

    Returns
    -------
    tuple of Fault
        A key that is missing because it is misspelt is one fault, not two.
    """
    items = error.errors()
    misspelt = {_meant(item["loc"]) for item in items if item["type"] == "extra_forbidden"}
    return tuple(
        _fault(item, name)
        for item in items
        if not (item["type"] == "missing" and item["loc"] in misspelt)
    )


def _fault(item: ErrorDetails, name: str) -> Fault:
    location, kind = item["loc"], item["type"]
    where = f"{name}, key {_key(location)}"
    if kind == "missing":
        return Fault(where=where, found="nothing", allowed="a value", do=_add(location))
    if kind == "extra_forbidden":
        known = _keys_at(location[:-1])
        return Fault(
            where=where,
            found="a key that is not known here",
            allowed=", ".join(known),
            do=did_you_mean(str(location[-1]), known, "Remove it, or put it into a # comment."),
        )
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return _sort_fault(item, f"{where}.{SORT}")
    allowed = _ALLOWED.get(kind, _plain(item["msg"])).format(**item.get("ctx", {}))
    return Fault(where=where, found=shown(item["input"]), allowed=allowed, do=_otherwise(item))


def _otherwise(item: ErrorDetails) -> str:
    """Return what a number out of its bounds may have meant; empty for anything else."""
    value, names = item["input"], [part for part in item["loc"] if isinstance(part, str)]
    if item["type"] not in _BOUNDS or isinstance(value, bool) or not _is_finite(value):
        return ""
    fields = [
        field for model in _models_at(_table_of(item["loc"])) for field in _held(model, names)
    ]
    return was_it(names[-1], float(value), lambda other: any(f(other) for f in fields))


def _is_finite(value: object) -> bool:
    return isinstance(value, int | float) and abs(value) < MOST_MEANT


def _table_of(location: Location) -> Location:
    """Return where the table stands that holds the key of a location."""
    last = max(at for at, part in enumerate(location) if isinstance(part, str))
    return location[:last]


def _held(model: type[BaseModel], names: list[str]) -> Iterator[Callable[[float], bool]]:
    """Yield whether the key of a table may hold a number, itself or in its list."""
    field = model.model_fields.get(names[-1])
    if field is None:
        return
    # The bounds of a key that may be left out belong to its annotation, those of others beside it.
    kind: Any = Annotated[field.annotation, Field(), *field.metadata]
    adapter: TypeAdapter[Any] = TypeAdapter(kind)

    def may_hold(number: float) -> bool:
        whole = int(number) if number.is_integer() else number
        for value in (number, whole, [number]):
            try:
                adapter.validate_python(value, strict=True)
            except ValidationError:
                continue
            return True
        return False

    yield may_hold


def _sort_fault(item: ErrorDetails, where: str) -> Fault:
    """Return the fault of a table that does not say which of several it is."""
    sorts = [sort for model in _models_at(item["loc"]) for sort in _sorts(model)]
    allowed = ", ".join(f'"{sort}"' for sort in sorts)
    typed = item["input"].get(SORT) if isinstance(item["input"], dict) else None
    if typed is None:
        do = f'Say how the strength is given, as in {SORT} = "{sorts[0]}". {BLANK}'
        return Fault(where=where, found="nothing", allowed=allowed, do=do)
    do = did_you_mean(str(typed), sorts, BLANK)
    return Fault(where=where, found=shown(typed), allowed=allowed, do=do)


def _key(location: Location) -> str:
    """Return the key that a person typed: the sort that chooses a table is not part of it."""
    sorts = {sort for model in _members(schema.AnyStrength) for sort in _sorts(model)}
    parts = [
        f"item {part + 1}" if isinstance(part, int) else part
        for part in location
        if part not in sorts
    ]
    return ".".join(parts).replace(".item", ", item")


def _add(location: Location) -> str:
    models = _models_at(location)
    if models:
        return f"Add the table [{_key(location)}]. {BLANK}"
    return f"Add a line: {location[-1]} = ..."


def _meant(location: Location) -> Location:
    """Return the location of the key that a key not known was meant to be."""
    known = _keys_at(location[:-1])
    close = difflib.get_close_matches(str(location[-1]), known, n=1, cutoff=0.5)
    return (*location[:-1], *close)


def _keys_at(location: Location) -> list[str]:
    return [key for model in _models_at(location) for key in model.model_fields]


def _models_at(location: Location) -> list[type[BaseModel]]:
    """Return the tables of the schema that may stand at a location; none where a value does."""
    models: list[type[BaseModel]] = [schema.DefinitionFile]
    for part in location:
        if isinstance(part, int):
            continue
        chosen = [model for model in models if part in _sorts(model)]
        if chosen:
            models = chosen
            continue
        key = str(part)
        fields = [model.model_fields[key] for model in models if key in model.model_fields]
        models = [member for field in fields for member in _members(field.annotation)]
    return models


def _members(annotation: Any) -> Iterator[type[BaseModel]]:
    """Yield the tables that an annotation allows."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        return
    for part in get_args(annotation):
        yield from _members(part)


def _sorts(model: type[BaseModel]) -> tuple[str, ...]:
    field = model.model_fields.get(SORT)
    return get_args(field.annotation) if field else ()


def _plain(message: str) -> str:
    return message.removeprefix("Input should be ").removeprefix("Value error, ")
