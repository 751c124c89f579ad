"""A long import by the command: its time, and the most memory that it holds.

    python -m tests.speed.import_long [--events 1000000]

All events are of one piece, which is the hardest: its state is folded from all of them at the end.
It ends with 1 if the command fails, if not all events are there, or above 300 MB.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl
from tests.support.homes import empty, start

MOST_MB = 300
CROSS = (
    '{{"bench":"{bench}","boot":"boot","format":1,"kind":"crossed","lot":null,"mono":{at}.0,'
    '"number":{number},"offset_min":60,"payload":{{"from":{made},"to":{to}}},'
    '"pieces":[{{"after":"{after}","piece":"{piece}","share":1.0}}],"sitting":"sitting",'
    '"uuid":"cross-{number}","version":1,"wall":{wall}.0}}\n'
)


def lines(folder: Path, events: int) -> Iterator[str]:
    """A piece that was begun at another bench, and crosses of it without end."""
    home = empty(folder)
    with Journal.open(home / "journal.db", write=True) as journal:
        braid = start(journal, home, "silver-eaves")
        begun = list(journal.events())
        with (folder / "begun.jsonl").open("w") as stream:
            export_jsonl(journal, stream)
    yield from (folder / "begun.jsonl").read_text().splitlines(keepends=True)
    after, bench, first = begun[-1].uuid, begun[-1].bench, begun[-1].number
    for made in range(events - len(begun)):
        number = first + 1 + made
        yield CROSS.format(
            bench=bench,
            at=number * 15,
            number=number,
            made=made,
            to=made + 1,
            after=after,
            piece=braid.piece,
            wall=1_700_000_000 + number * 15,
        )
        after = f"cross-{number}"


def main() -> int:
    """Write the file, take it in, and say what that took."""
    parser = argparse.ArgumentParser(description="Import many events of one piece.")
    parser.add_argument("--events", type=int, default=1_000_000)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        file, target = Path(name) / "events.jsonl", Path(name) / "target"
        with file.open("w") as stream:
            stream.writelines(lines(Path(name), args.events))
        begun = time.monotonic()
        child = subprocess.Popen(
            [sys.executable, "-m", "bench", "import", str(file), "--home", str(target)]
        )
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        most_mb, seconds = used.ru_maxrss / 1024, time.monotonic() - begun
        with Journal.open(target / "journal.db", write=False) as journal:
            there = journal.counts()["events"]
    print(
        f"{there:,} of {args.events:,} events taken in, {seconds:.0f} s, {most_mb:.0f} MB at most"
    )
    return int(child.returncode != 0 or there != args.events or most_mb > MOST_MB)


if __name__ == "__main__":
    sys.exit(main())
