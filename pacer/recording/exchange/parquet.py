"""Recordings out to Parquet, for those who keep thousands in an engine of their own.

One folder, one file a table; every row has its session's id. Rows go out in batches, so
memory does not grow with how much is exported; the files appear under their names when
all of them are whole, that of the first table (`sessions`) last.
pyarrow is an extra and is loaded in functions only. Readings in: `cells_of`.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pacer.errors import UserInputError
from pacer.recording.exchange.tables import TABLES, Column, Value
from pacer.text import clean

if TYPE_CHECKING:
    import pyarrow as pa

BATCH = 20_000
"Rows of a table held at a time."

_MAGIC = b"PAR1"


def need_pyarrow() -> None:
    """Raise `UserInputError` where the extra is not installed."""
    try:
        import pyarrow.parquet  # noqa: F401 - only to see that it is there
    except ImportError:
        raise UserInputError(
            "Parquet needs the package pyarrow: pip install 'pacer[parquet]'"
        ) from None


def is_parquet(path: Path) -> bool:
    """Return whether the file begins as a Parquet file does; raises OSError."""
    with path.open("rb") as file:
        return file.read(len(_MAGIC)) == _MAGIC


class Folder:
    """All tables being written; use as a context, call `done` when all rows are in."""

    def __init__(self, folder: Path, tables: Mapping[str, Sequence[Column]] = TABLES) -> None:
        """Make the folder where it is missing.

        Raises `UserInputError` if pyarrow is missing, if a table is there already, or if the
        folder can't be written.
        """
        need_pyarrow()
        self._folder = folder
        self._tables = tables
        self._name = clean(str(folder))
        self._open = ExitStack()
        self._rows: dict[str, list[Sequence[Value]]] = {table: [] for table in tables}
        self._look()
        try:
            folder.mkdir(parents=True, exist_ok=True)
            # In the same folder, so that a table gets its name without being copied.
            made = tempfile.TemporaryDirectory(prefix=".unfinished-", dir=folder)
            self._unfinished = Path(self._open.enter_context(made))
            self._writers = {table: self._writer(table) for table in tables}
        except OSError as error:
            self._open.close()
            raise self._cannot(error) from None

    def _look(self) -> None:
        there = [table for table in self._tables if (self._folder / f"{table}.parquet").exists()]
        if there:
            raise UserInputError(f"{self._name}: {there[0]}.parquet is there already")

    def _cannot(self, error: OSError) -> UserInputError:
        return UserInputError(f"{self._name}: {clean(error.strerror or str(error))}")

    def _writer(self, table: str) -> Any:
        import pyarrow.parquet as pq

        path = self._unfinished / f"{table}.parquet"
        return self._open.enter_context(pq.ParquetWriter(path, _schema(self._tables[table])))

    def __enter__(self) -> Folder:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Leave nothing unfinished behind."""
        self._open.close()

    def add(self, table: str, row: Sequence[Value]) -> None:
        """Add a row, its values in the order of the table's columns; raises `UserInputError`."""
        rows = self._rows[table]
        rows.append(row)
        if len(rows) >= BATCH:
            self._flush(table)

    def add_all(self, rows: Iterable[tuple[str, Sequence[Value]]]) -> None:
        """Add rows, each with the name of its table."""
        for table, row in rows:
            self.add(table, row)

    def _flush(self, table: str) -> None:
        import pyarrow as pa

        rows, self._rows[table] = self._rows[table], []
        if not rows:
            return
        schema = _schema(self._tables[table])
        columns = [
            pa.array(values, type=column.type)
            for values, column in zip(zip(*rows, strict=True), schema, strict=True)
        ]
        try:
            self._writers[table].write_batch(pa.record_batch(columns, schema=schema))
        except OSError as error:
            raise self._cannot(error) from None

    def done(self) -> None:
        """Write what is left and give the files their names; raises `UserInputError`."""
        for table in self._tables:
            self._flush(table)
        try:
            for writer in self._writers.values():
                writer.close()
            self._look()
            # The first last: where it is, the rest is whole.
            for table in reversed(tuple(self._tables)):
                made = self._unfinished / f"{table}.parquet"
                with made.open("rb") as file:
                    os.fsync(file.fileno())
                made.rename(self._folder / made.name)
        except OSError as error:
            raise self._cannot(error) from None


def _schema(columns: Sequence[Column]) -> pa.Schema:
    """Return a table's columns; each says its meaning and, where it has one, its unit."""
    import pyarrow as pa

    types = {
        "text": pa.string(),
        "number": pa.float64(),
        "count": pa.int64(),
        "yes or no": pa.bool_(),
        "moment": pa.timestamp("ms", tz="UTC"),
        "numbers": pa.map_(pa.string(), pa.float64()),
    }
    fields = []
    for column in columns:
        about = {"doc": column.doc} | ({"unit": column.unit} if column.unit else {})
        fields.append(pa.field(column.name, types[column.kind], metadata=about))
    return pa.schema(fields)


def cells_of(path: Path, name: str, wanted: Sequence[str]) -> Iterator[tuple[str, list[str]]]:
    """Yield (where, cells as a CSV would have them): the columns' names, then each row.

    Only columns among `wanted` are read, in batches. Raises `UserInputError`.
    """
    need_pyarrow()
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(path) as file:
            there = file.schema_arrow.names
            names = [column for column in there if column in wanted]
            yield f"{name}:1", names or there
            number = 0
            for batch in file.iter_batches(BATCH, columns=names):
                for row in zip(*(column.to_pylist() for column in batch.columns), strict=True):
                    number += 1
                    yield f"{name}: row {number}", [_cell(value) for value in row]
    except pa.ArrowException as error:
        raise UserInputError(f"{name}: not Parquet: {clean(str(error), 120)}") from None


def _cell(value: object) -> str:
    return "" if value is None else str(value)
