"""The parts of a report."""

from chanterd.progress.section import Section, Table


def test_a_section_has_no_table_unless_it_is_given_one() -> None:
    """And its sentences are no list."""
    plain = Section("Heading", ("One sentence.",))
    assert (plain.table, plain.listed) == (None, False)
    assert Section("Heading", (), Table(("a",), (("b",),))).table == Table(("a",), (("b",),))
