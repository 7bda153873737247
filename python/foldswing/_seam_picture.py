"""The gap all along a seam, drawn larger than it is, for the sheet. Public by `template`."""

from __future__ import annotations

from foldswing._layout import Placer
from foldswing._pictures import picture_letters
from foldswing.drawing import Drawing, Entity, Text, line, mark, polyline
from foldswing.seam import Seam

_HIGHEST = 0.12  # of the seam's length; as high as its widest gap is drawn
_LARGER = (1, 2, 5, 10, 20, 50, 100, 200)  # times


def seam_picture(
    along: Seam, *, wanted: float, title: str, starts: str = "left", ends: str = "right", revision: str = ""
) -> Drawing:
    """Return the gap along a seam: the fixed edge below, the panel's above it, the gap wanted between them dotted.

    Parameters
    ----------
    along : seam.Seam
        The gap.
    wanted : length
        The gap wanted, mm; > 0.
    title : str
        What seam it is.
    starts, ends : str
        Words for its two ends.
    revision : str
        Date or revision.

    Returns
    -------
    Drawing
        x along the seam; gaps are drawn larger by a round number, which the view names.
    """
    first, last = (float(v) for v in along.places[[0, -1], 0])
    tallest = max(float(along.places[:, 1].max()), wanted)
    larger = next((n for n in reversed(_LARGER) if n * tallest <= _HIGHEST * (last - first)), 1)
    points = along.places * (1.0, larger)
    low = min(float(points[:, 1].min()), 0.0)
    box = (first, low, last, larger * tallest)
    letters = picture_letters(box)
    entities: list[Entity] = [
        line((first, 0.0), (last, 0.0), "datum"),
        polyline(points, "panel"),
        line((first, larger * wanted), (last, larger * wanted), "swing"),
    ]
    places = [along.smallest] if along.smallest == along.largest else [along.smallest, along.largest]
    places += [spot.worst for spot in along.spots if spot.worst not in places]
    for p in places:
        entities += mark((p.at, larger * p.gap), size=1.5 * letters)
    placer = Placer(entities, letters)
    for p in places:
        said = f"{p.gap:.2f} at {p.at:.0f}" if p.gap >= 0.0 else f"overlaps {-p.gap:.2f} at {p.at:.0f}"
        inward = letters * 4.0 * (1.0 if p.at < 0.5 * (first + last) else -1.0)
        entities.append(placer.text(said, (p.at + inward, larger * p.gap + 1.4 * letters), letters))
    middle = 0.5 * (first + last)
    entities.append(placer.text(f"dotted: {wanted:.2f} wanted", (middle, larger * wanted + 1.4 * letters), letters))
    under = low - 1.6 * letters
    for at, words, anchor in ((first, starts, "left"), (last, ends, "right")):
        entities.append(Text(words, (at, under), letters, 0.0, anchor, "middle"))  # type: ignore[arg-type]
    return Drawing(title, f"gaps drawn {larger} times larger, mm", tuple(entities), revision)
