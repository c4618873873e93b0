"""The proposal for today, for the stand-in: lines that a test sets, in a scene of our own."""

from dataclasses import dataclass, field
from typing import Any

from fastapi import FastAPI, Request

from chanterd.serving.routes.proposal import LineShown, ProposalShown

LINES: list[LineShown] = [
    {
        "why": "weak",
        "drill": "taorluath from C to low A, stage 2",
        "click_bpm": 60.0,
        "aim_bpm": 80.0,
        "minutes": 6.0,
        "reason": "The taorluath from C to low A was clean 4 times in 10 on Monday: build it up from stage 2 at 60.",
    },
    {
        "why": "due",
        "drill": "throw on D from low A",
        "click_bpm": 64.0,
        "aim_bpm": 80.0,
        "minutes": 4.0,
        "reason": (
            "The throw on D from low A is due again after 2 days of rest: clean at 68, last played on Sunday. "
            "Begin at 64 and climb towards 80."
        ),
    },
    {
        "why": "warm",
        "drill": "birl from E",
        "click_bpm": 76.0,
        "aim_bpm": 80.0,
        "minutes": 3.0,
        "reason": "The birl from E goes well and was last played on 8 April: keep it warm at 76.",
    },
    {
        "why": "new",
        "drill": "doubling from low A to C, stage 1",
        "click_bpm": 60.0,
        "aim_bpm": 80.0,
        "minutes": 5.0,
        "reason": (
            "The doubling from low A to C is new to you and comes next: stage 1 of 3 first, slow and even, at 60."
        ),
    },
]


@dataclass
class Proposing:
    """What is proposed, and what was refused of it; nothing until a test sets some."""

    lines: list[LineShown] = field(default_factory=list)
    done: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def shown(self) -> ProposalShown:
        """As the daemon would tell it."""
        left = [line for line in self.lines if line["drill"] not in self.refused]
        return ProposalShown(day="2030-05-08", lines=left, done=self.done, refused=self.refused)


def add_proposing(app: FastAPI, proposing: Proposing, asked: list[tuple[str, str, Any]]) -> None:
    """Add the routes."""

    @app.get("/api/proposal")
    def proposal() -> ProposalShown:
        return proposing.shown()

    @app.post("/api/proposal/refused")
    async def refuse(request: Request) -> ProposalShown:
        body = await request.json()
        asked.append(("POST", "proposal/refused", body))
        proposing.refused.append(body["drill"])
        return proposing.shown()

    @app.delete("/api/proposal/refused")
    def again() -> ProposalShown:
        proposing.refused.clear()
        return proposing.shown()
