"""verovio at arm's length: rows, a missing library, several threads."""

import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving import engraver
from chanterd.engraving.engraver import engrave
from chanterd.engraving.musicxml import MusicLine, music_xml
from tests.engraving.example_drills import GRIP, one_of_each

WIDTH = 100.0


def systems(svg: str) -> int:
    """How many rows of music there are."""
    return svg.count('class="system"')


def document(bars: int) -> str:
    """A line of grips."""
    return music_xml([MusicLine((GRIP,) * bars)])


def test_music_stays_in_one_row_unless_it_has_a_width() -> None:
    """Many bars make one long row, or as many rows of the width as they need."""
    assert systems(engrave(document(30))) == 1
    assert systems(engrave(document(30), WIDTH)) > 1
    assert systems(engrave(document(4), WIDTH)) == 1


def test_one_call_leaves_nothing_behind_for_the_next() -> None:
    """A row engraved after rows of a width is the same as before them, but for verovio's own names."""
    before = len(engrave(document(2)))
    engrave(document(30), WIDTH)
    assert abs(len(engrave(document(2))) - before) < before / 20


def test_what_is_no_music_is_refused_in_one_sentence() -> None:
    """A document that verovio cannot read does not become an empty drawing."""
    with pytest.raises(ChanterdError, match=r"^verovio cannot read what it was given to engrave"):
        engrave("no music")


def test_without_verovio_the_error_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The daemon runs without it; who asks for notation reads what to install."""
    engraver._toolkit.cache_clear()
    monkeypatch.setitem(sys.modules, "verovio", None)
    with pytest.raises(ChanterdError, match=r"^Staff notation needs verovio, .*'pip install verovio'\.$"):
        engrave(document(1))


def hesitant() -> SimpleNamespace:
    """A stand-in for verovio that gives way to other threads between loading and drawing."""
    loaded = [""]

    def load(document: str) -> bool:
        loaded[0] = document
        time.sleep(0)
        return True

    return SimpleNamespace(setOptions=lambda _: None, loadData=load, renderToSVG=lambda _: loaded[0])


def test_threads_do_not_draw_each_others_music(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a thread gets is drawn from what it gave, though others come in between loading and drawing."""
    toolkit = hesitant()
    monkeypatch.setattr(engraver, "_toolkit", lambda: toolkit)
    documents = [str(number) for number in range(2000)]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(engrave, documents)) == documents


def test_threads_draw_what_one_alone_draws() -> None:
    """The real verovio, eight threads at once: every ornament as when it is drawn alone."""

    def shapes(one: str) -> list[str]:
        return [line.strip() for line in engrave(one).splitlines() if "<path" in line or "<polygon" in line]

    documents = [music_xml([MusicLine((drill,))]) for drill in one_of_each()[:24]]
    alone = [shapes(one) for one in documents]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(shapes, documents)) == alone


def test_the_thread_that_engraves_first_need_not_be_the_one_that_loaded_verovio() -> None:
    """Its fonts are found from any thread: a new process loads it in one thread and engraves in another first."""
    program = (
        "import threading, verovio\n"
        "from chanterd.engraving.staff import staff_svg\nfrom chanterd.music.drill import drill_from_words as read\n"
        "drawn = []\n"
        "one = threading.Thread(target=lambda: drawn.append(staff_svg(read('grip from B to C'))))\n"
        "one.start(); one.join()\n"
        "drawn.append(staff_svg(read('grip from C to C')))\n"
        "print(len(drawn))\n"
    )
    found = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert found.stdout == "2\n", found.stderr
