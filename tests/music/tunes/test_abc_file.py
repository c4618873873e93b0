"""Which lines belong to which tune."""

from chanterd.music.tunes.abc_file import decoded, tunes_in


def test_comments_and_directions_end_no_tune() -> None:
    """Only an empty line or the next X does; line numbers are those of the file."""
    text = "%%abc\nL:1/8\n\nX:1\n  % a comment\nK:HP\n%%newpage\nAB % here\n\nwords\nX:2\nK:HP\nc\n"
    first, second = tunes_in(text)
    assert [(line.number, line.text) for line in first] == [(2, "L:1/8"), (4, "X:1"), (6, "K:HP"), (8, "AB")]
    assert [line.number for line in second] == [2, 11, 12, 13]


def test_a_percent_sign_may_be_escaped() -> None:
    """In a title, say."""
    [[_, title]] = tunes_in("X:1\nT:100 \\% ours\n")
    assert title.field == ("T", "100 \\% ours")


def test_text_of_every_kind() -> None:
    """UTF-8 and UTF-16 with their marks, UTF-8 without, Latin-1, and what Windows adds to it."""
    assert decoded("\ufeff\u00e9".encode()) == decoded("\u00e9".encode("latin-1")) == "\u00e9"
    assert decoded("X:1\n".encode("utf-16")) == "X:1\n"
    assert decoded("Piper\u2019s \u2026".encode("cp1252")) == "Piper\u2019s \u2026"
    assert decoded(b"\x81\xe9") == "\x81\u00e9"


def test_lines_end_where_an_editor_shows_an_end() -> None:
    """At a carriage return or a line feed or both; a sign that only some programs take for an end is none."""
    [lines] = tunes_in("X:1\rT:One\x85 two\x0bthree\u2028four\r\nK:HP\nA\r\n")
    assert [line.number for line in lines] == [1, 2, 3, 4]
