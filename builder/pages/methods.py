"""How the numbers are worked: every sum the site shows, for whoever wants to check it with pencil and paper."""

from __future__ import annotations

from collections.abc import Mapping

from builder import addresses
from builder.published import PublishedShop
from builder.seam import Page, Section
from builder.templates import section

#: Section, title, sources of its sums.
_SUMS = (
    ("where-the-frets-go", "Where the frets go", ("fret-law", "equal-temperament")),
    ("diatonic-boards", "Diatonic boards and half frets", ("diatonic-fretting",)),
    ("the-nearest-mark", "The nearest mark", ("nearest-mark",)),
    ("what-a-mark-costs", "What a mark costs", ("cents", "fret-law")),
    ("stepping-and-sawing", "Stepping, and sawing beside the line", ("stepping", "cents")),
    ("temperaments", "Temperaments", ("temperament",)),
    ("two-scale-lengths", "Two scale lengths", ("slanted", "fret-law")),
    ("strings-side-by-side", "Strings side by side", ("spacing",)),
    ("reach", "Reach", ("reach",)),
    ("slots-and-wire", "Slots and wire", ("fretting",)),
    ("frequencies", "Frequencies of the strings", ("equal-temperament",)),
)


def methods_page(shop: PublishedShop, sources: Mapping[str, str]) -> Page:
    """The page of methods. `sources` is the bibliography, key and citation."""

    def of(name: str, title: str, keys: tuple[str, ...] = ()) -> Section:
        citations = tuple(sources[key] for key in keys if key in sources)
        return section(name, title, f"pages/methods/{name}.html", shop=shop, citations=citations)

    return Page(
        path=addresses.METHODS,
        title="How the numbers are worked",
        description="The sums behind every number on these pages: formula, range, source and a worked example of each.",
        sections=(of("in-short", "In short"), *(of(*each) for each in _SUMS)),
        search_text="fret places, diatonic boards, half frets, nearest mark, left over, cents, stepping, temperaments, "
        "meantone, just intonation, multi-scale, spacing, reach, fret wire, frequencies",
        listed=True,
    )
