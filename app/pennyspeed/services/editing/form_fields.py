"""Fields of a form: what each row shows at first, and what a person may choose there."""

from __future__ import annotations

from dataclasses import dataclass

Choices = tuple[tuple[str, str], ...]
"""Words and the keys that they stand for."""


@dataclass(frozen=True, slots=True)
class FormField:
    """One row of a form.

    Attributes
    ----------
    text : str
        What it holds at first; of a choice, the key.
    hint : str
        What stands there while nothing is typed.
    choices : tuple
        Empty where it is typed.
    sources : tuple
        What the figure may come from; `source` is the key of what it does.
    """

    key: str
    label: str
    help: str
    text: str = ""
    hint: str = ""
    choices: Choices = ()
    sources: Choices = ()
    source: str = ""
