"""Names of the parts of a drawing, so that several drawings can stand on one page."""

from __future__ import annotations

import re
from hashlib import sha256


def id_prefix(name: str) -> str:
    """A name as the beginning of an id: letters, digits and hyphens, and another one for every other name."""
    safe = re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")
    if safe == name:
        return safe
    return f"{safe}-{sha256(name.encode()).hexdigest()[:8]}".lstrip("-")
