"""Which lines belong to which tune."""

from chanterd.music.tunes.abc_file import decoded, tunes_in


def test_comments_and_directions_end_no_tune() -> None:
    """Only an empty line or the next X does; line numbers are those of the file."""
    text = "%%abc\nL:1/8\n\nX:1\n% a comment\nK:HP\n%%newpage\nAB % here\n\nwords\nX:2\nK:HP\nc\n"
    first, second = tunes_in(text)
    assert [(line.number, line.text) for line in first] == [(2, "L:1/8"), (4, "X:1"), (6, "K:HP"), (8, "AB")]
    assert [line.number for line in second] == [2, 11, 12, 13]


def test_a_percent_sign_may_be_escaped() -> None:
    """In a title, say."""
    [[_, title]] = tunes_in("X:1\nT:100 \\% ours\n")
    assert title.field == ("T", "100 \\% ours")


def test_text_of_either_kind() -> None:
    """UTF-8, with its mark or without, and Latin-1."""
    assert decoded("\ufeffé".encode()) == decoded("é".encode("latin-1")) == "é"
