"""Looks at finished pages with independent programs: poppler for PDF, a browser for HTML and SVG."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np

DARK = 70  # of 255: black ink; frames and joining marks are a lighter grey


def _tool(*names: str) -> str:
    for name in names:
        if found := shutil.which(name):
            return found
    raise AssertionError(f"needs {' or '.join(names)} (Debian: poppler-utils, chromium)")


def pages(pdf: Path, dpi: int) -> list[np.ndarray]:
    """Every page as grey levels, rows from the top."""
    stem = pdf.with_suffix("")
    subprocess.run([_tool("pdftoppm"), "-gray", "-r", str(dpi), str(pdf), str(stem)], check=True, timeout=120)
    out = []
    for image in sorted(pdf.parent.glob(f"{stem.name}-*.pgm")):
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", image.read_bytes())
        assert head
        wide, high = int(head[1]), int(head[2])
        out.append(np.frombuffer(image.read_bytes(), np.uint8, wide * high, head.end()).reshape(high, wide))
        image.unlink()
    return out


def longest_run(dark: np.ndarray) -> np.ndarray:
    """Length of the longest run of True in every row."""
    best = np.zeros(len(dark), int)
    now = np.zeros(len(dark), int)
    for column in dark.T:
        now = np.where(column, now + 1, 0)
        best = np.maximum(best, now)
    return best


def words(pdf: Path) -> list[tuple[tuple[float, float], list[tuple[str, tuple[float, float, float, float]]]]]:
    """Per page its size and every word with its box (left, top, right, bottom), mm from the top left corner."""
    text = subprocess.run(
        [_tool("pdftotext"), "-bbox", str(pdf), "-"], check=True, capture_output=True, timeout=60
    ).stdout.decode(errors="replace")  # it writes a title beyond the first plane as broken UTF-8
    out = []
    for page in re.finditer(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', text, re.S):
        found = re.findall(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', page[3])
        mm = 25.4 / 72.0
        boxes = [(w[4], tuple(float(v) * mm for v in w[:4])) for w in found]
        out.append(((float(page[1]) * mm, float(page[2]) * mm), boxes))
    return out


def _browser(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    command = [
        _tool("chromium", "chromium-browser", "google-chrome"),
        "--headless",
        "--disable-gpu",
        "--hide-scrollbars",
    ]
    command += [f"--user-data-dir={folder / 'browser'}", "--disable-dev-shm-usage", *options]
    if os.geteuid() == 0:
        command.insert(1, "--no-sandbox")
    return subprocess.run(command, check=True, capture_output=True, text=True, timeout=120)


def screenshot(page: Path, width: int, height: int) -> np.ndarray:
    """What a browser shows at 96 pixels to the inch, grey levels, rows from the top."""
    from matplotlib.image import imread

    picture = page.with_suffix(".png")
    _browser(
        page.parent,
        f"--screenshot={picture}",
        f"--window-size={width},{height}",
        "--force-device-scale-factor=1",
        page.as_uri(),
    )
    return (255.0 * np.asarray(imread(picture))[..., :3].mean(axis=-1)).astype(int)


def printed(page: Path) -> Path:
    """A page as the browser prints it."""
    out = page.with_suffix(".printed.pdf")
    _browser(page.parent, f"--print-to-pdf={out}", "--no-pdf-header-footer", page.as_uri())
    return out
