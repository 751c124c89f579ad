from __future__ import annotations

import io
import json
import math
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern
from bench.slips.dialogue import Dialogue
from bench.slips.line_reader import LONGEST

ROOT = Path(__file__).parents[2]


def plan_of(name: str) -> Plan:
    """A shipped pattern's plan."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), name).plan


PLAN = plan_of("gutter-pearl")


def say(dialogue: Dialogue, line: object) -> dict[str, Any]:
    """One line, as an object or as it stands, and its answer."""
    text = line if isinstance(line, str) else json.dumps(line)
    answer: dict[str, Any] = json.loads(dialogue.line(text))
    return answer


def shows(part: object, whole: object) -> bool:
    """Whether a documented part is in an answer: each key, each element up to '...'."""
    if isinstance(part, dict):
        return isinstance(whole, dict) and all(
            k in whole and shows(v, whole[k]) for k, v in part.items()
        )
    if isinstance(part, list) and isinstance(whole, list):
        if part[-1:] == ["..."]:
            return len(whole) >= len(part) and all(map(shows, part[:-1], whole))
        return len(part) == len(whole) and all(map(shows, part, whole))
    return part == whole


def test_the_documented_lines_are_answered_as_documented() -> None:
    """Every example of DEVELOPERS.md is answered with what stands below it."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```jsonl (\S+)\n(.*?)```", text, re.DOTALL)
    assert len(blocks) >= 4
    for name, block in blocks:
        dialogue, answer = Dialogue(plan_of(name)), {}
        for line in block.splitlines():
            if line.startswith("> "):
                answer = say(dialogue, line[2:])
            else:
                assert shows(json.loads(line[2:]), answer), (line, answer)


def test_chances_add_up_to_one() -> None:
    """The suspects' chances add up to 1 with `other`, after a report and after each answer."""
    dialogue = Dialogue(PLAN)
    for line in ({"cross": 31, "strand": 1, "saw": "d"}, {"answer": 5}, {"answer": "d"}):
        suspects = say(dialogue, line)["suspects"]
        assert math.isclose(sum(s["chance"] for s in suspects), 1, abs_tol=1e-4)
        assert suspects[-1]["slip"] == "other"


def test_a_strand_that_is_not_carried_is_a_lost_place() -> None:
    """It says which strands are carried, in words too, and offers counts that carry this one."""
    dialogue = Dialogue(PLAN)
    answer = say(dialogue, {"cross": 45, "strand": 5, "saw": "b"})
    carried = [move.strand for move in PLAN.step(45).carried]
    assert answer["carried"] == carried
    assert PLAN.structure.places[PLAN.place_of(carried[0], 44) - 1] in answer["error"]
    assert answer["lost_place"]
    for suspect in answer["lost_place"]:
        step = PLAN.step(45 - suspect["shift"])
        assert 5 in [move.strand for move in step.carried]


def test_the_nearest_counts_are_named_where_a_row_is_long() -> None:
    """With eight crosses a row the place is sought farther off than with four: four are named."""
    cord = plan_of("landing-cord")
    carried_at = [[move.strand for move in cord.step(cross).carried] for cross in range(1, 640)]
    strand = next(s for s in range(1, 17) if s not in carried_at[99])
    answer = say(Dialogue(cord), {"cross": 100, "strand": strand, "saw": None})
    shifts = [suspect["shift"] for suspect in answer["lost_place"]]
    nearest = sorted(
        (100 - cross for cross, carried in enumerate(carried_at, 1) if strand in carried), key=abs
    )
    assert sorted(map(abs, shifts)) == sorted(map(abs, nearest[:4]))
    assert max(map(abs, shifts)) > 8


WRONG = [
    "", "{", "nul", "[]", "3", '"saw"', "{}", "[" * 60_000, "9" * 5_000, "x" * (LONGEST + 1),
    '{"cross": NaN, "strand": 1, "saw": "a"}', '{"cross": 1e999, "strand": 1, "saw": "a"}',
    '{"cross": true, "strand": 1, "saw": "a"}', '{"cross": 31.0, "strand": 1, "saw": "a"}',
    '{"cross": 0, "strand": 1, "saw": "a"}', '{"cross": 77, "strand": 1, "saw": "a"}',
    '{"cross": 31, "strand": 9, "saw": "a"}', '{"cross": 31, "strand": "1", "saw": "a"}',
    '{"cross": 31, "strand": 1, "saw": "x"}', '{"cross": 31, "strand": 1, "saw": "ab"}',
    '{"cross": 31, "strand": 1, "saw": ["a"]}', '{"cross": 31, "strand": 1, "saw": "\\ud800"}',
    '{"cross": 31, "strand": 1}', '{"cross": 31, "strand": 1, "saw": "a", "colour": "red"}',
    '{"cross": 31, "strand": 1, "braid": "hole"}', '{"answer": 5}', '{"answer": "skip"}',
    '{"read_off": 5, "cross": 31, "strand": 1}', '{"read_off": "xyz", "cross": 31, "strand": 1}',
    json.dumps({"read_off": "a" * 50_000, "cross": 31, "strand": 1}),
]  # fmt: skip


@pytest.mark.parametrize("line", WRONG, ids=lambda line: line[:30])
def test_a_line_that_cannot_be_used_changes_nothing(line: str) -> None:
    """It is answered by one short error, and the next answer is as if it had not been there."""
    dialogue, untouched = Dialogue(PLAN), Dialogue(PLAN)
    answer = say(dialogue, line)
    assert set(answer) <= {"format", "warnings", "error", "carried", "lost_place"}
    assert len(answer["error"]) < 400
    for good in ({"cross": 31, "strand": 1, "saw": "d"}, {"answer": 5}):
        assert say(dialogue, good) == say(untouched, good)


def test_a_look_at_what_was_reported_says_that_it_is_again() -> None:
    """Asked where the report came from, the question says to look again, elsewhere it does not."""
    dialogue = Dialogue(PLAN)
    strand = PLAN.step(15).carried[0].strand
    look = say(dialogue, {"cross": 15, "strand": strand, "saw": None})["look"]
    while (look["kind"], look["strand"]) != ("next", strand):
        assert "again" not in look["says"]
        look = say(dialogue, {"answer": "skip"})["look"]
    assert look["says"].startswith("Look again")


def test_the_same_seen_twice_is_no_misreading() -> None:
    """Told twice that nothing hangs on the piece there: nothing fits, read the strand off."""
    dialogue = Dialogue(PLAN)
    strand = PLAN.step(15).carried[0].strand
    look = say(dialogue, {"cross": 15, "strand": strand, "saw": None})["look"]
    while (look["kind"], look["strand"]) != ("next", strand):
        told = "this" if look["kind"] == "piece" else "skip"
        look = say(dialogue, {"answer": told})["look"]
    answer = say(dialogue, {"answer": None})
    if answer["look"]["kind"] == "piece":
        answer = say(dialogue, {"answer": "this"})
    assert answer["suspects"][0]["chance"] < 0.05
    assert "Read off all beads" in answer["says"]
    assert answer["mends"] == []
    while answer["look"] is not None:
        answer = say(dialogue, {"answer": "skip"})
    assert (answer["settled"], answer["asked_out"]) == (False, True)


@pytest.mark.parametrize("answer", [None, "x", "dd", True, 8, -1, 2.5, [], {"a": 1}, float("nan")])
def test_an_answer_of_another_kind_is_refused(answer: object) -> None:
    """A glance takes a number of strands; anything else is an error, and the look stays."""
    dialogue = Dialogue(PLAN)
    look = say(dialogue, {"cross": 31, "strand": 1, "saw": "d"})["look"]
    assert look["kind"] == "glance"
    assert "error" in say(dialogue, {"answer": answer})
    assert say(dialogue, {"answer": 5})["look"] != look


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 90) | st.floats() | st.sampled_from([*"abcdx?"]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=3), inner),
    max_leaves=4,
)
LINES = st.one_of(
    st.fixed_dictionaries(
        {"cross": st.integers(-1, 80), "strand": st.integers(0, 9), "saw": VALUES}
    ),
    st.fixed_dictionaries({"cross": st.integers(1, 76), "strand": VALUES, "braid": VALUES}),
    st.fixed_dictionaries({"answer": VALUES}),
    st.dictionaries(st.sampled_from(["cross", "strand", "saw", "answer", "read_off"]), VALUES),
)


@given(st.lists(LINES.map(json.dumps) | st.text(max_size=30), max_size=6))
@settings(max_examples=60)
def test_no_dialogue_breaks(lines: list[str]) -> None:
    """Whatever is said, each line gets one line: an error, edits, or suspects that add up to 1."""
    dialogue = Dialogue(PLAN)
    for line in lines:
        written = dialogue.line(line)
        assert "\n" not in written
        answer = json.loads(written)
        if "suspects" in answer:
            assert math.isclose(sum(s["chance"] for s in answer["suspects"]), 1, abs_tol=1e-4)
        else:
            assert "error" in answer or "edits" in answer


def test_the_command_answers_line_by_line(call: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Blank lines are passed over, a broken one is answered and the next is taken; status 0."""
    lines = '\n{"cross": 31, "strand": 1, "saw": "d"}\n{broken\n\xff\n{"answer": 5}'
    stream = io.TextIOWrapper(io.BytesIO(lines.encode("latin-1")), encoding="ascii")
    monkeypatch.setattr(sys, "stdin", stream)
    said = call("ask", "gutter-pearl", "--size", "small")
    answers = [json.loads(line) for line in said.out.splitlines()]
    assert said.status == 0
    assert ["error" in answer for answer in answers] == [False, True, True, False]
    assert all(answer["format"] == 1 for answer in answers)


def test_a_line_too_long_is_one_error(call: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """A line of a million characters is one error; the line behind it is read whole."""
    text = "x" * 1_000_000 + '\n{"cross": 31, "strand": 1, "saw": "d"}\n'
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))
    answers = [json.loads(line) for line in call("ask", "gutter-pearl").out.splitlines()]
    assert ["error" in answer for answer in answers] == [True, False]


def test_a_pattern_that_is_not_there_is_one_sentence(call: Any) -> None:
    """Status 1, nothing on standard output."""
    said = call("ask", "no-such-pattern")
    assert (said.status, said.out) == (1, "")
    assert said.err.count("\n") == 1


def test_each_answer_is_out_before_the_next_line_is_in(tmp_path: Path) -> None:
    """Another program can wait for each answer before it writes on."""
    with subprocess.Popen(
        [sys.executable, "-m", "bench", "ask", "gutter-pearl", "--home", str(tmp_path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT,
    ) as program:  # fmt: skip
        assert program.stdin is not None
        assert program.stdout is not None
        for line in ('{"cross": 31, "strand": 1, "saw": "d"}', '{"answer": 5}'):
            program.stdin.write(line + "\n")
            program.stdin.flush()
            assert json.loads(program.stdout.readline())["settled"] is False
        program.stdin.close()
        assert program.wait(20) == 0
