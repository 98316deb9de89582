"""A page as it comes out of the printer: its words, its size, where its ink lies."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray
from playwright.sync_api import Page

POINTS_A_MM = 72 / 25.4
# ISO 216 (A4) and ANSI Y14.1 (Letter, 8.5 x 11 in), in millimeters; both from memory.
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
# A cell of the ink map is 4 mm wide and high: about one line of print.
CELL_MM = 4
PIXELS_A_MM = 4
# The system's own typeface differs between machines, and with it where each line breaks. A picture
# that is compared is set in the one that `.ci/run` installs (Debian's fonts-dejavu-core).
TYPEFACE = """
:root { --face: "DejaVu Sans" !important; }
.mono { font-family: "DejaVu Sans Mono" !important; }
"""
HAS_TYPEFACE = """() => {
  const drawing = document.createElement('canvas').getContext('2d');
  const wide = (font) => { drawing.font = font; return drawing.measureText('illm').width; };
  return wide('20px "DejaVu Sans", monospace') !== wide('20px monospace');
}"""
# The share of ink in a cell, in sixteenths of all that a cell could hold of it.
LEVELS = "." + "123456789abcdef"


class Print:
    """What one printing gave, page by page."""

    def __init__(self, page: Page, size: str, *, background: bool = False) -> None:
        paper = page.pdf(format=size, print_background=background)
        with _opened(paper) as document:
            self.sizes = [sheet.get_size() for sheet in document]
            self.texts = [_text(sheet) for sheet in document]
            self.edges = [_edges(sheet) for sheet in document]
            self.pictures = [
                sheet.render(scale=PIXELS_A_MM / POINTS_A_MM).to_numpy()[..., :3].copy()
                for sheet in document
            ]

    @property
    def text(self) -> str:
        """Return all words, with one space between any two."""
        return " ".join(" ".join(self.texts).split())

    def colored(self) -> int:
        """Return how many pixels are neither black, white nor gray."""
        spread = [np.ptp(picture.astype(int), axis=2) > 8 for picture in self.pictures]
        return int(sum(each.sum() for each in spread))


@contextmanager
def _opened(paper: bytes) -> Iterator[Any]:
    document = pdfium.PdfDocument(paper)
    try:
        yield document
    finally:
        document.close()


def _text(sheet: Any) -> str:
    words = sheet.get_textpage()
    found: str = words.get_text_bounded()
    words.close()
    return found


def _edges(sheet: Any) -> tuple[float, float]:
    """Return how far the words reach to the left and right, in millimeters from the left edge."""
    words = sheet.get_textpage()
    boxes = [words.get_rect(number) for number in range(words.count_rects())]
    words.close()
    return (
        min(left for left, *_ in boxes) / POINTS_A_MM,
        max(right for _, _, right, _ in boxes) / POINTS_A_MM,
    )


def ink(picture: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return the share of ink in each cell of a picture, from 0 (white) to 1 (black)."""
    step = CELL_MM * PIXELS_A_MM
    high, wide = (side // step for side in picture.shape[:2])
    black = 1 - picture[: high * step, : wide * step].mean(axis=2) / 255
    cells: NDArray[np.float64] = black.reshape(high, step, wide, step).mean(axis=(1, 3))
    return cells


def drawn(cells: NDArray[np.float64]) -> str:
    """Return an ink map as text, a line for each row of cells, a letter for each cell.

    Half of a cell in ink is the most that print has: it is the last letter.
    """
    levels = np.clip(np.ceil(cells * 2 * (len(LEVELS) - 1) - 0.25), 0, len(LEVELS) - 1)
    return "".join("".join(LEVELS[int(v)] for v in row) + "\n" for row in levels)


def layout(printed: Print) -> str:
    """Return the ink maps of all pages, with an empty line between two."""
    return "\n".join(drawn(ink(picture)) for picture in printed.pictures)


def differing(one: str, other: str) -> float:
    """Return the share of a page's cells that differ between two layouts: the worst page's.

    One step of ink is none: a digit in place of another makes it. Another number of pages, or
    paper of another size, differs in everything.
    """
    pages = [[read_map(page) for page in each.split("\n\n")] for each in (one, other)]
    if [page.shape for page in pages[0]] != [page.shape for page in pages[1]]:
        return 1.0
    apart = [abs(a - b) > 1 for a, b in zip(*pages, strict=True)]
    return max(float(each.mean()) for each in apart)


def read_map(text: str) -> NDArray[np.int64]:
    """Return the levels of an ink map that was written as text."""
    return np.array([[LEVELS.index(letter) for letter in line] for line in text.split()])
