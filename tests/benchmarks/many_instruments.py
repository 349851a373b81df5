"""How long a big shop takes: copies of a demo record, built as one site.

    python tests/benchmarks/many_instruments.py 1000

Prints seconds for reading and working out, for making the list of pages and assets, and for the whole build.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path

from builder import mkdocs_plugin
from builder.beside import prepare
from builder.site import site_of
from builder.workshop import open_shop

REPOSITORY = Path(__file__).parents[2]
COPIED = "2024-003"


def big_shop(folder: Path, count: int) -> Path:
    """A shop of `count` instruments besides the demo's own."""
    shutil.copytree(REPOSITORY / "records", folder / "records")
    shutil.copy(REPOSITORY / "mkdocs.yml", folder / "mkdocs.yml")
    instruments = folder / "records" / "instruments"
    text = (instruments / COPIED / "record.yaml").read_text("utf-8")
    for number in range(count):
        serial = f"1999-{number:05}"
        (instruments / serial).mkdir()
        (instruments / serial / "record.yaml").write_text(text.replace(COPIED, serial), "utf-8")
    return folder


def main(count: int) -> None:
    """Time the stages once each; for a comparison run it several times."""
    with tempfile.TemporaryDirectory() as folder:
        shop = big_shop(Path(folder), count)
        start = time.perf_counter()
        workshop = open_shop(shop, private_files=False)
        read = time.perf_counter()
        prepared = prepare(workshop, "buyer")
        site_of(prepared)
        listed = time.perf_counter()
        mkdocs_plugin.build(shop, prepared, "buyer", shop / "site")
        built = time.perf_counter()
    print(f"{len(workshop.instruments)} instruments")  # noqa: T201
    print(f"read and worked out  {read - start:7.2f} s")  # noqa: T201
    print(f"pages and assets     {listed - read:7.2f} s")  # noqa: T201
    print(f"whole build          {built - listed:7.2f} s (makes the list again)")  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
