"""Broken links of a built site are found, and good ones are left in peace."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.links import broken_links

GOOD = """<h1 id="top">Home</h1>
<a href="#top">up</a> <a href="below/page.html#there">down</a> <a href="https://example.org/x#y">out</a>
<a href="mailto:a@example.org">write</a>
<img src="pictures/a%20b.png" srcset="pictures/a%20b.png 1x, pictures/c.png 2x" alt="">"""


@pytest.fixture
def site(tmp_path: Path) -> Path:
    (tmp_path / "below").mkdir()
    (tmp_path / "pictures").mkdir()
    (tmp_path / "index.html").write_text(GOOD)
    (tmp_path / "below" / "page.html").write_text('<a name="there"></a><a href="../index.html">home</a>')
    for name in ("a b.png", "c.png"):
        (tmp_path / "pictures" / name).write_bytes(b"")
    return tmp_path


def test_links_that_lead_somewhere_are_no_problem(site: Path) -> None:
    assert broken_links(site) == []


@pytest.mark.parametrize(
    ("html", "why"),
    [
        ('<a href="gone.html">', "leads to gone.html, which is not there"),
        ('<a href="#gone">', "leads to a place that test.html does not have"),
        ('<a href="below/page.html#gone">', "leads to a place that below/page.html does not have"),
        ('<a href="/index.html">', "starts at the root of a server, and works in no other place"),
        ('<a href="../secret.html">', "leads out of the site"),
        ('<img src="pictures/gone.png">', "leads to pictures/gone.png, which is not there"),
        ('<img srcset="pictures/c.png 1x, pictures/d.png 2x">', "leads to pictures/d.png, which is not there"),
        ('<a href="below">', "leads to below, which is not there"),
    ],
)
def test_a_link_that_leads_nowhere_is_named_with_its_page(site: Path, html: str, why: str) -> None:
    (site / "test.html").write_text(html)
    (found,) = broken_links(site)
    assert (found.page, found.why) == ("test.html", why)
