"""Every field of every file is told apart, published or kept, before any test of privacy can be right."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Any

import pytest

from builder.reading import folder
from builder.reading.converters import converters
from builder.reading.folder import read_shop_folder
from tests.privacy.decisions import FIELDS, KEPT_WHOLE, WITH_PUBLISHED_FIELDS, groups_to_decide, is_known_file
from tests.privacy.trees import WITH_WORDS, hints_of
from tests.privacy.writings import WITHOUT_WORDS
from tests.shops import REPOSITORY

RECORDS = REPOSITORY / "records"


@pytest.mark.parametrize("group", sorted(groups_to_decide() | set(FIELDS), key=str))
def test_of_every_field_it_is_decided_whether_it_is_published(group: type[Any]) -> None:
    decide = f"{group.__name__}: decide whether this is published, and write it into tests/privacy/decisions.py"
    assert group in groups_to_decide(), f"{group.__name__} lies below kept fields alone; take it out of the list"
    assert group in FIELDS, decide
    assert sorted(FIELDS[group].names) == sorted(hints_of(group)), decide


def test_every_shape_of_file_that_is_read_is_known(monkeypatch: pytest.MonkeyPatch) -> None:
    shapes = set()
    read = folder.read_bytes

    def noted(content: bytes, said: str, shape: type, bare_unit: str) -> object:
        shapes.add(shape)
        return read(content, said, shape, bare_unit)  # type: ignore[arg-type]

    monkeypatch.setattr(folder, "read_bytes", noted)
    read_shop_folder(REPOSITORY, private_files=True)
    assert shapes == {*WITH_PUBLISHED_FIELDS, *KEPT_WHOLE}, "decide in tests/privacy/decisions.py what is published"


def test_every_kind_of_file_in_the_records_is_known() -> None:
    files = [PurePosixPath(path.relative_to(RECORDS)) for path in RECORDS.rglob("*") if path.is_file()]
    assert len(files) > 20
    unknown = [str(path) for path in files if not is_known_file(path)]
    assert unknown == [], "fill files of this kind in tests/privacy/planting.py, and name them in decisions.py"


def test_of_every_type_of_value_it_is_known_whether_it_may_hold_words() -> None:
    assert {*WITH_WORDS, *WITHOUT_WORDS} == {str, *converters("in")}, "see WITH_WORDS, and writings.py"
