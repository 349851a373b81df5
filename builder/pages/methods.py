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
    ("string-weights", "What a string weighs", ("string-weight",)),
    ("string-tension", "What a string pulls", ("string-law",)),
    ("how-near-to-breaking", "How near to breaking", ("music-wire", "string-law")),
    ("force-on-the-saddle", "Force on the saddle", ("saddle-force",)),
    ("stretch-and-stiffness", "Stretch and stiffness", ("pressed-string", "stiff-string", "second-moments")),
    ("setback", "Setback of the saddle", ("setback", "least-squares", "cents")),
    ("nut-and-saddle-heights", "Heights of nut and saddle", ("string-heights",)),
    ("moisture-of-wood", "Moisture of wood", ("moisture",)),
    ("how-wood-moves", "How wood moves", ("wood-movement", "species")),
    ("what-the-wood-weighs", "What the wood weighs", ("wood-mass", "species")),
    ("outline-and-perimeter", "Outline and perimeter", ("outline", "offset")),
    ("sides-and-linings", "Sides and linings", ("side-blanks", "bends", "linings", "kerfs")),
    ("volume-and-air", "Room inside, and the air", ("volume", "helmholtz")),
    ("end-angles", "End angles", ("end-angles",)),
    ("braces-and-sound-holes", "Braces and sound holes", ("bracing",)),
    ("clamps-and-pressure", "Clamps and pressure", ("clamp-count", "clamp-pressure", "glue-pressure")),
    ("glue-and-finish-times", "Glue and finish times", ("glue-label", "glue-typical")),
    ("cutting-list", "Cutting list", ("blanks", "board-foot")),
    ("levelling", "Levelling the frets", ("rocker", "straight-line", "convex-minorant")),
    ("as-built-errors", "Frets as measured", ("as-built", "fret-law", "cents", "reading-error", "rms")),
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
        "meantone, just intonation, multi-scale, spacing, reach, fret wire, frequencies, string tension, breaking, "
        "setback, intonation, compensation, action, moisture, wood movement, weight, outline, linings, volume, "
        "end angle, brace, clamps, glue, finish, cutting list, levelling",
        listed=True,
    )
