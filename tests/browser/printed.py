"""Pages that the browser prints into a PDF, as the dots that a printer would set."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from playwright.async_api import Browser

DOTS_PER_INCH = 600
MM = 25.4 / DOTS_PER_INCH
"""Millimetres from dot to dot."""
LEFT = 1700
NEAR = 60
"""So much a dot may differ from a colour in each of red, green and blue."""


async def pdf_of(browser: Browser, page: Path, paper: str) -> Path:
    """Print an HTML page on a paper, as a person does who leaves all at 100 %."""
    target = page.with_name(f"{page.stem}-{paper}.pdf")
    tab = await browser.new_page()
    await tab.goto(page.as_uri())
    await tab.pdf(path=target, format=paper, print_background=True)
    return target


def sheets(pdf: Path) -> list[Any]:
    """The left third of each page as rows of dots in red, green and blue.

    Drawn by poppler if it is there, else by PDFium.
    """
    if shutil.which("pdftoppm") is None:
        pages = pypdfium2.PdfDocument(pdf)
        return [page.render(scale=DOTS_PER_INCH / 72, rev_byteorder=True).to_numpy()[:, :LEFT, :3]
                for page in pages]  # fmt: skip
    subprocess.run(["pdftoppm", "-r", str(DOTS_PER_INCH), pdf, pdf.with_suffix("")], check=True)
    return [_ppm(file) for file in sorted(pdf.parent.glob(f"{pdf.stem}-*.ppm"))]


def _ppm(file: Path) -> Any:
    _, size, _, dots = file.read_bytes().split(b"\n", 3)
    wide, high = map(int, size.split())
    return np.frombuffer(dots, np.uint8).reshape(high, wide, 3)[:, :LEFT]


def spots_mm(sheet: Any, *colours: str) -> list[tuple[float, float]]:
    """How wide and how high each spot of these colours is, the largest first."""
    from scipy import ndimage

    near = np.zeros(sheet.shape[:2], bool)
    for colour in colours:
        spot = np.ones(sheet.shape[:2], bool)
        for channel, wanted in enumerate(bytes.fromhex(colour[1:])):
            dots = sheet[..., channel]
            spot &= (dots >= max(0, wanted - NEAR)) & (dots <= min(255, wanted + NEAR))
        near |= spot
    rows, columns = np.flatnonzero(near.any(1)), np.flatnonzero(near.any(0))
    near = near[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    found = ndimage.find_objects(ndimage.label(near)[0])
    sizes = [((x.stop - x.start) * MM, (y.stop - y.start) * MM) for y, x in found]
    return sorted(sizes, reverse=True)
