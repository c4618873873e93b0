"""The plans of a daemon: those that ship, and a player's own, which can be made, changed and deleted while it runs.

An own plan is a TOML file in the data folder, as a teacher writes one by hand; the same checker reads both. What ships
is never overwritten. Everything here reads or writes files, so call it outside the event loop.
"""

import hashlib
import logging
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from chanterd.config import ChanterdError, FieldsError, Mistake, bundled, find
from chanterd.files import file_stem, read_file, write_whole
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.plans.plan import FOLDER, BrokenPlan, Plan, PlanTable, find_plan, plan_from, plan_in, read_plan
from chanterd.table_file import LARGEST, NAME, TableFile, is_shallow, read_toml

LOG = logging.getLogger(__name__)

FORM = {
    "name": "Name",
    "said": "What it is for",
    "after_minutes": "Break after",
    "breaks.minutes": "Break of",
    "title": "Title",
    "drill": "Drill",
    "tune": "Tune",
    "ornament": "Take out",
    "from": "From",
    "to": "To",
    "width": "How wide",
    "click_bpm": "Clicks a minute",
    "minutes": "Minutes",
    "reps": "Reps",
    "first_bpm": "First tempo",
    "raise_bpm": "Raise by",
    "top_bpm": "Top",
    "performing_bpm": "Performing",
    "in_a_row": "Clean in a row",
    "tries": "Down after",
    "standard": "Standard",
    "layout": "Layout",
}
"""What the form on the page calls the keys of a plan; a test compares them with the page."""
MOST_PLANS = 500
"""Own ones; each is read at every start."""
MEND = "make room in the data folder and allow writing there"
HEAD = "A plan of practice, made on the page. Edit it as you like: the files in configs/plans explain the words."


@dataclass(frozen=True, slots=True)
class WrittenPlan:
    """A plan as it is written in its file."""

    key: str
    own: bool
    """Whether it is in the data folder; the others ship with the program."""
    version: str
    """Of the file: it changes with every change."""
    table: PlanTable


class PlanShelf:
    """All plans by their keys. Every method raises ChanterdError for what cannot be done."""

    def __init__(
        self, plans: dict[str, Plan], known: Vocabulary, data_dir: Path, broken: dict[str, BrokenPlan] | None = None
    ) -> None:
        """``broken`` has the own plans that cannot be used; each is named in the log."""
        self._plans, self._known, self._folder = plans, known, data_dir / FOLDER
        self._broken = {} if broken is None else broken
        self._data, self._tunes = data_dir, Shelf(data_dir)
        for one in self._broken.values():
            LOG.warning("%s", one.said)

    def listed(self) -> list[Plan | BrokenPlan]:
        """Every plan as it is now, those that cannot be used first."""
        self._look_again()
        return [*self._broken.values(), *self._plans.values()]

    def usable(self, key: str) -> Plan:
        """The plan of that key, to be gone through; one that cannot be used now is refused with why."""
        self._look_again()
        if key in self._broken:
            raise ChanterdError(self._broken[key].said)
        return find_plan(key, self._plans)

    def _look_again(self) -> None:
        """Read again the own plans that a tune may have been taken from, or given back to, while the daemon runs."""
        tunes = [plan for plan in [*self._plans.values()] if plan.own and any(part.tune for part in plan.parts)]
        again: list[Plan | BrokenPlan] = [*tunes, *self._broken.values()]
        for one in again:
            path = self._path(one)
            if path.exists():
                self._keep(plan_in(path, f"{FOLDER}/{path.name}", self._known, self._tunes, own=True))
            else:
                self._broken.pop(one.key, None)

    def _keep(self, plan: Plan | BrokenPlan) -> None:
        if isinstance(plan, Plan):
            self._plans[plan.key] = plan
            self._broken.pop(plan.key, None)
        else:
            if plan.key not in self._broken:
                LOG.warning("%s", plan.said)
            self._broken[plan.key] = plan
            self._plans.pop(plan.key, None)

    def written(self, key: str) -> WrittenPlan:
        """A plan as its file has it now; of one that the form cannot open, only its version."""
        plan = self._find(key)
        path = self._path(plan)
        data = read_file(path, LARGEST)
        shown = read_toml(path) if isinstance(plan, Plan) or plan.fits_form else {}
        return WrittenPlan(plan.key, plan.own, _version(data), cast("PlanTable", shown))

    def add(self, table: Mapping[str, Any]) -> Plan:
        """Make a plan; its key is made of its name. Raises FieldsError with everything that is wrong with it."""
        if sum(plan.own for plan in self._all().values()) >= MOST_PLANS:
            raise ChanterdError(f"There are {MOST_PLANS} plans of your own already; delete one first.")
        key = self._free_key(str(table.get("name", "")))
        return self._write(self._folder / f"{key}.toml", self._checked(key, table), table)

    def change(self, key: str, table: Mapping[str, Any], version: str) -> Plan:
        """Change an own plan, of which ``version`` was read. Raises FieldsError as ``add`` does."""
        plan = self._own(key, "changed", version)
        if isinstance(plan, BrokenPlan) and not plan.fits_form:
            raise ChanterdError(f"{plan.said}\nMend its file by hand, or delete the plan.")
        return self._write(self._path(plan), self._checked(key, table), table)

    def delete(self, key: str, version: str) -> None:
        """Delete an own plan, of which ``version`` was read; one that ships in its place is there again."""
        path = self._path(self._own(key, "deleted", version))
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            raise ChanterdError(f"{path}: cannot be deleted ({error.strerror}); allow writing there.") from error
        self._plans.pop(key, None)
        self._broken.pop(key, None)
        shipped = bundled("configs") / FOLDER / f"{key}.toml"
        if shipped.is_file():
            with suppress(ChanterdError):  # a teacher's own tables no longer have what it needs
                self._plans[key] = read_plan(shipped, self._known, self._data, own=False)

    def _all(self) -> dict[str, Plan | BrokenPlan]:
        return {**self._plans, **self._broken}

    def _find(self, key: str) -> Plan | BrokenPlan:
        return find("plan", key, self._all())

    def _path(self, plan: Plan | BrokenPlan) -> Path:
        return (self._folder if plan.own else bundled("configs") / FOLDER) / f"{plan.key}.toml"

    def _own(self, key: str, done: str, version: str) -> Plan | BrokenPlan:
        """That plan, if it is an own one and nobody has changed its file since that version of it was read."""
        plan = self._find(key)
        if not plan.own:
            raise ChanterdError(
                f"'{plan.name}' ships with chanterd and cannot be {done}. Copy it, and change the copy."
            )
        path = self._path(plan)
        if path.exists() and _version(read_file(path, LARGEST)) != version:
            raise ChanterdError(
                f"'{plan.name}' has been changed elsewhere meanwhile. Open it again before it is {done}."
            )
        return plan

    def _free_key(self, name: str) -> str:
        """A key that no plan has, and no file either."""
        stem = file_stem(name, "plan")
        for tail in ("", *(f"-{number}" for number in range(2, 1000))):
            key = f"{stem}{tail}"
            if key not in self._all() and not (self._folder / f"{key}.toml").exists():
                return key
        raise ChanterdError(f"There are too many plans with names like '{stem}'; choose another name.")

    def _checked(self, key: str, table: Mapping[str, Any]) -> Plan:
        if not is_shallow(dict(table)):
            raise ChanterdError("The plan is nested too deep; a plan has parts, and a part may have a ladder.")
        file = TableFile(
            f"{FOLDER}/{key}.toml", self._folder / f"{key}.toml", own=True, content=dict(table), names=FORM
        )
        plan = plan_from(file, self._known, self._tunes)
        name = str(table.get("name", "")).strip().casefold()
        if any(one.name.strip().casefold() == name for one in self._all().values() if one.key != key):
            said = f"There is a plan called '{table['name']}' already; give this one another name."
            file.mistakes.insert(0, Mistake("file", "name", said))
        if plan is None or file.mistakes:
            more = [Mistake("file", "", f"And {file.unshown} more.")] if file.unshown else []
            raise FieldsError([*file.mistakes, *more])
        return plan

    def _write(self, path: Path, plan: Plan, table: Mapping[str, Any]) -> Plan:
        if not NAME.allows(path.name):
            raise ChanterdError(f"The name '{plan.name}' is too long for a file; choose a shorter one.")
        with suppress(OSError):  # the write says what is wrong
            self._folder.mkdir(parents=True, exist_ok=True)
        write_whole(path, [_as_toml(path, table).encode()], MEND)
        self._keep(plan)
        return plan


def _version(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


def _as_toml(path: Path, table: Mapping[str, Any]) -> str:
    """The plan as TOML; comments that its file has above the first part stay."""
    import tomlkit  # noqa: PLC0415 - only who makes a plan on the page needs it

    document = tomlkit.parse(read_file(path, LARGEST).decode("utf-8-sig")) if path.exists() else tomlkit.document()
    if not path.exists():
        document.add(tomlkit.comment(HEAD))
    for key in [key for key in document if key not in table or key == "part"]:
        document.remove(key)
    for key, value in table.items():
        if key != "part":
            document[key] = tomlkit.item(value)
    parts = tomlkit.aot()
    for part in table["part"]:
        row = tomlkit.table()
        for key, value in part.items():
            row.add(key, _inline(value) if isinstance(value, dict) else value)
        parts.append(row)
    document["part"] = parts
    return tomlkit.dumps(document).rstrip() + "\n"


def _inline(values: Mapping[str, Any]) -> Any:  # noqa: ANN401 - a type of the library
    import tomlkit  # noqa: PLC0415 - see above

    inline = tomlkit.inline_table()
    inline.update(values)
    return inline
