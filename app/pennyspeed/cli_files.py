"""Commands that read and write files: tables, builds, dates."""

from __future__ import annotations

from pathlib import Path

import click

from pennyspeed.cli_base import DONE, build_of, leads_of, measures_of, say


@click.command("import")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE…")
@click.option("--look", is_flag=True, help="Only say what each row of a table would do.")
@click.option("--lines-of", "build", metavar="BUILD", help="Tables hold lines of this build.")
@click.option("--leave-out", is_flag=True, help="Leave rows out that are refused.")
@click.option("--work-out", "fills_in", is_flag=True, help="Work out what a build’s parts lack.")
@click.pass_obj
def import_files(
    data: Path | None,
    files: tuple[Path, ...],
    look: bool,
    build: str | None,
    leave_out: bool,
    fills_in: bool,
) -> int:
    """Bring tables (.csv, .tsv, .xlsx, .ods) and builds (.build.json) in.

    Each FILE is taken whole or not at all. Tables hold parts, offers or lines of a build; what
    they leave out of a part is worked out, where that can be.
    """
    from pennyspeed.services.importers import importer_for
    from pennyspeed.services.reports.listing import preview_list
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        for path in files:
            if not importer_for(path).has_preview:
                if look:
                    raise click.UsageError(f"--look: {path} was given, expected a table.")
                click.echo(workshop.import_file(path, fills_in).summary)
                continue
            lines_of = None if build is None else workshop.builds.named(build)
            what = None if build is None else "lines"
            preview = workshop.tables.preview(path, what, build=lines_of)
            if look:
                for column in preview.left_out:
                    if column.trouble is not None:
                        say(str(column.trouble.within(str(path))))
                click.echo(preview_list(preview), nl=False)
                continue
            preview.refuse_strange_columns()
            click.echo(workshop.tables.take(preview, leave_out).summary)
    return DONE


@click.command("table")
@click.argument("what", type=click.Choice(["parts", "offers", "lines"]))
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--of", "build", metavar="BUILD", help="The build whose lines are written.")
@click.option("--units", type=click.Choice(["metric", "imperial"]), help="Instead of the files'.")
@click.pass_obj
def write_table(
    data: Path | None, what: str, file: Path, build: str | None, units: str | None
) -> int:
    """Write parts, offers or a build's lines to FILE (.csv, .tsv, .xlsx, .ods)."""
    from pennyspeed.services.workshop import Workshop

    measures = None if units is None else measures_of(units, None)
    with Workshop.open(data) as workshop:
        lines_of = None if build is None else workshop.builds.named(build)
        rows = workshop.tables.write(file, what, build=lines_of, measures=measures)
    say(f"{rows:,} {what} written to {file}")
    return DONE


@click.command()
@click.argument("build", metavar="BUILD|FILE")
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.pass_obj
def export(data: Path | None, build: str, file: Path) -> int:
    """Write a build, with its parts in it, to FILE."""
    from pennyspeed.services.build_files import write_build

    write_build(build_of(data, build), file)
    click.echo(f"Written to {file}", err=True)
    return DONE


@click.command()
@click.argument("build", metavar="BUILD|FILE")
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path),
    metavar="FILE.ics",
    help="Write them for another calendar instead of listing them.",
)
@click.pass_obj
def dates(data: Path | None, build: str, out: Path | None) -> int:
    """List what is open, overdue or missing before the event, soonest first."""
    from datetime import date

    from pennyspeed.domain.errors import BadInput
    from pennyspeed.domain.money.calendar import Leads, agenda, arrivals_of
    from pennyspeed.services.money.dates import SUFFIX, write_calendar
    from pennyspeed.services.reports.listing import agenda_list

    found = build_of(data, build)
    leads = leads_of(data, build) or Leads.of(arrivals_of(found))
    items = agenda(found, leads, date.today())
    if out is None:
        click.echo(agenda_list(items), nl=False)
        return DONE
    if out.suffix.casefold() != SUFFIX:
        raise BadInput("--out", str(out), f"a name that ends in {SUFFIX}")
    write_calendar(found, items, out)
    say(f"Written to {out}")
    return DONE
