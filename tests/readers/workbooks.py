"""Workbooks made for tests."""

import io
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import openpyxl

CRIB: Sequence[Sequence[Any]] = (
    ("id", "body", "DC", "APMX", "ZEFP"),
    ("E12", "solid_end_mill", 12, 26, 3),
)


def workbook(*sheets: tuple[str, Iterable[Sequence[Any]]], hidden: Iterable[str] = ()) -> bytes:
    """The bytes of a workbook of these sheets, each with its title and rows."""
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for title, rows in sheets:
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
        if title in hidden:
            sheet.sheet_state = "hidden"
    stream = io.BytesIO()
    made.save(stream)
    return stream.getvalue()


def repacked(data: bytes, parts: Mapping[str, Any]) -> bytes:
    """The same workbook with parts changed by a function of their bytes, replaced, added, or (None) left out."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for name in dict.fromkeys([*old.namelist(), *parts]):
            part = parts.get(name, lambda held: held)
            content = part(old.read(name)) if callable(part) else part
            if content is not None:
                new.writestr(name, content)
    return stream.getvalue()
