"""`serve`: a saved record shows at once; while a record is broken the last good page stays, with a banner."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.shops import copy_demo

PATIENCE_SECONDS = 60


def free_port() -> int:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


@contextmanager
def serving(shop: Path, command: str) -> Iterator[str]:
    """The shop served by one of the two commands; gives the address."""
    address = f"127.0.0.1:{free_port()}"
    module, option = {"boutbook": ("builder", "--address"), "mkdocs": ("mkdocs", "--dev-addr")}[command]
    file = shop.parent / "log"
    log = file.open("wb")
    process = subprocess.Popen(
        [sys.executable, "-m", module, "serve", option, address], cwd=shop, stdout=log, stderr=log
    )
    try:
        yield f"http://{address}"
    finally:
        process.send_signal(signal.SIGINT)
        try:
            process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
        log.close()
        assert b"Traceback" not in file.read_bytes()


def page_when(address: str, holds: str, but_not: str = "\0") -> str:
    """The page once it holds one text and not the other; fails if that takes too long."""
    end = time.monotonic() + PATIENCE_SECONDS
    text = "the server did not answer"
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(address, timeout=10) as answer:
                text = answer.read().decode()
        except (urllib.error.URLError, ConnectionError, TimeoutError):
            text = "the server did not answer"
        if holds in text and but_not not in text:
            return text
        time.sleep(0.2)
    pytest.fail(f"«{holds}» did not appear at {address}: {text[:300]}")


def save(record: Path, text: str) -> None:
    """Save as an editor does, and make sure the watcher sees a new time."""
    record.write_text(text, "utf-8")
    os.utime(record)


def test_a_saved_record_shows_and_a_broken_one_leaves_the_last_good_page(tmp_path: Path) -> None:
    """By both commands, and from a shop broken from the start; side by side, since most of it is waiting."""
    stories: list[tuple[Callable[[Path, str], None], str]] = [
        (see_it_saved_broken_and_mended, "boutbook"),
        (see_it_saved_broken_and_mended, "mkdocs"),
        (see_it_broken_from_the_start_and_mended, "boutbook"),
    ]
    with ThreadPoolExecutor(len(stories)) as side_by_side:
        told = [
            side_by_side.submit(story, copy_demo(tmp_path / str(number) / "shop", only=("2024-003",)), command)
            for number, (story, command) in enumerate(stories)
        ]
    for each in told:
        each.result()


def see_it_broken_from_the_start_and_mended(shop: Path, command: str) -> None:
    """What is wrong is said on the page, which shows as soon as it is mended."""
    record = shop / "records" / "instruments" / "2024-003" / "record.yaml"
    good = record.read_text("utf-8")
    save(record, good.replace("name: Bittern", "nmae: Bittern"))
    with serving(shop, command) as address:
        page_when(f"{address}/index.html", "did you mean «name»?")
        page_when(f"{address}/assets/boutbook/boutbook.css", "--bb-ink")
        save(record, good)
        page_when(f"{address}/instruments/2024-003.html", "Bittern")


def see_it_saved_broken_and_mended(shop: Path, command: str) -> None:
    """The life of a record while its shop is served."""
    record = shop / "records" / "instruments" / "2024-003" / "record.yaml"
    good = record.read_text("utf-8")
    with serving(shop, command) as address:
        page = f"{address}/instruments/2024-003.html"
        page_when(page, "Bittern")

        save(record, good.replace("name: Bittern", "name: Little Bittern"))
        page_when(page, "Little Bittern")

        save(record, good.replace("name: Bittern", "nmae: Bittern"))
        broken = page_when(page, "did you mean «name»?")
        assert "Little Bittern" in broken
        assert 'role="alert"' in broken

        assert 'aria-label="Search"' in broken

        save(record, good)
        page_when(page, "Bittern", but_not="Little Bittern")
        page_when(page, "Bittern", but_not="did you mean")
