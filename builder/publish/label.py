"""Names the label inside the instrument: the record's size where it has one, else the shop's."""

from __future__ import annotations

from builder.publish.measures import measure
from builder.published.label import PublishedLabel
from builder.record import Spec
from builder.shop import Shop


def label_of(spec: Spec, shop: Shop) -> PublishedLabel:
    """Size and words of an instrument's label."""
    own, usual, unit = spec.label, shop.label, shop.unit
    return PublishedLabel(
        width=measure(own.width or usual.width, unit),
        height=measure(own.height or usual.height, unit),
        width_field="spec.label.width" if own.width else "label.width",
        height_field="spec.label.height" if own.height else "label.height",
        words=usual.words,
    )
