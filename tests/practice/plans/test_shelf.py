"""Plans made, changed and deleted while the daemon runs: what is written, and what is refused."""

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from chanterd.config import ChanterdError, FieldsError, bundled
from chanterd.music.ornament import Book
from chanterd.practice.plans.plan import BrokenPlan, Plan, read_plan, read_plans
from chanterd.practice.plans.shelf import PlanShelf
from tests.practice.plans.test_plan import HEAD, KNOWN, WARM_UP

AT_MOST = "it must be at most that. Is one of them a number of beats, not of clicks?"
FIRST: dict[str, Any] = {"drill": "birl from E", "warm_up": True, "click_bpm": 60, "minutes": 2}
LADDER = {"first_bpm": 56, "raise_bpm": 4, "in_a_row": 3, "top_bpm": 68, "tries": 4}
TABLE: dict[str, Any] = {
    "name": 'Monday "quiet"',
    "said": "For a thin-walled flat; \\ and é are letters too.",
    "breaks": {"after_minutes": 20, "minutes": 5},
    "part": [FIRST, {"title": "Up", "drill": "grip from B to C", "ladder": LADDER, "standard": "learner"}],
}


@pytest.fixture
def shelf(tmp_path: Path) -> PlanShelf:
    """The plans that ship, and an empty data folder."""
    return PlanShelf(read_plans(KNOWN, tmp_path), KNOWN, tmp_path)


def own(shelf: PlanShelf, key: str) -> Plan:
    """That plan."""
    return shelf._plans[key]


def refused(shelf: PlanShelf, table: dict[str, Any]) -> list[tuple[str, str, str]]:
    """Each mistake, with its part and field."""
    with pytest.raises(FieldsError) as caught:
        shelf.add(table)
    return [(one.where, one.field, one.said.split(" Also near")[0]) for one in caught.value.mistakes]


def test_what_is_made_is_a_file_that_a_teacher_could_have_written(shelf: PlanShelf, tmp_path: Path) -> None:
    """TOML (tomllib reads it back word for word), named after the plan, found again at the next start."""
    plan = shelf.add(TABLE)
    path = tmp_path / "plans" / "monday-quiet.toml"
    text = path.read_text(encoding="utf-8")
    assert tomllib.loads(text) == TABLE
    assert text.startswith("# A plan of practice")
    assert text.count("[[part]]") == 2
    assert (plan.key, plan.own) == ("monday-quiet", True)
    assert read_plans(KNOWN, tmp_path)["monday-quiet"] == plan == read_plan(path, KNOWN)


def test_a_change_keeps_what_a_teacher_wrote_above_the_parts(shelf: PlanShelf, tmp_path: Path) -> None:
    """Comments stay, and so does the file's name; parts are in their new order."""
    path = tmp_path / "plans" / "monday.toml"
    path.parent.mkdir()
    path.write_text("# Mondays only.\n" + HEAD + WARM_UP)
    shelf = PlanShelf(read_plans(KNOWN, tmp_path), KNOWN, tmp_path)
    changed = {**TABLE, "name": "Tuesday", "part": [FIRST, TABLE["part"][1], FIRST]}
    plan = shelf.change("monday", changed, shelf.written("monday").version)
    assert path.read_text().startswith("# Mondays only.")
    assert tomllib.loads(path.read_text()) == changed
    assert (plan.key, [part.title for part in plan.parts]) == ("monday", ["", "Up", ""])
    shorter = {key: value for key, value in changed.items() if key != "breaks"}
    shelf.change("monday", shorter, shelf.written("monday").version)
    assert tomllib.loads(path.read_text()) == shorter


def test_what_ships_is_copied_and_not_overwritten(shelf: PlanShelf, tmp_path: Path) -> None:
    """It is refused with what to do instead; its own table makes a copy under another name."""
    shipped = shelf.written("lighthouse-class")
    assert not shipped.own
    for refuse in (
        lambda: shelf.change("lighthouse-class", TABLE, shipped.version),
        lambda: shelf.delete("lighthouse-class", shipped.version),
    ):
        with pytest.raises(ChanterdError, match=r"ships with chanterd and cannot be \w+\. Copy it"):
            refuse()
    copy = shelf.add({**shipped.table, "name": "Our evening"})
    assert len(copy.parts) == len(own(shelf, "lighthouse-class").parts)
    assert not (bundled("configs") / "plans" / "our-evening.toml").exists()
    assert (tmp_path / "plans" / "our-evening.toml").is_file()


def test_all_mistakes_are_refused_at_once_each_beside_its_field(shelf: PlanShelf, tmp_path: Path) -> None:
    """In the words of the form, which has no keys and no quotes; nothing is written."""
    table = {
        "name": " ",
        "said": "",
        "breaks": {"after_minutes": 1, "minutes": 5},
        "part": [
            {**FIRST, "warm_up": False, "drill": "brl from E", "click_bpm": "fast"},
            {**FIRST, "drill": "", "minutes": ""},
            {"drill": "birl from E", "click_bpm": 60, "reps": 2.5},
            {"drill": "birl from E", "ladder": {**LADDER, "first_bpm": 90, "tries": 0}},
        ],
    }
    assert refused(shelf, table) == [
        ("file", "name", "'Name' is ' '; it must be some text."),
        ("file", "said", "'What it is for' is ''; it must be some text."),
        ("breaks", "after_minutes", "'Break after' is 1; it must be a number from 5 to 30."),
        ("part 1", "click_bpm", "'Clicks a minute' is 'fast'; it must be a number from 20 to 300."),
        ("part 1", "drill", "'brl' is not an ornament in the book. Did you mean 'birl'?"),
        ("part 2", "drill", "'Drill' is ''; it must be a drill in a piper's words, such as grip from B to C."),
        ("part 2", "minutes", "'Minutes' is ''; it must be a number from 0.25 to 25."),
        ("part 3", "reps", "'Reps' is 2.5; it must be a whole number from 1 to 500."),
        (
            "part 4",
            "tries",
            "The ladder's 'Down after' is 0; it must be a whole number of tries from 1 to 100, 5 is usual.",
        ),
        (
            "part 4",
            "first_bpm",
            f"The ladder's 'First tempo' is 90, above its 'Top', which is 68; {AT_MOST}",
        ),
        ("part 1", "warm_up", "The first part is no warm-up; tick it, or move one there."),
    ]
    assert not (tmp_path / "plans").exists()


def test_a_plan_needs_a_part(shelf: PlanShelf) -> None:
    """An empty list is no plan."""
    assert refused(shelf, {**TABLE, "part": []}) == [("file", "part", "The plan has no part; add at least one.")]


def test_two_plans_do_not_have_one_name(shelf: PlanShelf) -> None:
    """Whatever its case: in the list nobody could tell them apart. A plan may keep its own."""
    shelf.add(TABLE)
    said = "There is a plan called 'monday \"QUIET\"' already; give this one another name."
    assert refused(shelf, {**TABLE, "name": 'monday "QUIET"'}) == [("file", "name", said)]
    shelf.change("monday-quiet", TABLE, shelf.written("monday-quiet").version)


def test_names_that_make_the_same_file_get_one_each(shelf: PlanShelf) -> None:
    """A name without a plain letter or digit is called plan."""
    assert [shelf.add({**TABLE, "name": name}).key for name in ("A b", "a-b", "é", "?")] == [
        "a-b",
        "a-b-2",
        "plan",
        "plan-2",
    ]


def test_nobody_overwrites_what_they_have_not_seen(shelf: PlanShelf, tmp_path: Path) -> None:
    """A file changed in an editor, or on another page, since it was opened is neither changed nor deleted."""
    shelf.add(TABLE)
    seen = shelf.written("monday-quiet").version
    path = tmp_path / "plans" / "monday-quiet.toml"
    path.write_text(path.read_text() + "# By hand.\n")
    with pytest.raises(ChanterdError, match="changed elsewhere meanwhile"):
        shelf.change("monday-quiet", TABLE, seen)
    with pytest.raises(ChanterdError, match="changed elsewhere meanwhile"):
        shelf.delete("monday-quiet", seen)
    assert path.read_text().endswith("# By hand.\n")


def test_a_plan_is_deleted_for_good(shelf: PlanShelf, tmp_path: Path) -> None:
    """File and plan are gone; one that ships under the same key is there again."""
    shelf.add(TABLE)
    shelf.delete("monday-quiet", shelf.written("monday-quiet").version)
    assert list((tmp_path / "plans").iterdir()) == []
    assert list(shelf._plans) == ["lighthouse-class", "quarry-hollow"]
    (tmp_path / "plans" / "quarry-hollow.toml").write_text(HEAD + WARM_UP)
    shelf = PlanShelf(read_plans(KNOWN, tmp_path), KNOWN, tmp_path)
    shelf.delete("quarry-hollow", shelf.written("quarry-hollow").version)
    assert (own(shelf, "quarry-hollow").own, own(shelf, "quarry-hollow").name) == (
        False,
        "Quarry Hollow: before the march",
    )


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    """A sentence with what to do, and the plan is not in the list either."""
    (tmp_path / "plans").write_text("in the way")
    shelf = PlanShelf({}, KNOWN, tmp_path)
    with pytest.raises(ChanterdError, match=r"monday-quiet\.toml: cannot be written .*; make room in the data folder"):
        shelf.add(TABLE)
    assert shelf._plans == {}


TUNE = "X:1\nT:Made up\nM:2/4\nL:1/8\nK:HP\nA2 B2 | c2 d2 |\n"
OF_TUNE = '[[part]]\ntune = "made-up"\nclick_bpm = 60\nreps = 3\n'
GONE = "plans/mine.toml: part 2: The tune 'made-up' is not there."


def with_own(folder: Path, text: str) -> tuple[PlanShelf, dict[str, Plan]]:
    """The plans after a start with a plan ``mine`` of that text, and the usable ones."""
    for name in ("plans", "tunes"):
        (folder / name).mkdir(exist_ok=True)
    (folder / "plans" / "mine.toml").write_text(text)
    broken: dict[str, BrokenPlan] = {}
    plans = read_plans(KNOWN, folder, broken)
    return PlanShelf(plans, KNOWN, folder, broken), plans


def trouble(shelf: PlanShelf) -> str:
    """What is said of the plan ``mine``; empty if it can be used."""
    (mine,) = (one for one in shelf.listed() if one.key == "mine")
    return mine.said if isinstance(mine, BrokenPlan) else ""


def test_a_plan_without_its_tune_is_set_apart_and_comes_back_with_it(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """At start and while the daemon runs, whoever took the file away; the log says it once."""
    shelf, _ = with_own(tmp_path, HEAD + WARM_UP + OF_TUNE)
    assert GONE in trouble(shelf)
    assert "Put its file back into the folder 'tunes', or choose another tune." in trouble(shelf)
    with pytest.raises(ChanterdError, match=r"The plan 'Ours' cannot be used: .*'made-up' is not there"):
        shelf.usable("mine")
    (tmp_path / "tunes" / "made-up.abc").write_text(TUNE)
    assert trouble(shelf) == ""
    assert len(shelf.usable("mine").parts) == 2
    assert len(caplog.messages) == 1
    (tmp_path / "tunes" / "made-up.abc").unlink()
    assert GONE in trouble(shelf)
    assert [GONE in message for message in caplog.messages] == [True, True]


def test_a_plan_that_is_no_toml_can_be_deleted_and_nothing_of_it_is_overwritten(tmp_path: Path) -> None:
    """The form cannot show what is written there, so only its version is read."""
    shelf, plans = with_own(tmp_path, "name = \n")
    assert "cannot be used: plans/mine.toml: is not valid TOML" in trouble(shelf)
    assert "lighthouse-class" in plans
    written = shelf.written("mine")
    assert [*written.table] == []
    with pytest.raises(ChanterdError, match="Mend its file by hand"):
        shelf.change("mine", TABLE, written.version)
    shelf.delete("mine", written.version)
    assert not (tmp_path / "plans" / "mine.toml").exists()
    assert "mine" not in [one.key for one in shelf.listed()]


def test_a_plan_is_mended_in_the_form(tmp_path: Path) -> None:
    """Whatever is wrong with it, each mistake is named; once it is right it can be begun."""
    shelf, _ = with_own(tmp_path, HEAD + WARM_UP.replace("birl", "brl").replace("= 60", "= 6"))
    assert [word in trouble(shelf) for word in ("'brl' is not an ornament", "'click_bpm' is 6")] == [True, True]
    written = shelf.written("mine")
    assert written.table["name"] == "Ours"
    shelf.change("mine", TABLE, written.version)
    assert trouble(shelf) == ""
    assert shelf.usable("mine").name == TABLE["name"]


@pytest.mark.parametrize(
    "text", ["part = 3\n", "[part]\n", "breaks = 2\n", "[[part]]\nladder = 3\n", "name = 2026-01-01\n", "said = nan\n"]
)
def test_what_the_form_cannot_show_is_not_opened_in_it(tmp_path: Path, text: str) -> None:
    """Values where a plan has tables, and what JSON has no word for."""
    shelf, _ = with_own(tmp_path, text)
    (mine,) = (one for one in shelf.listed() if one.key == "mine")
    assert isinstance(mine, BrokenPlan)
    assert not mine.fits_form


def test_an_ornament_a_standard_or_a_layout_that_is_gone_sets_its_plan_apart_only(tmp_path: Path) -> None:
    """A teacher's table that was removed, and the plan that still names it."""
    more = 'standard = "ours"\nlayout = "ours"\n'
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "mine.toml").write_text(HEAD + WARM_UP + more)
    (tmp_path / "plans" / "other.toml").write_text(HEAD + WARM_UP.replace("birl from E", "grip from B to C"))
    birls = Book(tuple(one for one in KNOWN.book.ornaments if one.name != "birl"))
    broken: dict[str, BrokenPlan] = {}
    plans = read_plans(replace(KNOWN, book=birls), tmp_path, broken)
    assert "other" in plans
    assert [*broken] == ["mine"]
    assert len(broken["mine"].mistakes) == 3


def test_a_broken_plan_in_place_of_one_that_ships_is_named_and_the_other_is_back_when_it_is_deleted(
    tmp_path: Path,
) -> None:
    """Nobody goes through another plan than the one they wrote without a word."""
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "quarry-hollow.toml").write_text(HEAD)
    broken: dict[str, BrokenPlan] = {}
    plans = read_plans(KNOWN, tmp_path, broken)
    assert ([*plans], [*broken]) == (["lighthouse-class"], ["quarry-hollow"])
    shelf = PlanShelf(plans, KNOWN, tmp_path, broken)
    shelf.delete("quarry-hollow", shelf.written("quarry-hollow").version)
    assert [one.key for one in shelf.listed()] == ["lighthouse-class", "quarry-hollow"]
