"""Private links: whoever has one may see what it opens, and nobody can guess one.

The secret part is made from the shop's key and a number that the thing has of its own, so that it can be shown again without
being kept, and is another as soon as that number is.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets


def fresh_secret() -> str:
    """A number of its own for something that gets a private link; another one ends the link there was."""
    return secrets.token_hex(16)


def secret_part(key: bytes, *, to: str, secret: str) -> str:
    """The secret part of a private link: 256 bits that nobody can guess without the shop's key.

    Args:
        key: the shop's.
        to: what kind of thing it opens, so that a link to one opens no other.
        secret: as ``fresh_secret`` gave it.
    """
    digest = hmac.new(key, f"{to}.{secret}".encode(), hashlib.sha256).digest()
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()


def is_the_same(known: str, given: str) -> bool:
    """Whether somebody gave the secret part that is known, told in a time that betrays nothing of it."""
    return bool(known) and hmac.compare_digest(known.encode(), given.encode())
