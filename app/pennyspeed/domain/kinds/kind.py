"""What a kind of part is: a name, an icon and its fields."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.parts.fields import Draw, Field
from pennyspeed.domain.units import G


@dataclass(frozen=True)
class Kind:
    """A kind of part; its key is also the name of its slot in a build."""

    key: str
    """In files and storage: "motor"."""
    label: str
    """What a person calls one of them."""
    plural: str
    fields: tuple[Field, ...]
    """In the order of columns and of the form."""
    counts: bool = True
    """Whether such a part counts toward the cap unless somebody says."""
    many: bool = False
    """A build may hold several."""
    needed: bool = False
    """A car is not whole without one."""

    def field(self, key: str) -> Field:
        """Return the field of that key; KeyError where there is none."""
        for field in self.fields:
            if field.key == key:
                return field
        raise KeyError(key)

    @property
    def shelf_fields(self) -> list[Field]:
        """Fields that the shelf shows, in the order of its columns."""
        return sorted((one for one in self.fields if one.on_shelf), key=lambda one: one.on_shelf)

    def __post_init__(self) -> None:
        keys = [field.key for field in self.fields]
        if len(set(keys)) != len(keys):
            raise ValueError(f"{self.key} declares a field twice")
        if "mass_g" not in keys:
            raise ValueError(f"{self.key} declares no mass_g: every part adds to the car's mass")


def mass_field(help: str, on_shelf: int = 0) -> Field:
    """Return the mass field that every kind has."""
    return Field("mass_g", "mass", "g", help, G, high=1e5, draw=Draw.FIRM, on_shelf=on_shelf)
