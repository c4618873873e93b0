"""ABC as pipers write it: every construct found in more than one file of a hundred, and what is said of the rest."""

from fractions import Fraction

import pytest

from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.tune import Meter, Tune, TuneNote

HEAD = "X:1\nT:Ours\nM:2/4\nL:1/8\nK:HP\n"


def read(body: str, head: str = HEAD) -> Tune:
    """The one tune in that text."""
    [tune] = read_abc(f"{head}{body}\n".encode())
    return tune


def heard(tune: Tune) -> list[str]:
    """Each note as ``{gracenotes}letter length``, lengths as fractions of a whole note."""
    return [f"{_braced(note)}{note.note.abc} {note.lasts}" for note in tune.notes]


def _braced(note: TuneNote) -> str:
    return "{" + "".join(one.abc for one in note.gracenotes) + "}" if note.gracenotes else ""


@pytest.mark.parametrize(
    ("body", "notes"),
    [
        ("GABc defg a", ["G 1/8", "A 1/8", "B 1/8", "c 1/8", "d 1/8", "e 1/8", "f 1/8", "g 1/8", "a 1/8"]),
        ("G,'A C'D'", ["G 1/8", "A 1/8", "c 1/8", "d 1/8"]),  # octave marks
        ("A2 A/ A// A3/2 A/4 A6", ["A 1/4", "A 1/16", "A 1/32", "A 3/16", "A 1/32", "A 3/4"]),
        ("A>B c<d", ["A 3/16", "B 1/16", "c 1/16", "d 3/16"]),
        ("A>>B c<<d", ["A 7/32", "B 1/32", "c 1/32", "d 7/32"]),
        ("A>{g}B A{g}>B", ["A 3/16", "{g}B 1/16", "A 3/16", "{g}B 1/16"]),
        ("A-A>B", ["A 5/16", "B 1/16"]),  # of a tied note only what is written last
        ("A z>B c", ["A 1/8", "B 1/16", "c 1/8"]),  # from a rest
        ("A > B", ["A 3/16", "B 1/16"]),
        ("(3ABc d", ["A 1/12", "B 1/12", "c 1/12", "d 1/8"]),
        ("{g}(3ABc (3{g}ABc", ["{g}A 1/12", "B 1/12", "c 1/12", "{g}A 1/12", "B 1/12", "c 1/12"]),
        ("(3:2:3ABc (3::2AB c", ["A 1/12", "B 1/12", "c 1/12", "A 1/12", "B 1/12", "c 1/8"]),
        ("(2AB c", ["A 3/16", "B 3/16", "c 1/8"]),
        ("[M:3/4](5ABcde", ["A 1/20", "B 1/20", "c 1/20", "d 1/20", "e 1/20"]),  # in simple time two, …
        ("[M:9/8](5ABcde", ["A 3/40", "B 3/40", "c 3/40", "d 3/40", "e 3/40"]),  # … in compound time three
        ("A\n % a comment with notes\nB", ["A 1/8", "B 1/8"]),  # it is no empty line
        ("A-A A-|A A-B", ["A 1/4", "A 1/4", "A 1/8", "B 1/8"]),
        ("A-{g}A", ["A 1/8", "{g}A 1/8"]),  # a gracenote begins the note again
        ("A z B z2 c x d", ["A 1/8", "B 1/8", "c 1/8", "d 1/8"]),
        ("{g}A {/g}A {g} A {g}(AB)", ["{g}A 1/8", "{g}A 1/8", "{g}A 1/8", "{g}A 1/8", "B 1/8"]),
        ("{gcd}c {GdGe}A {g2d/2}A {g}{d}A", ["{gcd}c 1/8", "{GdGe}A 1/8", "{gd}A 1/8", "{gd}A 1/8"]),
        ("A{g}|B", ["A 1/8", "{g}B 1/8"]),
        ("(AB) (A(Bc)d)", ["A 1/8", "B 1/8", "A 1/8", "B 1/8", "c 1/8", "d 1/8"]),
        ('"D"A "^slow"B "Em7" c', ["A 1/8", "B 1/8", "c 1/8"]),
        ("!segno!A !coda!B !fine!c !dacapoli!d", ["A 1/8", "B 1/8", "c 1/8", "d 1/8"]),
        ("!fermata!A ~B .c TA vB uA", ["A 1/8", "B 1/8", "c 1/8", "A 1/8", "B 1/8", "A 1/8"]),
        ("AB!\ncd", ["A 1/8", "B 1/8", "c 1/8", "d 1/8"]),  # an old line break
        ("AB$cd \\\nef", ["A 1/8", "B 1/8", "c 1/8", "d 1/8", "e 1/8", "f 1/8"]),
        ("AB % a comment with notes ABc\ncd", ["A 1/8", "B 1/8", "c 1/8", "d 1/8"]),
        ("AB\nw: la la\nP:B\ncd", ["A 1/8", "B 1/8", "c 1/8", "d 1/8"]),
        ("AB|[L:1/16]cd|[M:3/4]A12", ["A 1/8", "B 1/8", "c 1/16", "d 1/16", "A 3/4"]),
        ("AB\nL:1/4\nc", ["A 1/8", "B 1/8", "c 1/4"]),
        ("^c ^f =A =g", ["c 1/8", "f 1/8", "A 1/8", "g 1/8"]),
    ],
)
def test_notes_are_read_as_written(body: str, notes: list[str]) -> None:
    """Nothing in these is remarked on."""
    tune = read(body)
    assert (heard(tune), tune.remarks) == (notes, ())


@pytest.mark.parametrize(
    ("head", "lasts"),
    [
        ("X:1\nM:2/4\nK:HP\n", "1/16"),  # by the standard: a sixteenth where a bar is shorter than three quarters
        ("X:1\nM:6/8\nK:HP\n", "1/8"),
        ("X:1\nM:C|\nK:HP\n", "1/8"),
        ("X:1\nM:none\nK:HP\n", "1/8"),
        ("X:1\nK:HP\n", "1/8"),
        ("L:1/16\n\nX:1\nM:4/4\nK:D transpose=1\n", "1/16"),  # from the file's own header
        ("%abc-2.1\n%%pagewidth 20cm\nX:1\nL:1/4\nM:4/4\nK: Hp\n", "1/4"),
    ],
)
def test_a_note_without_a_length_lasts_what_the_header_says(head: str, lasts: str) -> None:
    """L if there is one, or what the standard makes of M."""
    assert [str(note.lasts) for note in read("AB", head).notes] == [lasts] * 2


def test_several_tunes_with_and_without_an_empty_line() -> None:
    """Numbers may be used twice; text between tunes is none of them; the second voice is left out."""
    text = (
        "X:1\nT:One\nT:Another name\nK:HP\nABc\nX:1\nT:Two\nK:D\nM:6/8\ndef\n\nSome words about it: ABC\n\n"
        "X:2\nT:Three\nK:HP\nV:1\nAB\nV:2\nGG\nV:1\nc2\n"
    )
    tunes = read_abc(text.encode())
    assert [(tune.title, len(tune.notes)) for tune in tunes] == [("One", 3), ("Two", 3), ("Three", 3)]


@pytest.mark.parametrize("text", ["\ufeff" + HEAD + "AB\n", (HEAD + "AB\n").replace("\n", "\r\n")])
def test_marks_and_line_ends_of_other_systems(text: str) -> None:
    """A byte order mark, and carriage returns."""
    assert [tune.title for tune in read_abc(text.encode())] == ["Ours"]


def test_a_file_in_latin_1() -> None:
    """As older programs wrote it."""
    [tune] = read_abc("X:1\nT:Le bagad d'ét\u00e9\nK:HP\nA\n".encode("latin-1"))
    assert tune.title == "Le bagad d'\u00e9t\u00e9"


@pytest.mark.parametrize(
    ("body", "signs"),
    [
        ("AB|cd|", "1 2"),
        ("|:AB|cd:|", "1( 2)"),
        ("[|:AB|cd:|]", "1( 2)"),
        ("|:AB:||:cd:|", "1() 2()"),
        ("|:AB::cd:|", "1() 2()"),
        ("| |:AB:|", "1()"),
        ("|:AB:|:cd:||", "1() 2()"),
        ("|:AB|1 cd:|2 ef|]", "1( 2)[1 3[2"),
        ("|:AB|[1 cd:|[2 ef||", "1( 2)[1 3[2"),
        ('|:AB|["1st" cd:|["2nd" ef||', "1( 2)[1 3[2"),
        ("|:AB|1,3 cd:|2 ef||", "1( 2)[13 3[2"),
        ("|:AB|1-2 cd:|3 ef||", "1( 2)[12 3[3"),
    ],
)
def test_repeats_and_endings(body: str, signs: str) -> None:
    """``(`` opens a repeat, ``)`` closes it, ``[`` begins an ending with the times through that it is for."""
    bars = read(body.replace("AB", "A2B2").replace("cd", "c2d2").replace("ef", "e2f2")).bars
    seen = [
        f"{bar.number}{'(' * bar.opens_repeat}{')' * bar.closes_repeat}{'[' * bool(bar.ending)}"
        f"{''.join(map(str, bar.ending))}"
        for bar in bars
    ]
    assert " ".join(seen) == signs


def test_bars_are_numbered_as_they_are_printed() -> None:
    """A pick-up is bar 0, and the short bar before a repeat and the pick-up after it are one bar."""
    tune = read("A|B2c2|d3:|:e|f4|")
    assert [note.bar for note in tune.notes] == [0, 1, 1, 2, 2, 3]
    assert [(str(note.start), str(note.lasts)) for note in tune.notes][-1] == ("9/8", "1/2")


@pytest.mark.parametrize(
    ("body", "column", "said"),
    [
        ("A b", 3, "'b' is beyond the nine notes of the chanter"),
        ("A F,", 3, "beyond the nine notes"),
        ("{b}A", 2, "beyond the nine notes"),
        ("_B", 1, "'_B' is read as that"),
        ("=c", 1, "no other C than its own"),
        ("[ce]A", 1, "one note at a time"),
        ("A|[ce]2 B", 3, "one note at a time"),
        ("AB & cd | e", 4, "second line of notes"),
        ("A # B", 3, "'#' is not understood"),
        ("A !D.C.!B", 3, "'!D.C.!' is not followed; the tune goes on as it is written"),
        ("A !D.S.alfine!B", 3, "is not followed"),
        ("A !dacapo!B", 3, "is not followed"),
        ("A {gcd}|", 3, "No note follows these gracenotes"),
        ("A {g}z {gcd}c", 3, "No note follows these gracenotes"),
        ("A B0", 3, "'B0' has no length"),
        ("> A", 1, "no note before '>'"),
        ("A> <B", 4, "no note between '>' and '<'"),
        ("A\nL:xx\nB", 1, "'L:xx' is not understood"),
        ("A\nM:five\nB", 1, "'M:five' is not understood"),
    ],
)
def test_what_is_not_understood_is_said_with_its_place(body: str, column: int, said: str) -> None:
    """And the rest is still read."""
    tune = read(body)
    [remark] = tune.remarks
    assert said in remark.said
    assert remark.column == column
    assert tune.notes


@pytest.mark.parametrize(
    ("voices", "letters"),
    [
        ("K:HP\nV:1\nAB\nV:2\nGG\nV:1\nc", "ABc"),
        ("V:1 name=Melody\nV:2 name=Seconds\nK:HP\nV:1\nAB\nV:2\nGG", "AB"),  # described in the header
        ("V:1\nV:2\nK:HP\n[V:1] AB|\n[V:2] GG|\n[V:1] c|", "ABc"),
        ("V:1\nV:2\nK:HP\n[V:1] AB [V:2] GG [V:1] c", "ABc"),
        ("V:1\nV:2\nK:HP\nAB\nV:2\nGG", "AB"),
        ("K:HP\nV:A\nAB\nV:B\nL:1/4\nGG\nV:A\nc", "ABc"),
    ],
)
def test_of_several_voices_the_first_is_read(voices: str, letters: str) -> None:
    """However they are marked; what another voice sets is its own."""
    [tune] = read_abc(f"X:1\nL:1/8\n{voices}\n".encode())
    assert "".join(note.note.abc for note in tune.notes) == letters
    assert {str(note.lasts) for note in tune.notes} == {"1/8"}


@pytest.mark.parametrize(
    "body",
    [
        "[A11" * 40,  # a chord that never ends
        "A" + "9" * 6000,
        "A" + "/" * 6000,
        "A" + ">" * 6000 + "B",
        "A" + "> " * 6000 + "B",
        "A" + " ".join(f"B/{part}" for part in range(2, 999)),  # lengths that no common part divides
        "A|1-99999999999 B|",
        "A\nM:" + "9" * 6000 + "/4\nB",
        "A\nL:1/" + "9" * 6000 + "\nB",
        "A (3:" + "9" * 6000 + "ABc",
        "A Z" + "9" * 6000,
        "A" + "[V:1" * 1500,
    ],
)
def test_made_to_do_harm_it_is_read_all_the_same(body: str) -> None:
    """Numbers of any length, and brackets that would keep a careless reader busy for ages."""
    tune = read(body)
    assert tune.notes[0].note.abc == "A"
    assert all(len(remark.said) < 150 for remark in tune.remarks)


def test_a_change_of_time_before_a_bar_line_is_of_the_next_bar() -> None:
    """The bar that is full already keeps its own."""
    bars = read("A2B2[M:6/8]|c3d3|e3f3\nM:2/4\nA2B2|").bars
    assert [bar.meter and bar.meter.beats for bar in bars] == [2, 6, 6]
    assert [bar.number for bar in bars] == [1, 2, 3]


def test_what_cannot_be_played_leaves_its_time() -> None:
    """A note that the chanter lacks takes as long as it is written, so that the bars stay right."""
    assert [str(note.start) for note in read("A b2 A").notes] == ["0", "3/8"]


@pytest.mark.parametrize(
    ("meter", "click"),
    [("2/4", "1/4"), ("C|", "1/2"), ("6/8", "3/8"), ("9/8", "3/8"), ("12/8", "3/8"), ("3/4", "1/4"), ("3/8", "1/8")],
)
def test_a_click_is_a_beat(meter: str, click: str) -> None:
    """A dotted quarter in compound time, else the lower number: common practice of the trade, no source."""
    tune = read("A", f"X:1\nM:{meter}\nL:1/8\nK:HP\n")
    assert isinstance(tune.meter, Meter)
    assert tune.meter.click == Fraction(click)


@pytest.mark.parametrize("text", ["", "Dear piper,\n\nthank you.", "X:1\nT:No notes\nK:HP\n", "\n\n\n", "%%\n%"])
def test_what_is_no_tune_has_no_notes(text: str) -> None:
    """Whatever is in it."""
    assert not [tune for tune in read_abc(text.encode()) if tune.notes]
