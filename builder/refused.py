"""A file of the maker's that cannot be used, told without the name of the file, which only its reader knows."""

from __future__ import annotations


class Refused(Exception):
    """Why a file cannot be used: the problem's code, what is wrong without its subject, what to do."""

    def __init__(self, code: str, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.code, self.message, self.hint = code, message, hint
