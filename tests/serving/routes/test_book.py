"""The routes of the book, over a real socket."""

from collections.abc import Awaitable, Callable, Iterator
from pathlib import Path
from typing import Any

import psutil
import pypdfium2
import pytest

from chanterd.engraving.worker import Worker
from chanterd.serving import app
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served, wait_until

Make = Callable[[Worker, Callable[[], Any]], Awaitable[Any]]
BEHIND_THE_PAGE = 2
"""What other processes make once a page is fetched: the first stave, and the book's lists."""


def counting(make: Make, made: list[int]) -> Make:
    """The same, noting each call."""

    def counted(worker: Worker, work: Callable[[], Any]) -> Awaitable[Any]:
        made.append(len(made))
        return make(worker, work)

    return counted


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a daemon."""
    with served(tmp_path_factory.mktemp("data"), [HandSource()]) as (page, _):
        yield page


def test_the_whole_book_is_served(page: str) -> None:
    """Every ornament, with drills that can be asked for."""
    book = ask(page, "GET", "api/book").json()["ornaments"]
    assert {"grip", "doubling", "birl"} <= {one["name"] for one in book}
    drill = book[0]["ways"][0]["drill"]
    assert ask(page, "GET", f"api/drill?words={drill}").json()["drill"] == drill


def test_what_cannot_be_played_is_listed_with_the_reason(page: str) -> None:
    """A doubling after a high G: its G gracenote cannot sound, and something else takes its place."""
    answer = ask(page, "GET", "api/drill?words=doubling from high G to C")
    assert answer.status_code == 422
    assert "thumb doubling" in answer.json()["said"]


def test_a_drill_is_served_with_its_timing(page: str) -> None:
    """An open hand on every click: the grip takes 80 + 53 + 80 ms of the half click before the beat at 60, to a ms."""
    query = "drill=grip from B to C&click_bpm=60&spread=0.08&layout=every click"
    shown = ask(page, "GET", f"api/timetable?{query}").json()
    assert (shown["clicks_per_rep"], shown["ornament_beat"]) == (1, 1)
    assert [round(step["offset_ms"]) for step in shown["asked"]["steps"]] == [-213, -133, -80, 0]


def test_a_way_up_the_scale_is_served_turn_by_turn(page: str) -> None:
    """From each note of the scale to the next; the first turn is what the first rep asks."""
    shown = ask(page, "GET", "api/timetable?drill=birl from E&click_bpm=60&layout=up and down the scale").json()
    assert [one["lead"] for one in shown["sequence"][:3]] == ["low G", "low A", "B"]
    assert len(shown["sequence"]) == 16
    assert shown["asked"] == shown["sequence"][0]


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("drill=grip from B to C&click_bpm=0", "must be a number of clicks a minute"),
        ("drill=grip from B to C&click_bpm=60&spread=6", "did you mean a percentage"),
        ("drill=grip from B to C&click_bpm=60&layout=evry click", "Did you mean 'every click'"),
        ("drill=grap from B to C&click_bpm=60", "Did you mean 'grip'"),
    ],
)
def test_what_is_not_understood_is_one_sentence(page: str, query: str, said: str) -> None:
    """Tempo, spread, layout and drill, each with its mend."""
    answer = ask(page, "GET", f"api/timetable?{query}")
    assert answer.status_code == 422
    assert said in answer.json()["said"]


def test_tunings_are_in_hertz_from_low_g_up(page: str) -> None:
    """Nine rising frequencies each."""
    for tuning in ask(page, "GET", "api/tunings").json():
        assert len(tuning["hz"]) == 9
        assert tuning["hz"] == sorted(tuning["hz"])


def test_a_staff_is_a_picture_with_its_steps_marked(page: str) -> None:
    """SVG, each note with its step, nothing in it that the page's own rules forbid."""
    answer = ask(page, "GET", "api/staff?drill=grip from B to C")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert all(f'data-step="{step}"' in answer.text for step in range(-1, 4))
    assert "<script" not in answer.text
    assert "style=" not in answer.text


OWN = """
[[ornament]]
name = "kitchen doubling"
how = "As we play it."
beat = "step 1"
[[ornament.spelled]]
themes = ["C"]
steps = ["g quick", "T held", "e quick"]

[[ornament]]
name = "grip"
beat = "theme"
[[ornament.spelled]]
themes = ["C"]
leads = ["B"]
steps = ["G held", "B quick", "G held", "B quick", "G held"]
"""


def test_a_teachers_own_ornament_is_in_the_book_on_staves_and_on_paper(tmp_path: Path) -> None:
    """A new row and one in the place of a shipped one: looked up, practised, engraved and printed as they are."""
    (tmp_path / "ornaments.toml").write_text(OWN)
    with served(tmp_path, [HandSource()]) as (page, _):
        assert ask(page, "GET", "api/drill?words=kitchen doubling from B").json()["theme"] == "C"
        asked = {"drill": "kitchen doubling from B", "click_bpm": 60}
        assert ask(page, "POST", "api/practice", asked).json()["asked"]["ornament"] == "kitchen doubling"
        staff = ask(page, "GET", "api/staff?drill=kitchen doubling from B").text
        assert "kitchen doubling from B: G gracenote on the beat, C, E gracenote, then C" in staff
        assert ask(page, "GET", "api/staff?drill=grip from B to C").text.count("data-step=") == 7
        sheet = ask(page, "POST", "api/sheet", {"drills": ["kitchen doubling", "grip"]})
        assert sheet.content.startswith(b"%PDF")
        text = "".join(one.get_textpage().get_text_bounded() for one in pypdfium2.PdfDocument(sheet.content))
        assert "kitchen doubling from B" in text
        assert "low G, B gracenote, low G, B gracenote, low G, then C on the beat" in text
        assert "grip from low A to C" not in text


def test_ornaments_are_found_as_pipers_say_them(page: str) -> None:
    """Each once, with the first way that was meant; the nearest names where nothing is found."""
    found = ask(page, "GET", "api/found?words=C doubling").json()["ornaments"]
    assert found[0] == {"ornament": "doubling", "lead": "low G", "theme": "C"}
    assert ask(page, "GET", "api/found?words=torluath").json()["ornaments"][0]["ornament"] == "taorluath"
    answer = ask(page, "GET", "api/found?words=zzzz").json()
    assert answer["ornaments"] == []
    assert answer["said"].count("'") == 8


def test_the_engraver_starts_as_the_page_is_fetched(tmp_path: Path) -> None:
    """Not before: who only asks the API, or opens no page, has no process for staves."""
    with served(tmp_path, [HandSource()]) as (page, _):
        before = len(psutil.Process().children())
        ask(page, "GET", "api/state")
        assert len(psutil.Process().children()) == before
        assert ask(page, "GET", "").headers["content-type"].startswith("text/html")
        wait_until(lambda: len(psutil.Process().children()) > before)


def test_the_book_is_ready_before_it_is_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Making it takes a second; it is made once, soon after the page is fetched, in another process."""
    made: list[int] = []
    monkeypatch.setattr(app, "READY_AFTER_S", 0.0)
    monkeypatch.setattr(Worker, "make", counting(Worker.make, made))
    with served(tmp_path, [HandSource()]) as (page, _):
        ask(page, "GET", "")
        wait_until(lambda: len(made) == BEHIND_THE_PAGE)
        for path in ("api/book", "api/drills", "api/book"):
            assert len(ask(page, "GET", path).content) > 100_000
    assert len(made) == BEHIND_THE_PAGE
