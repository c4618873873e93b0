"""The drills of a recording, each as a take of its own."""

from chanterd.assessing.drills_in_take import drills_in_take
from chanterd.assessing.listen import listen_to
from chanterd.music.units import NS_PER_MS
from chanterd.tables import read_tables
from tests.assessing.test_listen import GRIPS, taken


def test_each_begins_with_the_first_note_of_its_first_rep(tmp_path: object) -> None:
    """The note before is on beat 0 as far as its ornament is on beat 1."""
    tables = read_tables(tmp_path)  # type: ignore[arg-type]  # a path
    take = taken(f"e900 f900 -4000 {GRIPS} -4000 e900")
    heard = listen_to(take, tables.profiles, tables.book)
    (one,) = drills_in_take(take, heard, "steady", tables)
    assert (one.request.exercise.drill.words, one.request.exercise.click_off) == ("grip from B to C", True)
    notes = [at_ns for message, at_ns in one.request.take.messages if message.type == "note_on"]
    assert abs(notes[0]) < 10 * NS_PER_MS
    assert len(notes) == 25
    assert one.request.assessed()["summary"]["clean"] == 5
