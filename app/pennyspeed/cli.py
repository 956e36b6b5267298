"""Command line: a thin shell over the services.

Answers go to standard output, messages to standard error. Exit codes: 0 done; 2 refused, with one
plain line that says what to mend; 1 anything else. Heavy packages are imported by the command that
needs them: `predict FILE` loads neither Qt nor the database.
"""

from __future__ import annotations

import io
import json
import sys
import traceback
from collections.abc import Sequence
from functools import partial
from pathlib import Path

import click

from pennyspeed import __version__
from pennyspeed.cli_base import (
    DONE,
    FAILED,
    REFUSED,
    build_of,
    in_units,
    leads_of,
    measures_of,
    say,
)
from pennyspeed.cli_estimates import work_out
from pennyspeed.cli_files import dates, export, import_files, write_table
from pennyspeed.cli_part import read_part
from pennyspeed.domain.errors import UnwritableFile, UserError


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
@in_units
@click.pass_obj
def predict(data: Path | None, build: str, as_json: bool, units: str, speed: str | None) -> int:
    """Say how fast a build is, how sure that is, what it costs and what is wrong with it.

    BUILD is the name or the code of a stored build; FILE is a build file.
    """
    from pennyspeed.services.prediction.forecast import forecast

    measures = measures_of(units, speed)
    found = forecast(build_of(data, build), measures, leads_of(data, build))
    if as_json:
        from pennyspeed.services.reports.answer import answer

        click.echo(json.dumps(answer(found), allow_nan=False))
    else:
        from pennyspeed.services.reports.report import report

        click.echo(report(found, measures), nl=False)
    return DONE


@commands.command()
@click.argument("build", metavar="BUILD|FILE")
@click.pass_obj
def money(data: Path | None, build: str) -> int:
    """List what a build costs: every line, and what is spent, promised, planned and left."""
    from datetime import date

    from pennyspeed.services.reports.listing import money_list

    found = build_of(data, build)
    click.echo(money_list(found, measures_of("metric", None), date.today()), nl=False)
    return DONE


@commands.command()
@click.argument("build", metavar="BUILD")
@click.pass_obj
def basket(data: Path | None, build: str) -> int:
    """Find the shops where what a stored build has still to buy is cheapest together."""
    from datetime import date

    from pennyspeed.services.reports.listing import basket_list
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        wanted = workshop.builds.named(build)
        found = workshop.basket(wanted, date.today())
    click.echo(basket_list(wanted, found, measures_of("metric", None)), nl=False)
    return DONE


@commands.command()
@click.argument("kind")
@click.option("--archived", is_flag=True, help="Those put away as well.")
@in_units
@click.pass_obj
def parts(data: Path | None, kind: str, archived: bool, units: str, speed: str | None) -> int:
    """List the catalogue's parts of one KIND: motors, packs, tyres …"""
    from pennyspeed.domain.kinds import KINDS
    from pennyspeed.services.reports.listing import parts_list
    from pennyspeed.services.workshop import Workshop

    wanted = kind.casefold()
    for declared in KINDS:
        names = {declared.key, declared.label, declared.plural}
        if names & {wanted, f"{wanted}s"}:
            break
    else:
        known = ", ".join(declared.plural for declared in KINDS)
        raise click.UsageError(f"There are no parts of the kind {kind!r}; there are {known}.")
    with Workshop.open(data) as workshop:
        found = workshop.catalogue.parts(declared.key, archived=archived)
    click.echo(parts_list(found, measures_of(units, speed)), nl=False)
    return DONE


@commands.command()
@click.argument("build", metavar="BUILD|FILE")
@click.option(
    "-o",
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Where it goes; .pdf, .html or .txt says what it is.",
)
@click.option("--kind", help="bench, run-day, beside or shopping; bench unless you chose before.")
@click.option("--beside", multiple=True, metavar="BUILD", help="A build beside it, up to three.")
@click.option("--sections", metavar="KEY,KEY…", help="Only these sections, in this order.")
@click.option("--paper", help="a4 or letter.")
@click.option("--mono/--colour", default=None, help="Black and white only, or in colour.")
@click.option("--date", "made", metavar="YYYY-MM-DD", help="The day it carries, not today.")
@in_units
@click.pass_obj
def sheet(
    data: Path | None,
    build: str,
    out: Path,
    kind: str | None,
    beside: tuple[str, ...],
    sections: str | None,
    paper: str | None,
    mono: bool | None,
    made: str | None,
    units: str,
    speed: str | None,
) -> int:
    """Write the sheet of a build, for the bench and for the road, to a file.

    What was chosen for this build before holds unless an option says otherwise.
    """
    from pennyspeed.cli_sheet import Wanted, write_sheet

    wanted = Wanted(build, tuple(beside), kind, sections, paper, mono, made)
    write_sheet(out, wanted, partial(build_of, data), data, measures_of(units, speed))
    click.echo(f"Written to {out}", err=True)
    return DONE


for _more in (import_files, write_table, export, dates, read_part, work_out):
    commands.add_command(_more)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run a command line and return its exit code."""
    _write_any_text()
    try:
        code = commands.main(args=arguments, prog_name="pennyspeed", standalone_mode=False)
        return code if isinstance(code, int) else DONE
    except click.ClickException as error:
        say(error.format_message())
        return REFUSED if error.exit_code == REFUSED else FAILED
    except UnwritableFile as error:
        say(str(error))
        return FAILED
    except UserError as error:
        say(str(error))
        return REFUSED
    except (click.Abort, KeyboardInterrupt):
        say("Broken off.")
        return FAILED
    except Exception:  # noqa: BLE001 - the last stop before the shell
        traceback.print_exc()
        say("This is a mistake in Pennyspeed, not yours; the lines above tell where.")
        return FAILED


def main() -> None:
    """Entry of both commands, in a terminal and without one; alone it opens the window."""
    sys.exit(run())


def _open(data: Path | None) -> int:
    from pennyspeed.display import has_display

    if not has_display():
        say("There is no display for the window; here is the build's report instead.")
        return _report_shown_build(data)
    try:
        from pennyspeed.desktop import app

        app.load()
    except ImportError as error:
        say(f"The window cannot open, something that it needs is not installed: {error}.")
        return FAILED
    return app.run(data)


def _report_shown_build(data: Path | None) -> int:
    from pennyspeed.services.prediction.forecast import forecast
    from pennyspeed.services.reports.report import report
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        build = workshop.builds.shown()
        if build is None:
            entries = workshop.builds.entries()
            build = workshop.builds.get(entries[0].id) if entries else None
        leads = workshop.suppliers.leads()
    if build is None:
        say("There is no build in it yet.")
    else:
        click.echo(report(forecast(build, leads=leads)), nl=False)
    return DONE


def _write_any_text() -> None:
    """Let standard output take every character, whatever the locale says."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        if sys.stdout.isatty():
            sys.stdout.reconfigure(errors="replace")
        else:
            sys.stdout.reconfigure(encoding="utf-8", errors="replace")
