"""Libraries that are laid under the program, built here from their C source."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

NOT_HERE = "what a disk does can be changed or seen only on Linux, and with a C compiler"


def can_build() -> bool:
    """Whether such a library can be built and used on this machine."""
    return sys.platform == "linux" and _compiler() is not None


def build(name: str, folder: Path) -> Path:
    """Build the library of a name into a folder, and return it."""
    compiler = _compiler()
    assert compiler is not None, NOT_HERE
    source, built = Path(__file__).with_name(f"{name}.c"), folder / f"{name}.so"
    command = [compiler, "-shared", "-fPIC", "-O1", "-o", str(built), str(source), "-ldl"]
    subprocess.run(command, check=True)
    return built


def _compiler() -> str | None:
    return shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")
