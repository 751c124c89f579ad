"""The drawing board in the real program, killed while it is painted on."""

from __future__ import annotations

from pathlib import Path

from tests.support.terminal import Program


def test_what_was_painted_before_a_kill_is_there_again(tmp_path: Path) -> None:
    """Killed as soon as a bead is on the screen, it is in the sketch that stands on the list."""
    with Program(tmp_path) as program:
        program.wait_for("guess")
        program.press(b"c")
        program.wait_for("lies against")
        program.type(b"23u4")
        program.wait_for("1d 1a 2b 2c 4e")
    with Program(tmp_path) as again:
        again.wait_for("guess")
        assert "SKETCHES" in again.screen.text
        again.press(b"\r")
        again.wait_for("1d 1a 2b 2c 4e")
        again.press(b"uu")
        again.wait_for("strands 2 6")
