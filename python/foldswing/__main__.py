"""The command line: foldswing new, ask, run, check, fit, demo, keys, schema, size."""

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
    from foldswing.job import Job, ShopFile, ShopUse

EXIT_CODES = """\b
Exit codes:
  0  done; every part is a go
  1  done, but a part wants a change first or cannot be made: the sheet says why
  2  the command line or the job file is wrong; nothing was written
  3  the output could not be written, or is there already; nothing was written
  4  the questions were left before their end; nothing was written
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


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as why:
        msg = f"{path}: {why.strerror or why}"
        raise InvalidInput(msg) from None


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


def _shop(path: Path, given: Path | None, *, none: bool) -> ShopFile | None:
    """Return the shop file for a job file: the one given, else one beside it, else the user's own."""
    from foldswing import job  # noqa: PLC0415

    if none:
        return None
    found = given or job.find_shop(path.absolute().parent, Path(click.get_app_dir("foldswing")))
    return None if found is None else job.loads_shop(_bytes(found), name=str(found) if given is None else found.name)


def _read(path: Path, shop: ShopFile | None) -> tuple[bytes, Job, ShopUse | None]:
    from foldswing import job  # noqa: PLC0415

    data = _bytes(path)
    return data, *job.loads_with_shop(data, shop, name=path.name)


def _run(path: Path, out: Path, paper: str | None, bars: str | None, *, shop: ShopFile | None, replace: bool) -> int:
    from foldswing import output  # noqa: PLC0415

    with _refusals():
        data, job, use = _read(path, shop)
        tell = _progress()
        measured = _two_bars(bars)
        done = output.write_job(
            job, data, path.name, out, paper=paper, bars=measured, replace=replace, progress=tell, shop=use
        )
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
_KINDS = ("gate", "panel", "lid", "bent")


def _with_shop(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that choose the shop file."""
    shop = click.option(
        "--shop",
        type=click.Path(path_type=Path, dir_okay=False),
        help="File for the shop; else shop.toml beside the job file, else in your own folder.",
    )
    return shop(click.option("--no-shop", is_flag=True, help="Use no shop file, even if there is one.")(command))


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
@_with_shop
def run(
    jobfile: Path, out: Path, *, paper: str | None, bars: str | None, replace: bool, shop: Path | None, no_shop: bool
) -> None:
    """Work out JOBFILE and write sheet, results and full-size templates."""
    with _refusals():
        file = _shop(jobfile, shop, none=no_shop)
    sys.exit(_run(jobfile, out, paper, bars, shop=file, replace=replace))


@main.command(epilog=EXIT_CODES)
@click.argument("kind", type=click.Choice([*_KINDS, "shop"]))
@click.option(
    "--out",
    default=Path(),
    show_default=True,
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder; made where there is none.",
)
@click.option("--units", type=click.Choice(["mm", "inch"]), help="Units of the tape; else the shop's, else mm.")
@_paper
@click.option("--replace", is_flag=True, help="Replace files of that name.")
@_with_shop
def new(
    kind: str, out: Path, *, units: str | None, paper: str | None, replace: bool, shop: Path | None, no_shop: bool
) -> None:
    """Write a measuring form and a job file to fill in, for a gate, a flip panel, a crowned lid or a bent part.

    new shop writes a file for the shop.
    """
    from foldswing import _files, forms  # noqa: PLC0415

    with _refusals():
        out.mkdir(exist_ok=True)
        if kind == "shop":
            path = _files.write_whole(out / "shop.toml", forms.blank_shop(units or "mm"), overwrite=replace)
            click.echo(f"wrote {path}; for all jobs, put it in {click.get_app_dir('foldswing')}")
            return
        file = _shop(out / "job.toml", shop, none=no_shop)
        said = file.shop if file else None
        tape = units or (said.units if said else "mm")
        on = paper or (said.paper if said else None) or ("A4" if tape == "mm" else "Letter")
        wanted: list[tuple[Path, str | bytes]] = [
            (out / f"{kind}-form.pdf", forms.form_pdf(kind, tape, paper=on)),
            (out / f"{kind}.toml", forms.blank_job(kind, tape)),
        ]
        _files.write_all(wanted, overwrite=replace)
        click.echo(f"wrote {wanted[0][0]} to take to the work, and {wanted[1][0]} to fill in")


@main.command(epilog=EXIT_CODES)
@click.argument("kind", type=click.Choice(_KINDS))
@click.option("--out", required=True, type=click.Path(path_type=Path, dir_okay=False), help="Job file to write.")
@click.option("--add", is_flag=True, help="Add the part to the job file, which is there already.")
@click.option("--replace", is_flag=True, help="Replace the job file if it is there already.")
@click.option("--readings", type=click.IntRange(1, 20), default=1, show_default=True, help="Readings of each size.")
@_with_shop
def ask(kind: str, out: Path, *, add: bool, replace: bool, readings: int, shop: Path | None, no_shop: bool) -> None:
    """Ask the sizes of a gate, a flip panel, a crowned lid or a bent part, one at a time, and write a job file.

    Letters are those of the measuring form. ? tells tool and where to hold it, back goes to the question before, quit
    ends without writing anything. Answers may come from a file: foldswing ask gate --out job.toml < answers.txt
    """
    from foldswing import _files, forms, job  # noqa: PLC0415

    with _refusals():
        text = ""
        if add:
            text = job.text_of(_bytes(out), name=out.name)
        elif out.exists() and not replace:
            raise FileExistsError(f"{out} is there already (--add adds a part to it, --replace replaces it)")
        if not out.absolute().parent.is_dir():
            raise FileNotFoundError(f"there is no folder {out.absolute().parent}")
        file = _shop(out, shop, none=no_shop)
        if add:
            job.loads_with_shop(text, file, name=out.name)
        try:
            whole = forms.asked(kind, forms.Talk(_typed, click.echo), text=text, readings=readings, shop=file)
        except forms.Left:
            click.echo("\nLeft before the end: nothing was written.", err=True)
            sys.exit(4)
        _files.write_whole(out, whole, overwrite=add or replace)
        click.echo(f"wrote {out}; next: foldswing run {out} --out FOLDER")


def _typed(prompt: str) -> str:
    """Show a prompt and return the line typed; what comes from a file is shown too."""
    try:
        typed = input(prompt)
    except UnicodeDecodeError:
        return "\N{REPLACEMENT CHARACTER}"
    if not sys.stdin.isatty():
        click.echo("".join(ch for ch in typed[:80] if ch.isprintable()))
    return typed


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
    code = _run(examples[name], out, paper, bars, shop=None, replace=replace)
    click.echo("This was invented demo data: do not cut metal to it.")
    sys.exit(0 if code == 1 else code)  # the demo shows warnings on purpose


@main.command(epilog=EXIT_CODES)
@click.argument("jobfile", type=click.Path(path_type=Path, dir_okay=False))
@_with_shop
def check(jobfile: Path, shop: Path | None, no_shop: bool) -> None:
    """Read and work out JOBFILE and print what is wrong; write nothing."""
    from foldswing import evaluation  # noqa: PLC0415

    with _refusals():
        _, job, use = _read(jobfile, _shop(jobfile, shop, none=no_shop))
        if use is not None:
            click.echo(f"shop file {use.name}: {', '.join(key for key, _ in use.values) or 'nothing taken from it'}")
        results = evaluation.evaluate(job, progress=_progress())
        for part in results.parts:
            click.echo(f"{part.name}: {part.verdict}")
            for finding in part.findings:
                click.echo(f"  {finding.what}: {finding.number} ({finding.feel}); cure: {finding.advice}")
        sys.exit(0 if results.verdict == "go" else 1)


@main.command(epilog=EXIT_CODES)
@click.argument("jobfile", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("readings", required=False, type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--form",
    type=click.Path(path_type=Path, file_okay=False),
    help="Instead, write a form and a file of readings to fill in, for this job; folder, made where there is none.",
)
@click.option("--gate", "name", help="Which gate the form is for, where the job has several.")
@_paper
@_replace
@_with_shop
def fit(
    jobfile: Path,
    readings: Path | None,
    *,
    form: Path | None,
    name: str | None,
    paper: str | None,
    replace: bool,
    shop: Path | None,
    no_shop: bool,
) -> None:
    """Say what to move after the first fit of a gate, from READINGS taken shut and at its stops.

    Exit code 1: something is to be moved, or looks wrong.
    """
    from foldswing import _files, evaluation, forms, job  # noqa: PLC0415
    from foldswing.report.first_fit import first_fit_lines  # noqa: PLC0415

    with _refusals():
        if (readings is None) == (form is None):
            raise InvalidInput("fit needs either READINGS, or --form FOLDER to write what is to be filled in")
        _, whole, _ = _read(jobfile, _shop(jobfile, shop, none=no_shop))
        if form is not None:
            wanted = evaluation.chosen_gate(whole, name)
            on = paper or whole.sheet_paper
            form.mkdir(exist_ok=True)
            made: list[tuple[Path, str | bytes]] = [
                (form / "first-fit-form.pdf", forms.first_fit_pdf(whole, wanted, paper=on)),
                (form / "first-fit.toml", forms.blank_first_fit(whole, wanted)),
            ]
            _files.write_all(made, overwrite=replace)
            click.echo(f"wrote {made[0][0]} to take to the work, and {made[1][0]} to fill in")
            return
        assert readings is not None
        file = job.loads_first_fit(_bytes(readings), name=readings.name)
        done = evaluation.evaluate_first_fit(whole, file)
        for line in first_fit_lines(done):
            click.echo(line)
        sys.exit(0 if done.right else 1)


@main.command()
@click.argument("table", default="")
def keys(table: str) -> None:
    """Explain the keys of a job file; of one TABLE, such as gate.worktop, or of all.

    TABLE shop: of a shop file; TABLE fit: of a file of readings after the first fit.
    """
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
