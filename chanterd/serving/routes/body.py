"""What the bodies and queries of many routes share."""

from typing import Annotated

from fastapi import Path, Query
from pydantic import BaseModel, ConfigDict, Field

from chanterd.history.run_rows import MOST_LISTED

WHOSE = "The seat; you may leave it out if there is only one."
LEAST_NUMBER, MOST_NUMBER = -(2**63), 2**63 - 1
"""The numbers that a database can hold (SQLite's INTEGER, PostgreSQL's bigint); rows are numbered from 1."""

SeatId = Annotated[str | None, Query(alias="seat", description=WHOSE)]
Number = Annotated[int, Path(ge=LEAST_NUMBER, le=MOST_NUMBER)]
"""Of a run or a player of the history, in a path."""
PlayerNumber = Annotated[int, Field(ge=LEAST_NUMBER, le=MOST_NUMBER)]
"""The number of a player of the history, in a body or a query."""
Before = Annotated[PlayerNumber | None, Query(description="The number of a run: only older ones are listed.")]
Most = Annotated[int, Query(ge=1, le=MOST_LISTED)]


class Body(BaseModel):
    """The body of a request: an unknown field is a mistake."""

    model_config = ConfigDict(extra="forbid")


class AtSeat(Body):
    """The body of a request about one chanter."""

    seat: str | None = Field(None, description=WHOSE)
