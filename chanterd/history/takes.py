"""The history's takes as Standard MIDI Files."""

from sqlalchemy import Connection, select

from chanterd.config import ChanterdError
from chanterd.hearing.track import take_file
from chanterd.history.schema import runs, takes


def take_of(connection: Connection, run: int) -> bytes:
    """The take of a run: the imported file, or what was played up to the last stored rep.

    Raises ChanterdError if there is no such run, or it has no take.
    """
    head = connection.execute(select(runs.c.click_bpm, runs.c.lead_in_clicks).where(runs.c.id == run)).first()
    if head is None:
        raise ChanterdError(f"There is no run {run}; 'chanterd history list' shows the runs.")
    parts = connection.execute(
        select(takes.c.whole, takes.c.midi).where(takes.c.run_id == run).order_by(takes.c.part)
    ).all()
    if not parts:
        raise ChanterdError(f"Run {run} has no take: nothing was played on the chanter itself.")
    if parts[0].whole:
        return bytes(parts[0].midi)
    return take_file(head.click_bpm, head.lead_in_clicks, [bytes(part.midi) for part in parts])
