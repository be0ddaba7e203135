"""What becomes of letters, in the shop's words."""

from __future__ import annotations

from typing import Final

from shop.core.letter import LetterState, Trouble
from shop.words import mark

LETTER_STATES: Final[dict[LetterState, str]] = {
    LetterState.WAITING: mark("waits to be sent"),
    LetterState.SENDING: mark("is on its way"),
    LetterState.SENT: mark("sent"),
    LetterState.FAILED: mark("not sent"),
    LetterState.UNCERTAIN: mark("perhaps sent"),
    LetterState.LET_GO: mark("left unsent"),
}
TROUBLES: Final[dict[Trouble, str]] = {
    Trouble.UNREACHABLE: mark("The mail server cannot be reached."),
    Trouble.NO_TLS: mark("The mail server offers no encryption that can be trusted."),
    Trouble.SIGN_IN: mark("The mail server does not accept the name and password."),
    Trouble.SENDER: mark("The mail server does not accept the sender."),
    Trouble.RECIPIENT: mark("The mail server does not accept the address."),
    Trouble.CONTENT: mark("The mail server does not accept the letter."),
    Trouble.DROPPED: mark("The line broke before the letter was through."),
    Trouble.UNANSWERED: mark("The mail server had the letter and did not answer. Ask the customer before you send it again."),
    Trouble.BROKEN_OFF: mark("The sending was broken off. Ask the customer before you send it again."),
}
