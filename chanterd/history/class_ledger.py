"""Writing classes: each entry is one transaction, and the same entry again changes nothing."""

from sqlalchemy import Connection, insert, select, update

from chanterd.history.class_record import ClassBegun, ClassEntry, ClassRepClosed, ClassRunBegun, band_row, class_row
from chanterd.history.schema import class_reps, class_runs, classes


def write_class(connection: Connection, entry: ClassEntry) -> int:
    """Write an entry and return the number of its class, which is made again if it was deleted meanwhile."""
    number = _number(connection, entry.begun)
    if isinstance(entry, ClassRunBegun):
        known = select(class_runs.c.seat).where(class_runs.c.run_key == entry.run_key)
        if connection.scalar(known) is None:
            row = {"class_id": number, "run_key": entry.run_key, "seat": entry.seat}
            connection.execute(insert(class_runs).values(row))
        return number
    if isinstance(entry, ClassRepClosed):
        same = (class_reps.c.class_id == number, class_reps.c.number == entry.number)
        if connection.scalar(select(class_reps.c.number).where(*same)) is None:
            connection.execute(insert(class_reps).values(band_row(number, entry)))
    now = {"until_ns": entry.wall.ns, "over": not isinstance(entry, ClassRepClosed)}
    connection.execute(update(classes).where(classes.c.id == number).values(now))
    return number


def _number(connection: Connection, begun: ClassBegun) -> int:
    number: int | None = connection.scalar(select(classes.c.id).where(classes.c.key == begun.key))
    if number is None:
        made = insert(classes).values(class_row(begun)).returning(classes.c.id)
        number = int(connection.execute(made).scalar_one())
    return number
