"""The history's takes as Standard MIDI Files."""

from sqlalchemy import Connection, Table, select

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
    take = take_from_parts(connection, takes, run, head.click_bpm, head.lead_in_clicks, f"run {run}")
    if take is None:
        raise ChanterdError(f"Run {run} has no take: nothing was played on the chanter itself.")
    return take


def take_from_parts(
    connection: Connection, table: Table, run: int, click_bpm: float, lead_in_clicks: int, name: str
) -> bytes | None:
    """A take from the parts in a table of takes: the imported file, or one that is made of them; None without parts.

    ``name`` is what the run is called in an error. Raises ChanterdError if the parts begin later than the run, since
    times in a track count from the event before.
    """
    c = table.c
    parts = connection.execute(select(c.part, c.whole, c.midi).where(c.run_id == run).order_by(c.part)).all()
    if not parts:
        return None
    if [part.part for part in parts] != list(range(len(parts))):
        raise ChanterdError(f"The take of {name} lacks its beginning: the player was deleted meanwhile.")
    if parts[0].whole:
        return bytes(parts[0].midi)
    return take_file(click_bpm, lead_in_clicks, [bytes(part.midi) for part in parts])
