"""What is published of the dust of woods: for whoever planes, sands or repairs them.

All wood dust is harmful to breathe; these are the woods that were named for more. A wood that is not in this list is
not therefore harmless. Limits of the air at work are for the local authority to say.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.tables.wood_properties import HowKnown

#: What holds for any wood, and where it is said.
ANY_DUST = (
    "Breathe no wood dust: draw it off where it arises and wear a respirator that fits. Local rules and the "
    "authority's limits for wood dust apply."
)
ANY_DUST_SOURCE = "OSHA, Wood dust: hazard evaluation; HSE, Toxic woods, Woodworking Sheet No 30"


@dataclass(frozen=True, slots=True)
class DustWarning:
    """What is said of the dust of some woods. `of` are botanical names, a genus standing for all its species."""

    of: tuple[str, ...]
    says: str
    source: str
    known: HowKnown


_SENSITISERS = "text of an extension service on OSHA's standard for wood dust"
_CANCER = "list of ACGIH, as quoted by a supplier of the trade"

DUST_WARNINGS: tuple[DustWarning, ...] = (
    DustWarning(
        ("Thuja plicata",),
        "The dust of western redcedar can cause asthma, and limits for it are lower than for other woods: 0.5 mg/m³.",
        "ACGIH 2007, as printed by OSHA, Wood dust: hazard evaluation", "read",
    ),
    DustWarning(
        ("Cedrus libani",), "The dust of cedar of Lebanon can cause asthma.", _SENSITISERS, "read",
    ),
    DustWarning(
        ("Quercus",),
        "The dust of oak can cause asthma, and is held to cause cancer of the nose in those who breathe it for years.",
        f"{_SENSITISERS}; {_CANCER}", "read in a quotation",
    ),
    DustWarning(
        ("Fagus",), "The dust of beech is held to cause cancer of the nose in those who breathe it for years.",
        _CANCER, "read in a quotation",
    ),
    DustWarning(
        ("Swietenia", "Khaya"), "The dust of mahogany can cause asthma, and is suspected of causing cancer.",
        f"{_SENSITISERS}; {_CANCER}", "read in a quotation",
    ),
    DustWarning(("Sequoia sempervirens",), "The dust of redwood can cause asthma.", _SENSITISERS, "read"),
    DustWarning(
        ("Milicia", "Chlorophora"), "The dust of iroko can inflame the lungs (alveolitis).",
        "an occupational hygienist's article, 2024", "read",
    ),
    DustWarning(
        ("Pterocarpus soyauxii",), "The dust of African padauk can cause trouble with breathing.",
        "Forest Products Laboratory fact sheet after M. Chudnoff, Tropical Timbers of the World (1984)", "read",
    ),
    *(
        DustWarning((of,), f"The dust of {name} is suspected of causing cancer.", _CANCER, "read in a quotation")
        for of, name in (("Betula", "birch"), ("Tectona grandis", "teak"), ("Juglans", "walnut"))
    ),
    DustWarning(
        ("Dalbergia", "Machaerium"),
        "Woods sold as rosewood come from some thirty species; several of them are named for their dust.",
        "HSE, Toxic woods, Woodworking Sheet No 30", "read",
    ),
)  # fmt: skip


def dust_warnings_of(botanical: tuple[str, ...]) -> tuple[DustWarning, ...]:
    """What is said of the dust of a wood of these botanical names, in the order of the table."""
    names = [" ".join(name.split()).casefold() for name in botanical]
    return tuple(
        warning
        for warning in DUST_WARNINGS
        if any(name == of.casefold() or name.startswith(f"{of.casefold()} ") for of in warning.of for name in names)
    )
