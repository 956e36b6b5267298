"""Command line: a thin shell over the services.

Answers go to standard output, messages to standard error. Exit codes: 0 done; 2 refused, with one
plain line that says what to mend; 1 anything else. Heavy packages are imported by the command that
needs them: `predict FILE` loads neither Qt nor the database.
"""

from __future__ import annotations

import io
import json
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from pennyspeed import __version__
from pennyspeed.domain.errors import UnwritableFile, UserError

if TYPE_CHECKING:
    from pennyspeed.domain.builds import Build
    from pennyspeed.domain.measures import Measures
    from pennyspeed.domain.parts import Part

DONE, FAILED, REFUSED = 0, 1, 2

_Command = TypeVar("_Command", bound=Callable[..., Any])


def _in_units(command: _Command) -> _Command:
    """Add the options by which a person chooses units."""
    command = click.option(
        "--speed",
        type=click.Choice(["kmh", "mph"]),
        help="Speeds in km/h or mph, whatever the other units.",
    )(command)
    return click.option(
        "--units",
        type=click.Choice(["metric", "imperial"]),
        default="metric",
        show_default=True,
        help="km/h, mm and g, or mph, in and oz.",
    )(command)


def _named_file(_: click.Context, __: click.Parameter, name: str | None) -> Path | None:
    """Return the path of that name; refuse a blank one, which would mean the present folder."""
    if name is not None and not name.strip():
        raise click.UsageError(f"--data: {name!r} was given, expected the name of a file.")
    return None if name is None else Path(name)


@click.group(
    "pennyspeed",
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.option(
    "--data",
    type=click.Path(),
    callback=_named_file,
    metavar="FILE",
    help="File that holds parts and builds, instead of your own.",
)
@click.version_option(__version__, prog_name="pennyspeed", message="%(prog)s %(version)s")
@click.pass_context
def commands(context: click.Context, data: Path | None) -> int | None:
    """Which parts bring a radio-controlled car to its target speed inside a cap on spending.

    Without a command it opens the window.
    """
    context.obj = data
    if context.invoked_subcommand is None:
        return _open(data)
    return None


@commands.command("open")
@click.pass_obj
def open_window(data: Path | None) -> int:
    """Open the window."""
    return _open(data)


@commands.command()
@click.argument("build", metavar="BUILD|FILE")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of a report.")
@_in_units
@click.pass_obj
def predict(data: Path | None, build: str, as_json: bool, units: str, speed: str | None) -> int:
    """Say how fast a build is, how sure that is, what it costs and what is wrong with it.

    BUILD is the name or the code of a stored build; FILE is a build file.
    """
    from pennyspeed.services.forecast import forecast

    measures = _measures(units, speed)
    found = forecast(_build(data, build), measures)
    if as_json:
        from pennyspeed.services.answer import answer

        click.echo(json.dumps(answer(found), allow_nan=False))
    else:
        from pennyspeed.services.report import report

        click.echo(report(found, measures), nl=False)
    return DONE


@commands.command()
@click.argument("kind")
@click.option("--archived", is_flag=True, help="Those put away as well.")
@_in_units
@click.pass_obj
def parts(data: Path | None, kind: str, archived: bool, units: str, speed: str | None) -> int:
    """List the catalogue's parts of one KIND: motors, packs, tyres …"""
    from pennyspeed.domain.kinds import KINDS
    from pennyspeed.services.workshop import Workshop

    wanted = kind.casefold()
    for declared in KINDS:
        names = {declared.key, declared.label, declared.plural}
        if names & {wanted, f"{wanted}s"}:
            break
    else:
        known = ", ".join(declared.plural for declared in KINDS)
        raise click.UsageError(f"There are no parts of the kind {kind!r}; there are {known}.")
    workshop = Workshop.open(data)
    try:
        found = workshop.parts(declared.key, archived=archived)
    finally:
        workshop.close()
    click.echo(_table(found, _measures(units, speed)), nl=False)
    return DONE


@commands.command("import")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE…")
@click.pass_obj
def import_files(data: Path | None, files: tuple[Path, ...]) -> int:
    """Bring parts (.csv) and builds (.build.json) in, each FILE whole or not at all."""
    from pennyspeed.services.workshop import Workshop

    workshop = Workshop.open(data)
    try:
        for path in files:
            click.echo(workshop.import_file(path).summary)
    finally:
        workshop.close()
    return DONE


@commands.command()
@click.argument("build", metavar="BUILD|FILE")
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.pass_obj
def export(data: Path | None, build: str, file: Path) -> int:
    """Write a build, with its parts in it, to FILE."""
    from pennyspeed.services.build_files import write_build

    write_build(_build(data, build), file)
    click.echo(f"Written to {file}", err=True)
    return DONE


def run(arguments: Sequence[str] | None = None) -> int:
    """Run a command line and return its exit code."""
    _write_any_text()
    try:
        code = commands.main(args=arguments, prog_name="pennyspeed", standalone_mode=False)
        if sys.stdout is not None:  # a program without a terminal has none on Windows
            sys.stdout.flush()
        return code if isinstance(code, int) else DONE
    except click.ClickException as error:
        _say(error.format_message())
        return REFUSED if error.exit_code == REFUSED else FAILED
    except UnwritableFile as error:
        _say(str(error))
        return FAILED
    except UserError as error:
        _say(str(error))
        return REFUSED
    except BrokenPipeError:
        # whoever read has had enough; Python must not fail once more when it closes the stream
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    except (click.Abort, KeyboardInterrupt):
        _say("Broken off.")
        return FAILED
    except Exception:  # noqa: BLE001 - the last stop before the shell
        traceback.print_exc()
        _say("This is a mistake in Pennyspeed, not yours; the lines above tell where.")
        return FAILED


def main() -> None:
    """Entry of the command `pennyspeed`."""
    sys.exit(run())


def window() -> None:
    """Entry of the command without a terminal; alone, as the other, it opens the window."""
    sys.exit(run())


def _open(data: Path | None) -> int:
    from pennyspeed.display import has_display

    if not has_display():
        _say("There is no display for the window; here is the build's report instead.")
        return _print_shown_build(data)
    try:
        from pennyspeed.desktop import app

        app.load()
    except ImportError as error:
        _say(f"The window cannot open, something that it needs is not installed: {error}.")
        return FAILED
    return app.run(data)


def _print_shown_build(data: Path | None) -> int:
    from pennyspeed.services.forecast import forecast
    from pennyspeed.services.report import report
    from pennyspeed.services.workshop import Workshop

    workshop = Workshop.open(data)
    try:
        build = workshop.shown_build()
        if build is None:
            entries = workshop.builds()
            build = workshop.build(entries[0].id) if entries else None
    finally:
        workshop.close()
    if build is None:
        _say("There is no build in it yet.")
    else:
        click.echo(report(forecast(build)), nl=False)
    return DONE


def _build(data: Path | None, text: str) -> Build:
    """Return the build that a file holds, or the stored one of that name or code."""
    path = Path(text)
    if text.casefold().endswith(".json") or path.is_file():
        from pennyspeed.services.build_files import read_build

        return read_build(path)
    from pennyspeed.services.workshop import Workshop

    workshop = Workshop.open(data)
    try:
        return workshop.build_named(text)
    finally:
        workshop.close()


def _measures(units: str, speed: str | None) -> Measures:
    from pennyspeed.domain.measures import Measures
    from pennyspeed.domain.units import IN, KMH, MM, MPH, OZ, G

    imperial = units == "imperial"
    miles = imperial if speed is None else speed == "mph"
    return Measures(
        speed_unit=MPH if miles else KMH,
        length_unit=IN if imperial else MM,
        mass_unit=OZ if imperial else G,
    )


def _table(found: Sequence[Part], measures: Measures) -> str:
    """Return parts as aligned columns: name, the kind's own columns, price."""
    if not found:
        return ""
    from pennyspeed.services.report import printable

    kind = found[0].kind
    fields = sorted((field for field in kind.fields if field.on_shelf), key=lambda f: f.on_shelf)
    rows = [["name", *(_header(field.short, measures) for field in fields), "price"]]
    for part in found:
        price = "" if part.price is None else measures.money(part.price.amount)
        figures = [
            "" if value is None else measures.figure(field, value, unit=False)
            for field, value in ((field, part.figure(field.key)) for field in fields)
        ]
        rows.append([printable(text) for text in (part.name, *figures, price)])
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return "".join(
        "  ".join(
            text.ljust(width) if i == 0 else text.rjust(width)
            for i, (text, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        + "\n"
        for row in rows
    )


def _header(short: str, measures: Measures) -> str:
    """Return a column's header with the person's unit in place of the key's."""
    from pennyspeed.domain.units import KMH, MM, G

    for unit in (KMH, MM, G):
        if short == unit.symbol or short.endswith(f" {unit.symbol}"):
            return short.removesuffix(unit.symbol) + measures.unit_for(unit).symbol
    return short


def _write_any_text() -> None:
    """Let standard output take every character, whatever the locale says."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        if sys.stdout.isatty():
            sys.stdout.reconfigure(errors="replace")
        else:
            sys.stdout.reconfigure(encoding="utf-8", errors="replace")


def _say(message: str) -> None:
    """Write one line to standard error."""
    click.echo(" ".join(message.split()), err=True)
