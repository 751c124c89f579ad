"""The command line: reads what was asked, hands it to a command, and prints the answer."""

from __future__ import annotations

import argparse
import importlib
import os
import re
import sys
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, cast

from bench.commands import COMMANDS

if TYPE_CHECKING:
    from bench.answers import Answer
    from bench.session import Session

NO_TERMINAL = (
    "braid-bench fills a terminal, and this is none: start it in one, or use a command"
    " (braid-bench --help)"
)


class Command(Protocol):
    """What a command's module holds."""

    def arguments(self, parser: argparse.ArgumentParser) -> None:
        """Declare what the command takes."""
        ...

    def answer(self, args: argparse.Namespace, session: Session) -> Answer | None:
        """Return the shape to show, or None if the output is written already."""
        ...

    def sheet(self, answer: Any) -> Iterable[Any]:
        """Return what is printed of the shape: plain lines as they are, or Rich renderables."""
        ...


def _with_numbers(words: Sequence[str]) -> list[str]:
    """Join an option and the list of numbers after it that begins below zero: argparse would not.

    What is wrong with such numbers is then told by whoever knows.
    """
    joined: list[str] = []
    for word in words:
        if joined and joined[-1].startswith("--") and re.match(r"-[\d.]", word):
            joined[-1] += f"={word}"
        else:
            joined.append(word)
    return joined


def main(argv: Sequence[str] | None = None) -> int:
    """Run the app, or the command that was asked for. Returns 0, or 1 if the input is wrong.

    Wrong usage raises SystemExit with status 2.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    _ready_streams()
    try:
        args = _parser(words).parse_args(_with_numbers(words))
        try:
            home = _home(args)
        except OSError as error:
            raise _Wrong(f"--home {args.home}: {error.strerror or error}") from None
        status = _app(home) if args.command is None else _run(args, home)
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
        return 0
    except OSError as error:
        _drop_output()
        _tell(f"braid-bench: the output cannot be written ({error.strerror or error})")
        return 1
    except _Wrong as wrong:
        _tell(f"braid-bench: {wrong}")
        return 1
    except KeyboardInterrupt:
        return 130
    return status


def _ready_streams() -> None:
    """Have both streams open, and able to take any text."""
    # Closed streams are None; what takes their place stays open as long as the program runs.
    nowhere = os.devnull
    sys.stdout = sys.stdout or open(nowhere, "w", encoding="utf-8")  # noqa: SIM115
    sys.stderr = sys.stderr or open(nowhere, "w", encoding="utf-8")  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def _drop_output() -> None:
    """Let the rest of the output go: the interpreter would try it again at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


class _Wrong(Exception):
    """Input that cannot be used, said in one sentence."""


def _parser(words: Sequence[str]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="braid-bench",
        description="A companion at the braiding stand. Without a command it opens the bench.",
    )
    parser.add_argument("--version", action=_Version, help="show the version and stop")
    _shared(parser, home=None)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    asked = {words[0]} & COMMANDS.keys() if words else set()
    for name in asked or COMMANDS:
        module, summary = COMMANDS[name]
        command = commands.add_parser(name, help=summary, description=f"{name}: {summary}.")
        _shared(command, home=argparse.SUPPRESS)
        command.add_argument("--json", action="store_true", help="answer as one JSON object")
        if name in words:
            _module(module).arguments(command)
    return parser


def _shared(parser: argparse.ArgumentParser, home: Any) -> None:
    parser.add_argument(
        "--home", metavar="DIR", type=Path, default=home, help="the data folder to use"
    )


class _Version(argparse.Action):
    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:
        super().__init__(option_strings, dest, nargs=0, help=more.get("help"))

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: object,
        option_string: str | None = None,
    ) -> None:
        from importlib.metadata import PackageNotFoundError, version

        try:
            print(f"braid-bench {version('braid-bench')}")
        except PackageNotFoundError:
            print("braid-bench, run from a checkout that is not installed")
        parser.exit()


def _module(name: str) -> Command:
    return cast(Command, importlib.import_module(f"bench.commands.{name}"))


def _home(args: argparse.Namespace) -> Path | None:
    home: Path | None = args.home
    if home is not None and home.exists() and not home.is_dir():
        raise _Wrong(f"{home} is a file; --home takes a folder")
    return home


def _app(home: Path | None) -> int:
    served = "web_driver" in os.environ.get("TEXTUAL_DRIVER", "")
    if not served and not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise _Wrong(NO_TERMINAL)
    from bench.screens.app import run

    return run(home)


def _run(args: argparse.Namespace, home: Path | None) -> int:
    from bench.craft.text import Fault
    from bench.documents.errors import DocumentError
    from bench.journal.errors import JournalError
    from bench.session import Session

    command = _module(COMMANDS[args.command][0])
    session = Session(home)
    try:
        answer = command.answer(args, session)
    except (DocumentError, JournalError) as error:
        raise _Wrong(str(error)) from error
    except Fault as fault:
        key = ".".join(str(part) for part in fault.key)
        raise _Wrong(f"{key}: {fault}" if key else str(fault)) from fault
    except BrokenPipeError:
        raise
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        raise _Wrong(f"{where}{error.strerror or error}") from error
    if answer is None:
        _warn(session.warnings)
        return 0
    answer = replace(answer, warnings=(*answer.warnings, *session.warnings))
    _show(command, answer, as_json=args.json)
    return 1 if answer.errors else 0


def _show(command: Command, answer: Answer, *, as_json: bool) -> None:
    if as_json:
        import json

        from bench.answers import as_json as plain

        print(json.dumps(plain(answer)))
        return
    parts = list(command.sheet(answer))
    if all(isinstance(part, str) for part in parts):
        for part in parts:
            print(part)
    else:
        from bench.sheets.printing import print_sheet

        print_sheet(parts)
    sys.stdout.flush()
    for error in answer.errors:
        _tell(f"braid-bench: {error}")
    _warn(answer.warnings)


def _warn(warnings: Iterable[str]) -> None:
    for warning in dict.fromkeys(warnings):
        _tell(f"warning: {warning}")


def _tell(sentence: str) -> None:
    from bench.craft.text import cleaned

    print(cleaned(sentence, 4000), file=sys.stderr)
