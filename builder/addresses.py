"""Every address of the site, decided here once: they are printed on certificates and must hold for decades."""

from __future__ import annotations

import posixpath

HOME = "index.html"
INSTRUMENTS = "instruments/index.html"
BENCH = "bench/index.html"
ORDERS = "bench/orders.html"
RACK = "bench/wood-rack.html"
HISTORY = "bench/history.html"
REPAIRS = "bench/repairs.html"
CARE = "care.html"
REFERENCE = "what-may-be-written.html"
METHODS = "how-the-numbers-are-worked.html"
THEME = "assets/boutbook"
FOR_MATERIAL = f"{THEME}/material.css"
STYLESHEETS = (f"{THEME}/fonts.css", f"{THEME}/boutbook.css", FOR_MATERIAL)
COMPARE = f"{THEME}/compare.js"
FIND = f"{THEME}/find.js"
WORKER_OVER_FILE = f"{THEME}/iframe-worker.js"
#: The shop's own picture.
MARK = "assets/mark.png"
FAVICON = f"{THEME}/images/favicon.svg"
#: What is shown beside a link to a page that is of no one instrument.
LINK_PICTURE_OF_THE_SHOP = "link-picture.png"


def instrument_page(address: str) -> str:
    """Address of an instrument's page, from the root of the site."""
    return f"instruments/{address}.html"


def bench_page(serial: str) -> str:
    """Address of what the bench needs of an instrument, in the shop edition."""
    return f"bench/{serial}.html"


def paper(address: str, name: str) -> str:
    """Address of a paper of an instrument, such as `fret-template.pdf`, from the root of the site."""
    return f"papers/{address}-{name}"


def certificate(address: str) -> str:
    """Address of an instrument's certificate, from the root of the site."""
    return f"certificates/{address}.html"


def photo(address: str, number: int, width_px: int) -> str:
    """Address of a picture of an instrument, from the root of the site; it tells nothing of the file it is made of."""
    return f"photos/{address}-{number}-{width_px}.jpg"


def recording(address: str, number: int, ending: str) -> str:
    """Address of a recording of an instrument, from the root of the site; it tells nothing of the maker's file."""
    return f"recordings/{address}-{number}.{ending}"


def link_picture(address: str, *, with_photo: bool) -> str:
    """Address of the picture that is shown beside a link to an instrument's page, from the root of the site."""
    return f"link-pictures/{address}.{'jpg' if with_photo else 'png'}"


def on_the_web(path: str, site_address: str | None) -> str | None:
    """The whole address of something on the site, where the shop has said at which address the site stands."""
    return f"{site_address.rstrip('/')}/{path}" if site_address else None


def from_page(page: str, target: str) -> str:
    """How a page links to a target, so that it works from a server, a folder or a USB stick alike."""
    path, hash_sign, fragment = target.partition("#")
    relative = posixpath.relpath(path, posixpath.dirname(page)) if path else ""
    return f"{relative}{hash_sign}{fragment}"
