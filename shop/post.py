"""The post office: hands letters to the mail server named in the settings. Nothing else here speaks SMTP.

The conversation is led step by step, so that at its end it is known which of three came of it: the server has taken the letter,
has certainly not taken it (``NotSent``), or has had all of it and never answered (``Unanswered``). Words of the server are
passed on without the password, and those said at sign-in not at all.
"""

from __future__ import annotations

import re
import smtplib
import ssl
from collections.abc import Callable
from contextlib import suppress
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from functools import partial
from typing import Final

from shop.core.letter import Letter, NotSent, Trouble, Unanswered, sender, wire_address
from shop.settings import Settings

TIMEOUT: Final = 30.0
"""Seconds that the server has for each of its answers."""
_PLAIN: Final = SMTP.clone(cte_type="7bit")
"""Every server can carry it."""


def post_office(
    settings: Settings, *, timeout: float = TIMEOUT, trust: ssl.SSLContext | None = None
) -> Callable[[Letter], None] | None:
    """What sends a letter through the shop's mail server; ``None`` when no server is set.

    Args:
        settings: the ``smtp_`` ones and ``mail_from``.
        timeout: seconds for each answer of the server.
        trust: whose certificates are trusted; those that this machine trusts, where nothing is said.
    """
    origin = sender(settings.mail_from)
    if not settings.smtp_host or origin is None:
        return None

    def send(letter: Letter) -> None:
        written = message(letter, origin)
        server = _reached(settings, origin[1].rpartition("@")[2], timeout)
        try:
            _introduced(server, settings, trust)
            _handed_over(server, letter, origin[1], written, settings.smtp_password)
        finally:
            with suppress(smtplib.SMTPException, OSError):  # how the parting goes changes nothing
                server.quit()
            server.close()

    return send


def message(letter: Letter, origin: tuple[str, str]) -> bytes:
    """The letter as it goes over the line, in seven bits; ``origin`` is the sender's name and address."""
    to = wire_address(letter.to)
    if to is None:
        raise NotSent(Trouble.RECIPIENT, forever=True)
    written = EmailMessage(_PLAIN)
    try:
        written["From"] = Address(origin[0], addr_spec=origin[1])
        written["To"] = Address(addr_spec=to)
        written["Subject"] = letter.subject
        written["Date"] = letter.written_at
        written["Message-ID"] = letter.message_id
        written.set_content(letter.body)
        return written.as_bytes()
    except ValueError:  # a line's end within a head, or signs that are none
        raise NotSent(Trouble.CONTENT, forever=True) from None


def _reached(settings: Settings, name: str, timeout: float) -> smtplib.SMTP:
    try:
        return smtplib.SMTP(settings.smtp_host, settings.smtp_port, local_hostname=name, timeout=timeout)
    except (smtplib.SMTPException, OSError, UnicodeError) as error:
        raise NotSent(Trouble.UNREACHABLE, _told(error), with_server=True) from None


def _told(error: Exception) -> str:
    """What the system says of a line that could not be had; never what was said over it."""
    return (error.strerror or "") if isinstance(error, OSError) and not isinstance(error, smtplib.SMTPException) else ""


def _introduced(server: smtplib.SMTP, settings: Settings, trust: ssl.SSLContext | None) -> None:
    """Greeting, TLS if it is wished, and sign-in. Without the TLS that was wished for, the password is not said."""
    try:
        server.ehlo_or_helo_if_needed()
        if settings.smtp_start_tls:
            server.starttls(context=trust or ssl.create_default_context())
            server.ehlo_or_helo_if_needed()
    except (smtplib.SMTPNotSupportedError, smtplib.SMTPResponseException, ssl.SSLError):
        raise NotSent(Trouble.NO_TLS if settings.smtp_start_tls else Trouble.UNREACHABLE, with_server=True) from None
    except (smtplib.SMTPException, OSError) as error:
        raise NotSent(Trouble.DROPPED, _told(error), with_server=True) from None
    if not settings.smtp_user:
        return
    try:
        server.login(settings.smtp_user, settings.smtp_password)
    except smtplib.SMTPServerDisconnected:
        raise NotSent(Trouble.DROPPED, with_server=True) from None
    except smtplib.SMTPResponseException as error:
        raise NotSent(Trouble.SIGN_IN, str(error.smtp_code), with_server=True) from None
    except (smtplib.SMTPException, OSError, UnicodeError):
        raise NotSent(Trouble.SIGN_IN, with_server=True) from None


def _handed_over(server: smtplib.SMTP, letter: Letter, origin: str, written: bytes, password: str) -> None:
    to = wire_address(letter.to) or ""
    steps: tuple[tuple[Trouble, int, Callable[[], tuple[int, bytes]]], ...] = (
        (Trouble.SENDER, 2, partial(server.mail, origin)),
        (Trouble.RECIPIENT, 2, partial(server.rcpt, to)),
        (Trouble.CONTENT, 3, partial(server.docmd, "DATA")),
    )
    try:
        for trouble, hoped_for, say in steps:
            code, reply = say()
            if code // 100 != hoped_for:
                raise _refused(trouble, code, reply, password)
        server.send(re.sub(rb"(?m)^\.", b"..", written) + b".\r\n")
    except (smtplib.SMTPException, OSError, UnicodeError):  # the end of the letter has not gone out whole
        raise NotSent(Trouble.DROPPED) from None
    try:
        code, reply = server.getreply()
    except (smtplib.SMTPException, OSError):
        raise Unanswered from None
    if code // 100 in (4, 5):
        raise _refused(Trouble.CONTENT, code, reply, password)
    if code // 100 != 2:
        raise Unanswered


def _refused(trouble: Trouble, code: int, reply: bytes, password: str) -> NotSent:
    """A refusal of the server's; forever where its number says so and it lies with the letter, not with the sender."""
    words = reply.decode("utf-8", "replace")
    if password:
        words = words.replace(password, "***")
    forever = code // 100 == 5 and trouble is not Trouble.SENDER
    return NotSent(trouble, f"{code} {words}".strip(), forever=forever, with_server=trouble is Trouble.SENDER or code == 421)
