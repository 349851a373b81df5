"""The page of all fields says of each whether buyers may see it: what the tests of privacy decided and hold."""

from __future__ import annotations

import pytest

from builder.publish.reference import publish_reference
from builder.reference.grammar import FILES, shapes
from tests.privacy.decisions import FIELDS, KEPT_WHOLE, is_published

SHAPES = {shape.__name__: shape for shape in shapes()}
KEPT_FILES = {file for file, (_, shape) in FILES.items() if shape in KEPT_WHOLE}


@pytest.mark.parametrize("file", FILES)
def test_the_page_says_of_every_field_what_was_decided(file: str) -> None:
    told = next(each for each in publish_reference() if each.key == file)
    for group in told.groups:
        for field in group.fields:
            decided = file not in KEPT_FILES and is_published(SHAPES[group.key], field.name)
            assert field.is_for_buyers == decided, f"{group.key}.{field.name}"
    assert set(FIELDS) <= set(SHAPES.values())
