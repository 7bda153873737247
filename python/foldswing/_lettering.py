"""Letters for drawings and sheets: one open font, how wide a text is in it, and what is done with odd characters.

Text height is the height of the capitals, as on any drawing. The font is DejaVu Sans, which comes with matplotlib
under its own free licence (LICENSE_DEJAVU beside the font files); PDF files embed the characters they use.
"""

from __future__ import annotations

import functools
import unicodedata
from pathlib import Path
from typing import Any

REGULAR = "foldswing-regular"
BOLD = "foldswing-bold"
FAMILY = "DejaVu Sans, Verdana, sans-serif"  # for a browser: Verdana is as wide, everything else is narrower
CAPITALS = 1493.0 / 2048.0  # height of the capitals over the font size (units of the font's own table)
LINE = 1.9  # distance from line to line over the height of the capitals
DESCENT = 0.33  # depth of a comma or g below the line over the height of the capitals


@functools.cache
def register() -> None:
    """Make the fonts known to reportlab, once."""
    import matplotlib  # noqa: PLC0415  only its data folder is wanted
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415

    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    pdfmetrics.registerFont(TTFont(REGULAR, str(folder / "DejaVuSans.ttf")))
    pdfmetrics.registerFont(TTFont(BOLD, str(folder / "DejaVuSans-Bold.ttf")))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)


def clean(text: Any, *, keep_lines: bool = False) -> str:
    """Return the text on one line, with what no printer can show (control and broken characters) as a visible mark."""
    out = []
    for ch in str(text):
        kind = unicodedata.category(ch)
        if ch == "\n" and keep_lines:
            out.append(ch)
        elif ch.isspace():
            out.append(" ")
        elif kind in {"Cc", "Cs", "Co", "Cn"}:
            out.append("\N{REPLACEMENT CHARACTER}")
        elif kind == "Cf":  # direction overrides and zero-width marks would disguise a number
            continue
        else:
            out.append(ch)
    return "".join(out)


@functools.lru_cache(maxsize=4096)
def width(text: str, height: float = 1.0, *, bold: bool = False) -> float:
    """Return the printed length of a text, mm, for capitals `height` mm high."""
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415

    register()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else REGULAR, height / CAPITALS))


def fitted(text: str, height: float, room: float, *, least: float = 1.8, bold: bool = False) -> tuple[str, float]:
    """Return the text and the height at which it fits into `room` mm: smaller first, then cut with an ellipsis."""
    text = clean(text)
    full = width(text, height, bold=bold)
    if full <= room:
        return text, height
    smaller = max(min(least, height), 0.999 * height * room / full)  # a hair less, or rounding cuts what just fits
    if width(text, smaller, bold=bold) <= room:
        return text, smaller
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(text[:middle].rstrip() + "\N{HORIZONTAL ELLIPSIS}", smaller, bold=bold) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "\N{HORIZONTAL ELLIPSIS}", smaller


def wrapped(text: str, height: float, room: float, *, bold: bool = False) -> list[str]:
    """Return the text broken into lines no longer than `room` mm; a word too long for a line is broken too."""
    lines: list[str] = []
    for block in clean(text, keep_lines=True).split("\n"):
        line = ""
        for word in block.split(" "):
            trial = f"{line} {word}" if line else word
            if width(trial, height, bold=bold) <= room:
                line = trial
                continue
            if line:
                lines.append(line)
            line = word
            while width(line, height, bold=bold) > room and len(line) > 1:
                keep = max(1, int(len(line) * room / width(line, height, bold=bold)) - 1)
                lines.append(line[:keep])
                line = line[keep:]
        lines.append(line)
    return lines
