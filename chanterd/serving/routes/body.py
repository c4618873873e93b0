"""What the bodies and queries of many routes have in common."""

from typing import Annotated

from fastapi import Path, Query
from pydantic import BaseModel, ConfigDict, Field

WHOSE = "Which seat; may be left out while there is only one."
MOST_NUMBER = 2**63 - 1
"""The largest number that a database counts its rows with (SQLite's INTEGER, PostgreSQL's bigint)."""

SeatId = Annotated[str | None, Query(alias="seat", description=WHOSE)]
Number = Annotated[int, Path(le=MOST_NUMBER)]
"""Of a run or a player of the history, in a path."""
PlayerNumber = Annotated[int, Field(le=MOST_NUMBER)]
"""The number of a player of the history, in a body or a query."""


class Body(BaseModel):
    """The body of a request: a field that is not known is a mistake."""

    model_config = ConfigDict(extra="forbid")


class Asking(Body):
    """The body of a request about one chanter."""

    seat: str | None = Field(None, description=WHOSE)
