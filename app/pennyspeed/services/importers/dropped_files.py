"""Files dropped onto the window: which of them come in, and what a person is told of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pennyspeed.services.importers import Importer, importable, recognised_by
from pennyspeed.storage.place import DATA_SUFFIX

_MOST_LINES = 8


@dataclass(frozen=True)
class DroppedFiles:
    """Files by what becomes of them.

    Attributes
    ----------
    importers : mapping of Path to Importer
        Of the files that can be imported.
    data_files : list of Path
        Of which one alone is opened.
    others : list of Path
    """

    importers: dict[Path, Importer]
    data_files: list[Path]
    others: list[Path]

    @classmethod
    def of(cls, paths: Sequence[Path]) -> DroppedFiles:
        """Sort files by whether an importer recognises them."""
        files = cls({}, [], [])
        for path in paths:
            importer = recognised_by(path)
            if importer is not None:
                files.importers[path] = importer
            elif path.name.casefold().endswith(DATA_SUFFIX):
                files.data_files.append(path)
            else:
                files.others.append(path)
        return files

    @property
    def are_taken(self) -> bool:
        """Whether any of them comes in or is opened."""
        return bool(self.importers or self.data_files)

    @property
    def heading(self) -> str:
        """What letting go would do."""
        if self.importers:
            count = len(self.importers)
            return f"Let go to bring in {'this file' if count == 1 else f'these {count} files'}"
        if self.data_files:
            return "Let go to open this data file"
        return "Nothing of this can be brought in"

    @property
    def lines(self) -> list[str]:
        """What would become of each file."""
        lines = [
            f"{path.name}, to be looked at first" if one.needs_preview(path) else path.name
            for path, one in self.importers.items()
        ]
        data_files = self.data_files
        if not self.importers:
            lines = [path.name for path in data_files[:1]]
            data_files = data_files[1:]
        lines += [f"{path.name} stays out" for path in (*self.others, *data_files)]
        if len(lines) > _MOST_LINES:
            lines = [*lines[: _MOST_LINES - 1], f"and {len(lines) - _MOST_LINES + 1} more"]
        if self.others:
            lines.append(f"What comes in is {importable()}.")
        return lines
