"""Files by their stock numbers."""

from __future__ import annotations

from stepper.facts.values import Size
from stepper.kinds.tables import File, Tables


def file_of(tables: Tables, number: int) -> Size | None:
    """Give the size and taper of a stock file, or None where the number is no file's."""
    file = next((one for one in tables.item if isinstance(one, File) and one.number == number), None)
    return None if file is None else Size(size=file.size, taper=file.taper, stock=number)
