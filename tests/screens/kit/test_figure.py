"""A figure takes what a scale or a rule shows, typed or pasted."""

from __future__ import annotations

import pytest

from bench.screens.kit.figure import put_on


@pytest.mark.parametrize(
    ("before", "more", "whole", "after"),
    [
        ("", "1", False, "1"),
        ("1", ",", False, "1."),
        ("1.", ".", False, "1."),
        ("1.2", "34567", False, "1.2345"),
        ("", " 62,5 mm\n", False, "62.5"),
        ("5", ".", True, "5"),
        ("", "12.5", True, "12"),
        ("", "\u0663\x1b[A", False, ""),
    ],
)
def test_a_figure_takes_digits_and_one_point(
    before: str, more: str, whole: bool, after: str
) -> None:
    """Up to six characters; a comma is a point; digits of other scripts and signs are left out."""
    assert put_on(before, more, whole=whole) == after
