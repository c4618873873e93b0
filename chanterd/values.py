"""Kinds of value in the models of tables, beyond what Python and ``annotated_types`` have.

Each is written in a model's hint, ``Annotated[str, Text(80)]``, and makes its own pydantic schema when first needed:
importing this module imports no pydantic.
"""

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, TypeVar

from chanterd.config import ChanterdError

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler
    from pydantic_core import CoreSchema

SAID = "said"
"""The kind of a pydantic error whose context ``said`` is the whole sentence."""
NOT_ALLOWED = "not_allowed"
"""The kind of a pydantic error that says no more than that a value is not allowed."""

_UNPRINTABLE = {"Cc", "Cs", "Zl", "Zp"}
"""Unicode's categories of control characters, halves of characters, and ends of lines and paragraphs."""

Model = TypeVar("Model", bound=type)


def table(model: Model) -> Model:
    """A decorator of every model: unknown keys are mistakes, and a number in quotes is no number."""
    model.__pydantic_config__ = {"extra": "forbid", "strict": True}  # type: ignore[attr-defined]
    return model


@dataclass(frozen=True, slots=True)
class Text:
    """A text on one line, without control characters; blanks alone are none."""

    longest: int
    """Characters."""
    may_be_empty: bool = False

    def allows(self, text: str) -> bool:
        """Whether it is such a text."""
        if not text.strip():
            return self.may_be_empty and not text
        return len(text) <= self.longest and not any(unicodedata.category(letter) in _UNPRINTABLE for letter in text)

    def __get_pydantic_core_schema__(self, source: object, handler: "GetCoreSchemaHandler") -> "CoreSchema":
        """For pydantic."""
        from pydantic_core import PydanticCustomError, core_schema  # noqa: PLC0415

        def check(text: str) -> str:
            if self.allows(text):
                return text
            raise PydanticCustomError(NOT_ALLOWED, "not allowed")

        return core_schema.no_info_after_validator_function(check, handler(source))


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number; 2.0 is one."""

    def __get_pydantic_core_schema__(self, source: object, handler: "GetCoreSchemaHandler") -> "CoreSchema":
        """For pydantic."""
        from pydantic_core import core_schema  # noqa: PLC0415

        def whole(value: object) -> object:
            return int(value) if isinstance(value, float) and value.is_integer() else value

        return core_schema.no_info_before_validator_function(whole, handler(source))


@dataclass(frozen=True, slots=True)
class Read:
    """What a function makes of the value as written. It raises ChanterdError with a sentence where it cannot."""

    read: Callable[[Any], Any]
    of_text: bool = True
    """Whether only a text is passed to it; otherwise anything is."""

    def __get_pydantic_core_schema__(self, source: object, handler: "GetCoreSchemaHandler") -> "CoreSchema":
        """For pydantic."""
        from pydantic_core import PydanticCustomError, core_schema  # noqa: PLC0415

        def made(value: object) -> object:
            try:
                return self.read(value)
            except ChanterdError as error:
                raise PydanticCustomError(SAID, "{said}", {"said": str(error)}) from error

        text = handler(source) if source is str else core_schema.str_schema(strict=True)
        written = text if self.of_text else core_schema.any_schema()
        return core_schema.no_info_after_validator_function(made, written)


Title = Annotated[str, Text(80)]
"""What something is called."""
Sentence = Annotated[str, Text(400)]
"""One sentence, or a few, that a page shows."""
OptionalSentence = Annotated[str, Text(400, may_be_empty=True)]
