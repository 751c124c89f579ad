"""What the maker may type for a colour."""

from __future__ import annotations

import subprocess
import sys

import pytest

from bench.craft.text import Fault
from bench.design.colour_names import colour_and_name, two_colours

OWN = {"Rain grey": "#9fb8c8", "teal": "#123456"}


def test_a_colour_is_taken_by_name_with_a_name_of_ones_own_behind_it() -> None:
    """The longest name counts; the maker's own beads come before the standard's."""
    assert colour_and_name("dark red brick dust") == ("#8b0000", "brick dust")
    assert colour_and_name("darkred") == ("#8b0000", "darkred")
    assert colour_and_name("#9FB8C8") == ("#9fb8c8", "")
    assert colour_and_name("rain grey", OWN) == ("#9fb8c8", "rain grey")
    assert colour_and_name("teal", OWN)[0] == "#123456"
    assert colour_and_name("dark slate gray sea") == ("#2f4f4f", "sea")


def test_a_name_that_is_none_is_told_with_those_that_are_near() -> None:
    """A beginning, a slip of a letter; or how a colour is typed at all."""
    with pytest.raises(Fault, match="there is light blue, light sky"):
        colour_and_name("light blu")
    with pytest.raises(Fault, match="crimson"):
        colour_and_name("crimsun")
    for nothing in ("", "zzz", "#12345", "#1234567"):
        with pytest.raises(Fault, match="type a name such as teal"):
            colour_and_name(nothing)
    with pytest.raises(Fault, match="at most 60 letters"):
        colour_and_name(f"teal {'x' * 61}")


def test_a_run_goes_between_two_colours() -> None:
    """Names of several words, or as #rrggbb; one colour alone is told."""
    assert two_colours("navy pale green") == ("#000080", "#98fb98")
    assert two_colours("#335577 #ddeeff") == ("#335577", "#ddeeff")
    with pytest.raises(Fault, match="two colours one after the other"):
        two_colours("pale green")


AT_ONCE = """
import sys, threading
sys.setswitchinterval(1e-5)
from bench.craft.colour import seen
from bench.design.colour_names import colour_called, named_colours, nearest_name
first = (named_colours, lambda: colour_called("teal"), lambda: seen("#112233"),
         lambda: nearest_name("#445566"))
wrong = []
threading.excepthook = lambda args: wrong.append(args.exc_value)
threads = [threading.Thread(target=work) for work in first]
for thread in threads:
    thread.start()
for thread in threads:
    thread.join()
sys.exit(repr(wrong) if wrong else 0)
"""
"""In a fresh program: the library of colours wanted by four threads at the same moment."""


def test_colours_that_are_wanted_by_several_threads_at_once_are_loaded_once() -> None:
    """While a list of colours is got ready beside the keys, a name can be typed already."""
    done = subprocess.run([sys.executable, "-c", AT_ONCE], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
