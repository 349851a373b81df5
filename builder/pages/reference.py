"""Every field of every file on one page, for whoever writes records."""

from __future__ import annotations

from builder import addresses
from builder.published.reference import PublishedFile
from builder.seam import Page
from builder.templates import section


def reference_page(files: tuple[PublishedFile, ...]) -> Page:
    """The page of all fields, a section for each kind of file."""
    return Page(
        path=addresses.REFERENCE,
        title="What may be written",
        description="Every field of every file: what it means, how it is written, an example, and who may see it.",
        sections=(
            section("", "", "pages/reference/lead.html"),
            *(section(f"file-{each.key}", each.title, "pages/reference/file.html", file=each) for each in files),
        ),
        search_text="record reference, fields, keys, format, grammar",
        listed=False,
    )
