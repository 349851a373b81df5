"""An instrument told to programs that read pages, such as search engines: JSON-LD in the words of schema.org.

It says nothing that does not stand on the page for people.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from builder import addresses
from builder.pages.cards import chief_woods, frets_in_words
from builder.published import Figure, Measure, Published, PublishedShop
from builder.published.beside import PublishedPhoto

#: Unit codes of UN/ECE Recommendation 20, which schema.org asks for, by the unit of a figure.
_UNIT_CODES = {"mm": "MMT", "kg": "KGM"}
#: What would end the script or begin a comment in HTML. JSON says these letters in another way, and means the same.
_UNSAFE_IN_HTML = {ord(letter): f"\\u{ord(letter):04x}" for letter in "<>&"}


def structured_data(
    instrument: Published, shop: PublishedShop, description: str, photos: Sequence[PublishedPhoto] = ()
) -> str:
    """An `IndividualProduct` as JSON, in ASCII without `<`, `>` and `&`, so that it can stand inside HTML as it is."""
    page = addresses.on_the_web(addresses.instrument_page(instrument.address), shop.site_address)
    product: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "IndividualProduct",
        "@id": page,
        "url": page,
        "image": list(_pictures(instrument, shop, photos)),
        "name": instrument.title,
        "description": description,
        "serialNumber": instrument.serial,
        "category": instrument.kind,
        "brand": {"@type": "Brand", "name": shop.name},
        "manufacturer": _known(
            {"@type": "Organization", "name": shop.name, "url": shop.website, "email": shop.email,
             "telephone": shop.telephone,
             "logo": addresses.on_the_web(addresses.MARK, shop.site_address) if shop.mark else None}
        ),
        "productionDate": instrument.finished,
        "material": list(chief_woods(instrument)),
        "width": _quantity(_figure(instrument, "body", "width")),
        "weight": _quantity(_figure(instrument, "as-built", "weight")),
        "additionalProperty": list(_properties(instrument)),
    }  # fmt: skip
    return json.dumps(_known(product), indent=1).translate(_UNSAFE_IN_HTML)


def _pictures(instrument: Published, shop: PublishedShop, photos: Sequence[PublishedPhoto]) -> Iterator[str]:
    """Whole addresses of its photographs, each at its largest; of the picture for links where there is none."""
    paths = [addresses.photo(instrument.address, each.number, each.sizes_px[-1][0]) for each in photos]
    for path in paths or [addresses.link_picture(instrument.address, with_photo=False)]:
        if address := addresses.on_the_web(path, shop.site_address):
            yield address


def _known(values: dict[str, Any]) -> dict[str, Any]:
    """Without what is not known."""
    return {name: value for name, value in values.items() if value not in (None, [], "")}


def _figure(instrument: Published, subject: str, key: str) -> Figure | None:
    facts = (fact for each in instrument.subjects if each.key == subject for fact in each.figures.facts)
    return next((fact for fact in facts if fact.key == key), None)


def _quantity(figure: Figure | None) -> dict[str, Any] | None:
    """A figure as a number with its unit; None where it is words."""
    if figure is None or figure.value is None:
        return None
    return {
        "@type": "QuantitativeValue",
        "value": figure.value,
        "unitCode": _UNIT_CODES[figure.unit],
        "unitText": figure.unit,
    }


def _properties(instrument: Published) -> Iterator[dict[str, Any]]:
    """What schema.org has no word for; first what tells one instrument from another."""
    if instrument.scale_length:
        yield _length("Scale length", instrument.scale_length)
    if multi := instrument.multi_scale:
        yield _length("Scale length, bass", multi.bass)
        yield _length("Scale length, treble", multi.treble)
    if frets := frets_in_words(instrument):
        yield _words("Frets", frets)
    if instrument.frets and instrument.frets.temperament != "equal":
        yield _words("Temperament", instrument.frets.temperament)
    for tuning in instrument.strings.tunings if instrument.strings else ():
        yield _words("Tuning", " ".join(tuning.notes))
    if instrument.fretboard and instrument.fretboard.width_at_nut:
        yield _length("Width at the nut", instrument.fretboard.width_at_nut)
    if (body := _figure(instrument, "body", "length")) and body.value is not None:
        yield {"@type": "PropertyValue", "name": body.title, **(_quantity(body) or {}), "description": body.said}
    for wood in instrument.woods:
        yield _words(
            f"Wood of the {wood.part}", f"{wood.species} ({wood.botanical})" if wood.botanical else wood.species
        )
    if instrument.finish:
        yield _words("Finish", instrument.finish.product or instrument.finish.schedule)
    yield _words("Made by", instrument.made_by)


def _words(name: str, value: str) -> dict[str, Any]:
    return {"@type": "PropertyValue", "name": name, "value": value}


def _length(name: str, measure: Measure) -> dict[str, Any]:
    """A length as a number of millimetres, and as its maker says it."""
    return {
        "@type": "PropertyValue",
        "name": name,
        "value": measure.mm,
        "unitCode": _UNIT_CODES["mm"],
        "unitText": "mm",
        "description": measure.said,
    }
