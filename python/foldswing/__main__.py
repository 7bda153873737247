"""The command line: foldswing demo, run, check, keys, schema."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from foldswing._core import InvalidInput, __version__

if TYPE_CHECKING:
    from foldswing.job import Job

EXIT_CODES = """\b
Exit codes:
  0  done; every part is a go
  1  done, but a part wants a change first or cannot be made: the sheet says why
  2  the command line or the job file is wrong; nothing was written
  3  the output could not be written, or is there already; nothing was written
"""

_SHOW_PROGRESS_AFTER = 1.0  # seconds


@contextmanager
def _refusals() -> Iterator[None]:
    """Turn refusals into one line and an exit code."""
    try:
        yield
    except InvalidInput as why:
        click.echo(f"foldswing: {why}", err=True)
        sys.exit(2)
    except OSError as why:
        click.echo(f"foldswing: {why}", err=True)
        sys.exit(3)


def _progress() -> Callable[[str], None]:
    """Return what tells of each step once a second has passed."""
    start = time.monotonic()

    def tell(step: str) -> None:
        if time.monotonic() - start > _SHOW_PROGRESS_AFTER:
            click.echo(f"  ... {step}", err=True)

    return tell


def _read(path: Path) -> tuple[bytes, Job]:
    from foldswing import job  # noqa: PLC0415

    try:
        data = path.read_bytes()
    except OSError as why:
        msg = f"{path}: {why.strerror or why}"
        raise InvalidInput(msg) from None
    return data, job.loads(data, name=path.name)


def _two_bars(words: str | None) -> tuple[str | float, str | float] | None:
    """Return two lengths written with a comma between them."""
    if words is None:
        return None
    parts = words.split(",")
    if len(parts) != 2:
        msg = (
            f"--bars must be two lengths with a comma between them and a point in a decimal, such as 99.2,100.4; "
            f"got {words[:80]!r}"
        )
        raise InvalidInput(msg)

    def number(part: str) -> str | float:
        try:
            return float(part)
        except ValueError:
            return part.strip()

    return number(parts[0]), number(parts[1])


def _run(path: Path, out: Path, paper: str | None, bars: str | None, *, replace: bool) -> int:
    from foldswing import output  # noqa: PLC0415

    with _refusals():
        data, job = _read(path)
        tell = _progress()
        measured = _two_bars(bars)
        done = output.write_job(job, data, path.name, out, paper=paper, bars=measured, replace=replace, progress=tell)
        for part in done.results.parts:
            click.echo(f"{part.name}: {part.verdict}")
            for finding in part.findings:
                click.echo(f"  {finding.what}: {finding.number} ({finding.feel})")
        click.echo(f"{len(done.files)} files in {out}; begin with {out / 'job-sheet.html'}")
        return 0 if done.results.verdict == "go" else 1
    return 2


_paper = click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), help="Paper for the templates; else as the job says."
)
_bars = click.option(
    "--bars",
    metavar="SHORT,LONG",
    help="What the two 100 mm bars of a first print measured, along the short and the long side of the paper, such as "
    "99.2,100.4: prints the templates corrected for it.",
)
_replace = click.option("--replace", is_flag=True, help="Replace the output folder if it is there already.")


@click.group(epilog=EXIT_CODES)
@click.version_option(__version__, prog_name="foldswing")
def main() -> None:
    """From what was measured to templates for the bench: pivots, gaps on the way, blanks, radii."""


@main.command(epilog=EXIT_CODES)
@click.argument("jobfile", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--out", required=True, type=click.Path(path_type=Path, file_okay=False), help="Folder to make.")
@_paper
@_bars
@_replace
def run(jobfile: Path, out: Path, paper: str | None, bars: str | None, *, replace: bool) -> None:
    """Work out JOBFILE and write sheet, results and full-size templates."""
    sys.exit(_run(jobfile, out, paper, bars, replace=replace))


@main.command(epilog=EXIT_CODES)
@click.option(
    "--job", "name", default="lantern_nine", show_default=True, help="Which invented example; --list names them."
)
@click.option("--list", "list_them", is_flag=True, help="Name the examples that come along.")
@click.option(
    "--out", default=Path("foldswing-demo"), show_default=True, type=click.Path(path_type=Path, file_okay=False)
)
@_paper
@_bars
@_replace
def demo(name: str, list_them: bool, out: Path, paper: str | None, bars: str | None, *, replace: bool) -> None:
    """Run an invented example job; a good file to copy from."""
    from foldswing import job  # noqa: PLC0415

    examples = job.shipped()
    if list_them:
        for known, path in examples.items():
            click.echo(f"{known}  {path}")
        return
    if name not in examples:
        raise click.BadParameter(f"must be one of {', '.join(examples)}", param_hint="--job")
    code = _run(examples[name], out, paper, bars, replace=replace)
    click.echo("This was invented demo data: do not cut metal to it.")
    sys.exit(0 if code == 1 else code)  # the demo shows warnings on purpose


@main.command(epilog=EXIT_CODES)
@click.argument("jobfile", type=click.Path(path_type=Path, dir_okay=False))
def check(jobfile: Path) -> None:
    """Read and work out JOBFILE and print what is wrong; write nothing."""
    from foldswing import evaluation  # noqa: PLC0415

    with _refusals():
        _, job = _read(jobfile)
        results = evaluation.evaluate(job, progress=_progress())
        for part in results.parts:
            click.echo(f"{part.name}: {part.verdict}")
            for finding in part.findings:
                click.echo(f"  {finding.what}: {finding.number} ({finding.feel}); cure: {finding.advice}")
        sys.exit(0 if results.verdict == "go" else 1)


@main.command()
@click.argument("table", default="")
def keys(table: str) -> None:
    """Explain the keys of a job file; of one TABLE, such as gate.worktop, or of all."""
    from foldswing import job  # noqa: PLC0415

    with _refusals():
        click.echo(job.help_text(table), nl=False)


@main.command()
def schema() -> None:
    """Print the JSON Schema of a job file."""
    from foldswing import job  # noqa: PLC0415

    click.echo(json.dumps(job.schema(), indent=2))


@main.command()
@click.argument("size", nargs=-1, required=True)
@click.option("--ruler", default="1/32 in", show_default=True, help="Step of the ruler in use.")
def size(size: tuple[str, ...], ruler: str) -> None:
    """Show a SIZE in mm and as a mark on the ruler, such as: foldswing size 4-1/2 in."""
    from foldswing import units  # noqa: PLC0415

    with _refusals():
        click.echo(units.show(" ".join(size), ruler))


if __name__ == "__main__":
    main()
