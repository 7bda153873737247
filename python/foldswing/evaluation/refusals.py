"""What the library refuses of a part, in the keys and words of the job file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

from foldswing._core import InvalidInput

_PLACES = 3  # decimals of a number told: finer than any ruler


class Named(NamedTuple):
    """A flat or bend of a section: the key that gives its size, and what it is called."""

    key: str
    words: str


@contextmanager
def in_keys(parts: Sequence[Named], **other: str) -> Iterator[None]:
    """Refuse in the keys of the job what is refused inside.

    Parameters
    ----------
    parts : sequence of Named
        Flats and bends of the section, in their order.
    **other : str
        Keys of parameters that are called something else.
    """
    try:
        yield
    except InvalidInput as why:
        text = re.sub(r"^(length|width) section: ", "", str(why))
        text = re.sub(r"^\w+", lambda m: other.get(m[0], m[0]), text)
        text = re.sub(r"parts\[(\d+)\]\.length", lambda m: _of(parts, m).key, text)
        text = re.sub(r"parts\[(\d+)\]", lambda m: _of(parts, m).words, text)
        raise InvalidInput(text) from None


def _of(parts: Sequence[Named], found: re.Match[str]) -> Named:
    i = int(found[1])
    return parts[i] if i < len(parts) else Named(found[0], found[0])


def short_numbers(text: str) -> str:
    """Return a sentence with its numbers as fine as a bench needs them."""
    return re.sub(r"\d+\.\d{4,}(?![\de])", lambda m: f"{float(m[0]):.{_PLACES}f}".rstrip("0").rstrip("."), text)
