"""Woods whose trade across borders is controlled: entries of the CITES appendices as data, with date and source.

Nothing here is a promise. Entries change at every conference; what a border officer asks is for the national
authority to say. How each entry is known stands beside it, and an entry of which we were not sure was left out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from builder.tables.wood_properties import HowKnown

Appendix = Literal["I", "II"]

#: The convention itself, for whoever wants to look it up.
CONVENTION = "Convention on International Trade in Endangered Species of Wild Fauna and Flora (CITES), Washington, 1973"


@dataclass(frozen=True, slots=True)
class TradeListing:
    """One entry. `of` are botanical names, a genus standing for all its species except those in `but`.

    `covers` says what the entry takes in, `since` from when on, `published` the day or month of the source: what came
    after it is not known here.
    """

    of: tuple[str, ...]
    called: str
    appendix: Appendix
    covers: str
    since: str
    published: str
    source: str
    known: HowKnown
    but: tuple[str, ...] = field(default=())


_FIFTEEN = (
    "All parts and products but, among others, finished musical instruments, their finished parts and accessories "
    "(annotation 15). Loose wood and unfinished parts are covered."
)

TRADE_LISTINGS: tuple[TradeListing, ...] = (
    TradeListing(
        ("Dalbergia nigra",), "Brazilian rosewood", "I",
        "All parts and products, finished instruments too.", "1992 (from memory)", "2019",
        "several notices of the timber trade", "read in a quotation",
    ),
    TradeListing(
        ("Dalbergia",), "Rosewoods (Dalbergia)", "II", _FIFTEEN, "January 2017; the exception since 26 November 2019",
        "November 2019, confirmed by the conference that ended on 5 December 2025",
        "a timber merchant's notice of 12 November 2019; position paper of the performing arts employers, 2025",
        "read in a quotation", but=("Dalbergia nigra",),
    ),
    TradeListing(
        ("Guibourtia demeusei", "Guibourtia pellegriniana", "Guibourtia tessmannii"), "Bubinga", "II", _FIFTEEN,
        "January 2017; the exception since 26 November 2019", "November 2019",
        "a timber merchant's notice of 12 November 2019", "read in a quotation",
    ),
    TradeListing(
        ("Paubrasilia echinata", "Caesalpinia echinata"), "Pernambuco", "II",
        "All parts and finished products; finished instruments and accessories are excepted only where they cross a "
        "border without being sold and without changing hands: to be played, shown, lent, taught with, repaired "
        "(annotation 10).",
        "March 2026 in this form; sources give 4 and 5 March", "December 2025",
        "notice of an association of bow makers after the conference of 2025", "read",
    ),
    TradeListing(
        ("Afzelia",), "Afzelia from Africa", "II",
        "Logs, sawn wood, veneer, plywood and transformed wood of trees grown in Africa (annotation 17).",
        "the conference of November 2022", "2023", "notice of a timber trade association", "read",
    ),
    TradeListing(
        ("Khaya",), "Khaya, African mahogany", "II",
        "Logs, sawn wood, veneer, plywood and transformed wood of trees grown in Africa (annotation 17).",
        "23 February 2023", "2023", "the appendices, as remembered", "from memory",
    ),
    TradeListing(
        ("Pterocarpus",), "Padauk and its kin from Africa", "II",
        "Logs, sawn wood, veneer, plywood and transformed wood of trees grown in Africa (annotation 17).",
        "23 February 2023", "2023", "the appendices, as remembered", "from memory",
    ),
    TradeListing(
        ("Swietenia macrophylla",), "Mahogany of the Americas", "II",
        "Logs, sawn wood, veneer and plywood of trees grown in the American tropics, not of plantations elsewhere "
        "(annotation 6).",
        "not noted here", "2023", "the appendices, as remembered", "from memory",
    ),
    TradeListing(
        ("Cedrela",), "Spanish-cedar of the Americas", "II",
        "Logs, sawn wood, veneer and plywood of trees grown in the American tropics (annotation 6).",
        "not noted here", "2023", "the appendices, as remembered", "from memory",
    ),
    TradeListing(
        ("Diospyros",), "Ebonies of Madagascar", "II",
        "Logs, sawn wood and veneer of ebonies of Madagascar (annotation 5). Other ebonies are not in this entry.",
        "the conference of 2013", "2013", "proposal 58 of that conference; the entry itself as remembered",
        "from memory", but=("Diospyros virginiana",),
    ),
)  # fmt: skip


def listings_of(botanical: tuple[str, ...]) -> tuple[TradeListing, ...]:
    """The entries that a wood of these botanical names may fall under, each once, in the order of the table."""
    return tuple(each for each in TRADE_LISTINGS if any(_is_in(each, name) for name in botanical))


def _is_in(listing: TradeListing, botanical: str) -> bool:
    name = " ".join(botanical.split()).casefold()
    if any(name == other.casefold() for other in listing.but):
        return False
    return any(name == entry.casefold() or name.startswith(f"{entry.casefold()} ") for entry in listing.of) or (
        name.endswith(" spp.") and any(entry.casefold().startswith(name.removesuffix("spp.")) for entry in listing.of)
    )
