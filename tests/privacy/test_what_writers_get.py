"""Both writers make the site from the list of pages and files and from prose that is no draft, and from nothing else.

So shops that give them the same (`test_non_interference.py`) get the same bytes. Some are written out all the same:
with another clock, time zone, seed of hashes, language, mask of rights and folder.
"""

from __future__ import annotations

import itertools
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from types import MappingProxyType

import pytest

from builder import mkdocs_plugin
from builder.beside import Prepared, prepare
from builder.mkdocs_plugin import build
from builder.plain_folder import write_plain_folder
from builder.prose import care_of, read_prose
from builder.site import site_of
from builder.workshop import Workshop, open_shop
from tests.privacy.generated_shops import public_part, write
from tests.privacy.test_non_interference import NAMES, WITH_EVERYTHING, varied
from tests.shops import files_below, forget_what_was_made


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    base = tmp_path_factory.mktemp("written")
    return (base / f"{'y' * (number % 5)}{number}" for number in itertools.count())


def a_shop(seed: int, folder: Path, *, public: int = WITH_EVERYTHING, names: Iterable[str] = NAMES) -> Path:
    """One of the shops that differ in everything a buyer may not see."""
    return write(varied(public_part(public), names, str(seed)), folder)


def built(shop: Path, into: Path) -> dict[str, bytes]:
    """The buyer's edition as MkDocs writes it, less the files of unlisted instruments."""
    prepared = prepare(open_shop(shop, private_files=False), "buyer")
    assert not prepared.has_errors
    build(shop, prepared, "buyer", into)
    return without_unlisted(into, prepared.workshop)


def without_unlisted(site: Path, workshop: Workshop) -> dict[str, bytes]:
    endings = [each.address_ending for each in workshop.instruments if each.record.is_unlisted and each.address_ending]
    files = files_below(site)
    return {name: content for name, content in files.items() if not any(ending in name for ending in endings)}


def test_the_plain_folder_is_written_from_the_list_alone(folders: Iterator[Path]) -> None:
    shop, target = a_shop(1, next(folders)), next(folders)
    prepared = prepare(open_shop(shop, private_files=False), "buyer")
    pages = shop / "records" / "pages"
    site, prose = site_of(prepared, care=care_of(pages)), read_prose(pages)
    write_plain_folder(site, prose, target)
    before = files_below(target)
    shutil.rmtree(shop / "records")
    (shop / "mkdocs.yml").unlink()
    write_plain_folder(site, tuple(each for each in prose if not each.is_draft), target)
    assert files_below(target) == before
    assert len(before) > 20


def test_mkdocs_writes_from_the_list_and_the_pages_alone(
    folders: Iterator[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Everything but pages that are no drafts is taken away, and the plugin gets a shop with nothing in it."""
    shop = a_shop(1, next(folders))
    before = built(shop, next(folders))
    prepared = prepare(open_shop(shop, private_files=False), "buyer")
    pages = shop / "records" / "pages"
    site = site_of(prepared, care=care_of(pages))
    wanted = {pages / each.path for each in read_prose(pages) if not each.is_draft}
    for path in [path for path in (shop / "records").rglob("*") if path.is_file()]:
        if path not in wanted:
            path.unlink()
    nothing = Prepared(Workshop(None, (), (), folder=shop), MappingProxyType({}), (), ())
    monkeypatch.setattr(mkdocs_plugin, "site_of", lambda *_, **__: site)
    into = next(folders)
    build(shop, nothing, "buyer", into)
    assert without_unlisted(into, prepared.workshop) == before


@pytest.mark.parametrize(("public", "seed"), [(0, 1), (2, 2), (5, 3), (9, 4), (11, 5)])
def test_mkdocs_writes_the_same_bytes_for_shops_that_differ_in_what_is_kept(
    folders: Iterator[Path], public: int, seed: int
) -> None:
    one = built(a_shop(seed, next(folders), public=public), next(folders))
    forget_what_was_made()
    other = built(a_shop(seed + 100, next(folders), public=public), next(folders))
    assert one.keys() == other.keys()
    assert [name for name in one if one[name] != other[name]] == []


#: Builds a shop's site, as it is and as if it were another year.
NOW = """
import sys
from builder.command_line import main
sys.argv = ["boutbook", "build"]
main()
"""
IN_ANOTHER_YEAR = f"""
import datetime, time
SHIFT = 900 * 86_400
real, real_ns, local, utc = time.time, time.time_ns, time.localtime, time.gmtime
time.time = lambda: real() + SHIFT
time.time_ns = lambda: real_ns() + SHIFT * 10**9
time.localtime = lambda seconds=None: local(real() + SHIFT if seconds is None else seconds)
time.gmtime = lambda seconds=None: utc(real() + SHIFT if seconds is None else seconds)
class Shifted(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        return cls.fromtimestamp(time.time(), tz)
    @classmethod
    def utcnow(cls):
        return cls.fromtimestamp(time.time(), datetime.UTC).replace(tzinfo=None)
    today = now
datetime.datetime = Shifted
{NOW}"""


def test_another_clock_place_language_and_seed_change_nothing(folders: Iterator[Path]) -> None:
    usual = {"TZ": "UTC", "PYTHONHASHSEED": "1", "LC_ALL": "C.UTF-8", "COLUMNS": "80"}
    unusual = {"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "77", "LC_ALL": "C", "COLUMNS": "200", "NO_COLOR": "1"}
    sites = []
    for seed, program, surroundings, umask in ((1, NOW, usual, 0o022), (2, IN_ANOTHER_YEAR, unusual, 0o077)):
        shop = a_shop(seed, next(folders))
        done = subprocess.run(
            [sys.executable, "-c", program], cwd=shop, env=os.environ | surroundings, umask=umask,
            capture_output=True, text=True, check=False, timeout=120,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        sites.append(without_unlisted(shop / "site", open_shop(shop, private_files=False)))
    one, other = sites
    assert one.keys() == other.keys()
    assert [name for name in one if one[name] != other[name]] == []
