"""Sentences about customers and offers."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

OFFERS: Final[dict[str, str]] = {
    "customer.unknown": mark("There is no customer %(number)s here."),
    "customer.changed": mark("Customer %(number)s was changed in another window since this page was loaded. Load it again first."),
    "customer.mail": mark("“%(text)s” is no e-mail address. Write it as name@example.org."),
    "customer.itself": mark("That is the same customer."),
    "customer.gone": mark("That customer was merged into another or erased. Choose another."),
    "customer.open": mark("An offer to customer %(number)s can still be accepted. Take it back first."),
    "offer.unknown": mark("There is no such offer here, or its link has ended. Ask the weaver for a new one."),
    "offer.no_paper": mark("The paper was taken away with the customer’s name."),
    "offer.past": mark("That day is past."),
    "offer.agreed": mark("Quote %(number)s has been agreed to. Make a new one like it."),
    "offer.closed": mark("This offer can no longer be answered. Write to the weaver."),
    "offer.other": mark("The offer is not the one that you read. Read it again first."),
    "offer.asked": mark("So many questions are better asked by telephone or letter."),
}
