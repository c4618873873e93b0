"""The answer to a request that cannot be carried out: ``{"said": ...}``, one line for each mistake."""

import logging
from collections.abc import Iterable, Sequence
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from chanterd.config import ChanterdError, FieldsError, did_you_mean
from chanterd.serving.access.gate import refusal
from chanterd.serving.access.grants import ForbiddenError

LOG = logging.getLogger(__name__)

UNFIT = 422
FAULT = 500
LONGEST_QUOTE = 80
"""Characters of a wrong value that the sentence quotes."""
MOST_SAID = 20
"""Mistakes of one request that get a sentence each."""
EXAMPLE = 'an object such as {"drill": "grip from B to C", "click_bpm": 60}'


class MistakeSaid(BaseModel):
    """One mistake, and the field that it belongs to."""

    where: str = Field(description="The part of what was sent, such as 'part 2'; 'file' or empty for the whole of it.")
    field: str = Field(description="The field there; empty if it belongs to none.")
    said: str = Field(description="A sentence.")


class Said(BaseModel):
    """Why it cannot be done and what to do about it, in sentences to show as they are."""

    said: str = Field(description="One line for each mistake.")
    mistakes: list[MistakeSaid] = Field(
        [], description="The same mistakes each with its place, where they belong to fields of a form."
    )


_MENDS = {
    "missing": "is missing; add it.",
    "string_type": "must be a text in quotes.",
    "string_too_long": "must be {max_length} characters long at most.",
    "float_type": "must be a number without quotes, such as 60.",
    "float_parsing": "must be a number without quotes, such as 60.",
    "int_type": "must be a whole number.",
    "int_parsing": "must be a whole number.",
    "int_from_float": "must be a whole number.",
    "int_parsing_size": "must be a whole number of fewer digits.",
    "bool_type": "must be true or false.",
    "bool_parsing": "must be true or false.",
    "dict_type": "must be an object, in braces.",
    "list_type": "must be a list, in brackets.",
    "less_than_equal": "must be {le} at most.",
    "greater_than_equal": "must be {ge} at least.",
}
"""The end of the sentence, by pydantic's name for the mistake; its limits are filled in."""


def add_refusals(app: FastAPI, fields: Iterable[str]) -> None:
    """Answer every mistake in one form; ``fields`` are the names of all fields, to guess which one was meant."""
    known = list(fields)

    def answer(said: str, status: int, **more: object) -> JSONResponse:
        return JSONResponse({"said": _sendable(said), **more}, status)

    @app.exception_handler(ChanterdError)
    async def _(_: Request, error: ChanterdError) -> JSONResponse:
        return answer(str(error), UNFIT)

    @app.exception_handler(ForbiddenError)
    async def _(_: Request, __: ForbiddenError) -> JSONResponse:
        return refusal()

    @app.exception_handler(FieldsError)
    async def _(_: Request, errors: FieldsError) -> JSONResponse:
        mistakes = [
            MistakeSaid(where=one.where, field=_sendable(one.field), said=_sendable(one.said)).model_dump()
            for one in errors.mistakes
        ]
        return answer(str(errors), UNFIT, mistakes=mistakes)

    @app.exception_handler(RequestValidationError)
    async def _(_: Request, error: RequestValidationError) -> JSONResponse:
        return answer(_sentences(error.errors(), known), UNFIT)

    @app.exception_handler(HTTPException)
    async def _(request: Request, error: HTTPException) -> JSONResponse:
        path, method = request.url.path, request.method
        said = {
            400: f"The request cannot be read ({error.detail}); send {EXAMPLE}.",
            404: f"There is nothing at '{path}'; /openapi.json lists every address.",
            405: f"'{path}' does not take {method}; /openapi.json lists what it takes.",
        }.get(error.status_code, f"{method} '{path}' was refused ({error.detail}).")
        return answer(said, error.status_code)

    @app.exception_handler(Exception)
    async def _(request: Request, error: Exception) -> JSONResponse:
        # The server prints where it happened.
        return answer(f"Internal error ({type(error).__name__}) at '{request.url.path}'; please report it.", FAULT)


def _sendable(text: str) -> str:
    """The text without halves of surrogate pairs, which JSON allows and which cannot be encoded."""
    return text.encode(errors="backslashreplace").decode()


def _sentences(errors: Sequence[dict[str, Any]], known: list[str]) -> str:
    """A sentence for each of the first mistakes; thousands of guesses at misspelt fields would hold everybody up."""
    said = [sentence(one, known) for one in errors[:MOST_SAID]]
    left = len(errors) - MOST_SAID
    return "\n".join([*said, f"And {left} more."] if left > 0 else said)


def sentence(error: dict[str, Any], known: list[str]) -> str:
    """One sentence about one mistake that pydantic found."""
    kind, path = error["type"], [str(part) for part in error["loc"][1:]]
    if kind == "json_invalid":
        return f"The request is not JSON ({error['ctx']['error']}); send {EXAMPLE}."
    if not path:
        return f"The request has no JSON object in it; send {EXAMPLE}, as application/json."
    field = ".".join(path)
    if kind == "extra_forbidden":
        guess = did_you_mean(field, known) or " Leave it out, or look up its spelling in /openapi.json."
        return f"The field '{field}' is not known here.{guess}"
    mend = _MENDS[kind].format(**error.get("ctx", {})) if kind in _MENDS else f"is refused: {error['msg']}."
    if kind == "missing":
        return f"The field '{field}' {mend}"
    return f"The field '{field}' is {repr(error['input'])[:LONGEST_QUOTE]}; it {mend}"
