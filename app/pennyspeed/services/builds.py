"""The builds of a workshop: kept, changed, and found by name."""

from __future__ import annotations

from dataclasses import replace

from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import OF_A_NEW_BUILD
from pennyspeed.domain.errors import NotFound
from pennyspeed.domain.money.money import DEFAULT_CURRENCY as HOME
from pennyspeed.domain.parts.parts import checked_name
from pennyspeed.services.demo_names import demo_names
from pennyspeed.services.file_settings import CURRENCY
from pennyspeed.services.short_ids import id_in
from pennyspeed.services.transactions import InTransactions
from pennyspeed.storage.rows import SHOWN_BUILD, BuildEntry

_LONGEST_LIST = 10


class Builds(InTransactions):
    """The builds in one open file."""

    def entries(self) -> list[BuildEntry]:
        """Return every build, the one changed last first."""
        with self._begin(reading=True) as work:
            return work.builds.entries()

    def get(self, id: int) -> Build:
        """Return one build, or raise NotFound."""
        with self._begin(reading=True) as work:
            return work.builds.get(id)

    def named(self, name_or_code: str) -> Build:
        """Return the build of that name or code; case counts only where it tells two apart.

        What the code on a printed sheet says is understood as well. NotFound says which names there
        are.
        """
        wanted = id_in(name_or_code).strip()
        with self._begin(reading=True) as work:
            entries = work.builds.entries()
            found = (
                [entry for entry in entries if entry.name == wanted]
                or [entry for entry in entries if entry.code == wanted.upper()]
                or [entry for entry in entries if entry.name.casefold() == wanted.casefold()]
            )
            if len(found) == 1:
                return work.builds.get(found[0].id)
        names = [entry.name for entry in found or entries]
        listed = ", ".join(names[:_LONGEST_LIST]) + (", …" if len(names) > _LONGEST_LIST else "")
        there = f"there are {listed}" if names else "there is none yet"
        raise NotFound(f"No build is called {wanted!r}; {there}.")

    def save(self, build: Build) -> Build:
        """Store a build; return it with its number, its code and its new revision.

        Parts without a number are found in the catalogue or added to it. A build that was deleted
        comes back under its number and code. BadInput says that another build has the name.
        """
        checked_name(build.name, "name")
        with self._begin() as work:
            saved = work.builds.save(build)
            work.commit()
        return saved

    def create(self, name: str) -> Build:
        """Store an empty build, for a careful driver on a day that is not known exactly.

        It counts in the currency chosen for the file, else in that of the build changed last.
        """
        with self._begin(reading=True) as work:
            code, entries = work.settings.get(CURRENCY), work.builds.entries()
            if code is None and entries:
                code = work.builds.get(entries[0].id).currency
        name = checked_name(name, "name")
        return self.save(Build(name, conditions=dict(OF_A_NEW_BUILD), currency=code or HOME))

    def are_demo(self) -> bool:
        """Tell whether no build is a person's own: there is none, or they came with the file."""
        return {entry.name for entry in self.entries()} <= set(demo_names())

    def copy(self, build: Build, name: str) -> Build:
        """Store a copy of a build under a name of its own.

        It is another plan for the same purchases: its book holds the same lines, spent and promised
        included. Nothing adds the books of two builds, so that no money counts twice.
        """
        name = checked_name(name, "name")
        return self.save(replace(build, name=name, id=None, code="", revision=0))

    def delete(self, id: int) -> Build:
        """Delete a build and return what it was; :meth:`save` of that undoes it."""
        with self._begin() as work:
            build = work.builds.delete(id)
            work.commit()
        return build

    def shown(self) -> Build | None:
        """Return the build that was shown last, else the newest, else None."""
        with self._begin(reading=True) as work:
            ids = [entry.id for entry in work.builds.entries()]
            noted = work.settings.get(SHOWN_BUILD)
            if noted is not None and int(noted) in ids:
                return work.builds.get(int(noted))
            return work.builds.get(ids[0]) if ids else None

    def note_shown(self, id: int) -> None:
        """Remember which build is shown."""
        with self._begin() as work:
            if work.settings.get(SHOWN_BUILD) != str(id):
                work.settings.put(SHOWN_BUILD, str(id))
                work.commit()
