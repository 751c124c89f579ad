"""Makes the pictures of the README with the program itself: `python -m tests.pictures.make`."""

from __future__ import annotations

import asyncio
import re
import tempfile
from pathlib import Path

from bench.clock import ManualClock
from bench.screens.app import BenchApp
from bench.screens.bench import BenchScreen

HERE = Path(__file__).parent


async def make(folder: Path, size: tuple[int, int] = (80, 24), theme: str = "dark") -> None:
    """Braid a piece to a few telling moments, and save each as SVG."""
    with tempfile.TemporaryDirectory() as home:
        (Path(home) / "settings.toml").write_text(f'format = 1\ntheme = "{theme}"\n')
        clock = ManualClock()
        app = BenchApp(Path(home), clock)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await pilot.pause()
            names = [row.ref for row in app.first.home.rows]
            for _ in range(names.index("gutter-pearl")):
                await pilot.press("down")
            save(app, folder / "list.svg")
            await pilot.press("enter")
            save(app, folder / "card.svg")
            await pilot.press("enter")
            screen = app.screen
            assert isinstance(screen, BenchScreen)
            braid = screen.braid
            while braid.made < 33:
                clock.advance(24)
                await pilot.press("space" if braid.mark_due is None else "m")
                if braid.mark_due is not None:
                    save(app, folder / "mark.svg")
            save(app, folder / "bench.svg")
            clock.advance(20)
            await pilot.press("backspace")
            save(app, folder / "back.svg")
            await pilot.press("f")
            save(app, folder / "place.svg")
            await pilot.press("escape", "p")
            save(app, folder / "pause.svg")


def save(app: BenchApp, path: Path) -> None:
    """Save what the app shows; ids and outside fonts are taken out, so that it stays the same."""
    svg = app.export_screenshot(title="braid-bench")
    svg = re.sub(r"terminal-\d+", "t", svg)
    svg = re.sub(r"@font-face\s*\{.*?\}", "", svg, flags=re.S)
    path.write_text(svg, "utf-8")


if __name__ == "__main__":
    asyncio.run(make(HERE))
