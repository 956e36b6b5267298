"""A table made anew: how a step gives one more columns, so that it is as a new file has it."""

from collections.abc import Iterator
from contextlib import contextmanager

from alembic import op


@contextmanager
def made_anew(table: str, more: dict[str, str]) -> Iterator[None]:
    """Empty a table's place for a new one, and fill that with the old rows and `more` columns."""
    connection = op.get_bind()
    names = [row[1] for row in connection.exec_driver_sql(f"PRAGMA table_info({table})")]
    last = connection.exec_driver_sql(
        "SELECT seq FROM sqlite_sequence WHERE name = ?", (table,)
    ).scalar()
    op.execute(f"CREATE TEMP TABLE kept AS SELECT * FROM {table} ORDER BY rowid")
    op.drop_table(table)
    yield
    values = ", ".join((*names, *more.values()))
    op.execute(f"INSERT INTO {table} ({', '.join((*names, *more))}) SELECT {values} FROM temp.kept")
    op.execute("DROP TABLE temp.kept")
    if last is not None:
        # A number that was handed out once is never used again, also where its row is gone.
        op.execute(f"DELETE FROM sqlite_sequence WHERE name = '{table}'")
        op.execute(f"INSERT INTO sqlite_sequence (name, seq) VALUES ('{table}', {int(last)})")
