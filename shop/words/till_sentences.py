"""Sentences about the till: what a phone sent, the desk, receipts."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

TILL: Final[dict[str, str]] = {
    "till.unknown": mark("This phone may not sell here, or not any more. Open it again from the fair’s till at home."),
    "till.phone": mark("There is no such phone at this fair."),
    "till.phones": mark("A fair has at most %(most)s phones. Give one of them another name instead."),
    "till.picture": mark("There is no such picture here."),
    "till.sold": mark("Rug %(number)s is sold already. Undo that sale first, or correct the number."),
    "till.many": mark("One sale has at most %(most)s rugs. Type the rest in as another sale."),
    "till.no_price": mark("One of the rugs has no price. Say what they went for together."),
    "sale.settled": mark("Sale %(number)s is not in doubt any more. Load the page again."),
    "wish.unknown": mark("There is no such wish here."),
    "receipt.unknown": mark("There is no receipt here yet. A phone at a fair sends its sales once it has signal; try again in the evening."),
    "entry.key": mark("It came without a key of its own, so that it could not be told from another."),
    "entry.large": mark("It is too large."),
    "entry.many": mark("At most %(most)s entries are taken at once."),
    "entry.fields": mark("It is not made as an entry of a till is."),
    "entry.time": mark("It does not say when it happened."),
    "entry.what": mark("It does not say what it is."),
    "entry.value": mark("Its “%(name)s” cannot be read."),
    "entry.currency": mark("It is not in %(currency)s."),
    "entry.twice": mark("It has the same rug twice."),
    "entry.sum": mark("Its sums do not add up."),
    "entry.undo": mark("It does not say rightly which sale is undone."),
    "entry.sale_key": mark("Its key leaves no room for the key of its undoing."),
    "entry.rug": mark("It names a rug that the shop does not know."),
    "entry.other": mark("Something else came before under the same key."),
    "entry.unknown": mark("There is no such entry here."),
}
