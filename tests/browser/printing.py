"""Sheets opened and printed as a browser does: paper sizes, a sheet in a page, the typefaces within a print."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page
from pypdf import PageObject, PdfReader
from pypdf.generic import DictionaryObject

#: Paper sizes in points: ISO 216 (A4 is 210 × 297 mm) and ANSI/ASME Y14.1 (size A is 8 1/2 × 11 in).
PAPERS = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}


def shown(page: Page, folder: Path, html: str) -> Page:
    """A stand-alone sheet opened from a file as on a screen, its typefaces ready."""
    page.emulate_media(media="null")
    file = folder / "sheet.html"
    file.write_text(html, encoding="utf-8")
    page.goto(file.as_uri())
    page.evaluate("() => document.fonts.ready")
    return page


def assert_of_size(sheet: PageObject, paper: str) -> None:
    """The sheet of a PDF is as large as the paper."""
    box = sheet.mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(PAPERS[paper], abs=1.5)


def embedded_fonts(pdf: PdfReader) -> list[str]:
    """Names of the typefaces, hyphens and spaces left out, all of which must be within the file.

    Those of type 3 are drawn letter by letter within it, and have no file of their own.
    """
    objects = [pdf.get_object(number) for number in range(1, len(pdf.xref[0]) + 1)]
    dictionaries = [each for each in objects if isinstance(each, DictionaryObject)]
    drawn = [each["/FontDescriptor"] for each in dictionaries if each.get("/CharProcs") and "/FontDescriptor" in each]
    names = []
    for font in dictionaries:
        if "/FontName" not in font:
            continue
        names.append(str(font["/FontName"]).replace("-", "").replace(" ", ""))
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(font) or font in drawn, f"{names[-1]} is not in the file"
    return names
