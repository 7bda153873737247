"""Files are written whole or not at all, and nothing is overwritten without being asked."""

from __future__ import annotations

import os
import secrets
from collections.abc import Sequence
from pathlib import Path


def write_whole(path: str | os.PathLike[str], data: str | bytes, *, overwrite: bool = False) -> Path:
    """Write a file beside its final place, then put it there in one step.

    Parameters
    ----------
    path : path
        Where the file goes; its folder must exist.
    data : str or bytes
        Text is written as UTF-8 with plain line ends.
    overwrite : bool
        Replace a file that is there already.

    Returns
    -------
    pathlib.Path
        The file written.

    Raises
    ------
    FileExistsError
        When the file exists and `overwrite` is false.
    OSError
        When the folder is missing or cannot be written; no part of the file is left behind.
    """
    target = Path(path)
    if not overwrite and os.path.lexists(target):
        msg = f"{target} exists already; nothing was written (ask for overwrite to replace it)"
        raise FileExistsError(msg)
    content = data.encode("utf-8") if isinstance(data, str) else data
    part = target.with_name(f".{target.name[:40]}-{secrets.token_hex(6)}.part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        if overwrite:
            os.replace(part, target)
        else:
            _place_new(part, target)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return target


def write_all(files: Sequence[tuple[Path, str | bytes]], *, overwrite: bool = False) -> None:
    """Write several files, all or none.

    Raises
    ------
    FileExistsError
        When one of them exists and `overwrite` is false; none is written.
    OSError
        When one cannot be written; those written before it are taken away again, unless they replaced one.
    """
    for path, _ in files:
        if not overwrite and os.path.lexists(path):
            msg = f"{path} exists already; nothing was written"
            raise FileExistsError(msg)
    done: list[Path] = []
    try:
        for path, content in files:
            new = not os.path.lexists(path)
            write_whole(path, content, overwrite=overwrite)
            done += [path] * new
    except BaseException:
        for path in done:
            path.unlink(missing_ok=True)
        raise


def _place_new(part: Path, target: Path) -> None:
    """Give the finished file its name, failing if another program has taken it meanwhile."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except OSError:  # a file system without links: no worse than the check already made
        os.replace(part, target)
    else:
        part.unlink()
