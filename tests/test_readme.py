"""README.md and DEVELOPERS.md are held to the program as it is."""

from __future__ import annotations

import dataclasses
import importlib
import re
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

import bench
from bench.cli import main
from bench.commands import COMMANDS
from bench.commands.schema import ANSWERS
from bench.documents.actions import ACTIONS, BOARD_ACTIONS, LIST_ACTIONS
from bench.documents.library import Library
from bench.documents.settings import Settings, read_settings
from bench.journal.csv_rows import COLUMNS
from bench.journal.payloads import kinds
from bench.journal.store import Journal
from bench.journal.typed_json import keys
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.spoken_cross import spoken_cross
from bench.screens.kit.keys import Keys
from tests.support.clock import ManualClock

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def part(text: str, heading: str) -> str:
    """The part of a text below a heading, up to the next one."""
    assert f"\n## {heading}\n" in text
    return text.split(f"\n## {heading}\n")[1].split("\n## ")[0]


def table(text: str) -> list[list[str]]:
    """The cells of all tables in a text, without their heads."""
    lines = [line for line in text.split("\n") if line.startswith("|")]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    heads = {number - 1 for number, row in enumerate(rows) if set("".join(row)) <= set("-")}
    return [row for number, row in enumerate(rows) if not {number, number - 1} & heads]


def code(text: str) -> list[str]:
    """What stands in backticks."""
    return re.findall(r"`([^`]+)`", re.sub(r"```.*?```", "", text, flags=re.S))


def examples(language: str) -> list[str]:
    """The README's examples in a language."""
    return re.findall(rf"```{language}\n(.*?)```", README, flags=re.S)


def test_every_kind_of_event_is_described() -> None:
    """DEVELOPERS.md names every kind with exactly the keys that the journal asks for and takes."""
    described: dict[str, tuple[set[str], set[str]]] = {}
    for names, payload, _ in table(part(DEVELOPERS, "Events")):
        optional = code("".join(re.findall(r"\(([^)]*)\)", payload)))
        required = [key for key in code(payload) if key not in optional]
        described |= {kind: (set(required), set(optional)) for kind in code(names)}
    assert described == {
        name: (
            {key for key, needed in keys(model).items() if needed},
            {key for key, needed in keys(model).items() if not needed},
        )
        for name, model in kinds().items()
    }


def test_every_answer_is_described() -> None:
    """DEVELOPERS.md names every command's keys at the top level of its JSON."""
    described = {code(row[0])[0]: code(row[1]) for row in table(part(DEVELOPERS, "Answers"))}
    models = {}
    for name, where in ANSWERS.items():
        module, _, model = where.partition(":")
        shape = getattr(importlib.import_module(module), model)
        fields = [field.name for field in dataclasses.fields(shape)]
        shown = {"pace": "pace PATTERN", "paces": "pace", "commission-answer": "commission"}.get(
            name, name
        )
        models[shown] = [key for key in fields if key not in {"format", "warnings"}]
    assert described == models


def test_the_csv_columns_are_described() -> None:
    """DEVELOPERS.md names the CSV's columns in their order."""
    assert code(part(DEVELOPERS, "CSV"))[: len(COLUMNS)] == list(COLUMNS)


def test_every_room_and_file_is_named() -> None:
    """The house in DEVELOPERS.md has a place for everything in bench/ and in tests/.

    The tests of a room lie in a folder of its name; other folders of tests are named.
    """
    house = part(DEVELOPERS, "The house")
    rooms = set()
    for path in Path(bench.__file__).parent.iterdir():
        if path.name == "patterns":
            continue  # the wheel carries them inside the package
        if path.is_dir() and not path.name.startswith("__"):
            rooms.add(path.name)
            assert f"\n  {path.name}/ " in house
        elif path.suffix == ".py" and not path.name.startswith("__"):
            assert path.name in house
    named = code(part(DEVELOPERS, "Working on it")) + re.findall(r"tests\.\w+", DEVELOPERS)
    for path in (ROOT / "tests").iterdir():
        if path.is_dir() and not path.name.startswith("__"):
            assert path.name in rooms or f"tests/{path.name}" in named


def test_the_dependencies_have_their_reasons() -> None:
    """Every run-time dependency of pyproject.toml stands in DEVELOPERS.md with its reason."""
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["serve"]]
    reasons = {row[0]: row[1] for row in table(part(DEVELOPERS, "Dependencies"))}
    assert list(reasons) == [re.split(r"[=>]", name)[0] for name in wanted]
    assert all(reasons.values())


def test_every_dependency_was_tested() -> None:
    """tests/constraints.txt has one version of each dependency, within its bounds.

    What is needed at run time, or to serve, and is not pinned has an upper bound: the next major
    may break it.
    """
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    lines = (ROOT / "tests" / "constraints.txt").read_text("utf-8").splitlines()
    tested = dict(line.lower().split("==") for line in lines if not line.startswith("#"))
    serving = project["optional-dependencies"]["serve"]
    needed = [Requirement(text) for text in (*project["dependencies"], *serving)]
    extras = [
        Requirement(text) for some in project["optional-dependencies"].values() for text in some
    ]
    for asked in (*needed, *extras):
        assert tested[asked.name.lower()] in asked.specifier, asked
    for asked in needed:
        assert {bound.operator for bound in asked.specifier} & {"<", "=="}, asked


def test_every_key_stands_in_the_readme() -> None:
    """The README's tables name each action that can be set, with its usual key."""
    rows = table(part(README, "Keys"))
    named = {action: row[1] for row in rows for action in code(row[0])}
    assert set(named) == set(ACTIONS) | set(LIST_ACTIONS) | set(BOARD_ACTIONS)
    keys = Keys(Settings())
    for action in ACTIONS:
        assert named[action] == keys.name(action)
    for row in rows:
        if set(actions := code(row[0])) <= set(BOARD_ACTIONS):
            assert row[1].split() == [keys.name(action) for action in actions]


def test_every_command_stands_in_the_readme() -> None:
    """The README names each command."""
    named = {words.split()[0] for row in table(part(README, "Commands")) for words in code(row[0])}
    assert set(COMMANDS) <= named


def test_the_examples_of_the_readme_are_sound(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Pattern, commission and settings can be taken from the README as they stand."""
    found = {key: text for text in examples("toml") for key in ("[keys]", "[loads]", "[[lots]]")
             if key in text}  # fmt: skip
    for name, key in (("settings.toml", "[keys]"), ("patterns/door-drop.toml", "[loads]"),
                      ("commissions/door.toml", "[[lots]]")):  # fmt: skip
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(found[key], "utf-8")
    settings, wrong = read_settings(tmp_path)
    assert wrong is None
    assert settings.keys == {"next": ("space", "f13")}
    for name in ("door-drop", "door"):
        words = ["--home", str(tmp_path), "check", name]
        assert main(words) == 0, capsys.readouterr().err
    assert main(["--home", str(tmp_path), "needs", "door", "--json"]) == 0
    assert capsys.readouterr().err == ""


def test_the_pictures_are_there() -> None:
    """Every picture that the README shows is in the repository, and each one made is shown."""
    shown = set(re.findall(r"\]\((tests/pictures/[^)]+)\)", README))
    assert shown == {f"tests/pictures/{p.name}" for p in (ROOT / "tests/pictures").glob("*.svg")}


def test_the_spoken_line_of_the_readme(tmp_path: Path) -> None:
    """The line that the README quotes is what is said at that cross."""
    quoted = re.search(r'a line to say \("([^"]+)"\)', README.replace("\n", " "))
    assert quoted is not None
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as journal:
        made = WorkedPattern.from_library(Library(tmp_path), Settings(), "gutter-pearl")
        braid = Braid.start(journal, made, stage="braid")
        said = set()
        for count in range(braid.plan.crosses):
            braid.set_place(count)
            while braid.mark_due is not None:
                braid.mark_done()
            step = braid.next_step
            assert step is not None
            said.add(spoken_cross(braid, step))
    assert quoted[1] in said


def test_a_backup_can_be_put_in_the_journals_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both ways of the README give every event again, also while the program has it open."""
    home, other = tmp_path / "home", tmp_path / "other"
    with Journal.open(home / "journal.db", write=True, clock=ManualClock()) as journal:
        made = WorkedPattern.from_library(Library(home), Settings(), "gutter-pearl")
        braid = Braid.start(journal, made, stage="braid")
        for _ in range(5):
            braid.cross()
        events = list(journal.events())
        backup = tmp_path / "backup.jsonl"
        words = ["export", "--format", "jsonl", "--to", str(backup)]
        assert main(["--home", str(home), *words]) == 0
        assert main(["--home", str(home), "backup", str(tmp_path / "bench.zip")]) == 0
    assert main(["--home", str(other), "import", str(backup)]) == 0
    other_home = tmp_path / "third"
    with zipfile.ZipFile(tmp_path / "bench.zip") as archive:
        archive.extractall(other_home)
    for folder in (other, other_home):
        with Journal.open(folder / "journal.db", write=True) as again:
            assert [e.uuid for e in again.events()] == [e.uuid for e in events]
            assert again.state(braid.piece).made == 5
    capsys.readouterr()


def test_every_file_named_in_the_house_is_there() -> None:
    """The table of rooms in DEVELOPERS.md names files that exist, each in its room."""
    house = part(DEVELOPERS, "The house")
    rows = re.findall(r"^\| ([a-z/]+) \| (.*) \|$", house, re.M)
    named = [(room, name) for room, text in rows for name in re.findall(r"`([a-z_]+)`", text)]
    assert len(named) > 100
    rooms = Path(bench.__file__).parent
    assert [name for name in named if not (rooms / name[0] / f"{name[1]}.py").is_file()] == []
