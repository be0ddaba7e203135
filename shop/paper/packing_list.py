"""A packing list: every rug with a box to tick, how many there are, what they weigh and are to bring; and what else to take."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.paper.price_list import ListedRug, listed_texts
from shop.words import Words


def packing_list_pdf(
    rugs: Sequence[ListedRug],
    *,
    title: str = "",
    together: str,
    weight: str = "",
    also: Sequence[str] = (),
    shop: ShopHead,
    day: date,
    words: Words,
) -> bytes:
    """The list as a PDF, over as many pages as it takes.

    Args:
        rugs: in the order in which they are listed.
        title: such as the name of a fair and its days.
        together: what they are to bring together; ``weight`` what they weigh, empty where that is not known.
        weight: see there.
        also: what else to take along, each with a box to tick.
        shop: whose they are.
        day: the day on it.
        words: the shop's.
    """
    texts = packing_list_texts(
        rugs, title=title, together=together, weight=weight, also=also, shop=shop, day=day, words=words
    )
    return printed("packing_list", texts, day=day, note=missing_note(words))


def packing_list_texts(
    rugs: Sequence[ListedRug],
    *,
    title: str = "",
    together: str,
    weight: str = "",
    also: Sequence[str] = (),
    shop: ShopHead,
    day: date,
    words: Words,
) -> Texts:
    """Everything that stands on the list."""
    say = words.say
    heading = say("Packing list")
    sums = [words.say_n("%(n)s rug to pack", "%(n)s rugs to pack", len(rugs)), weight, together]
    return {
        **sheet_texts(shop, words, title=say("Packing list of %(shop)s", shop=shop.name), foot=f"{shop.name} · {heading}"),
        "heading": heading,
        "about": title,
        "date": words.date(day),
        "columns": [say("Packed"), say("No."), say("Rug"), say("Size"), say("Weight"), say("Price"), say("Home again")],
        "rugs": [listed_texts(one, words) for one in rugs],
        "sums": " · ".join(part for part in sums if part),
        "also_heading": say("And also"),
        "also": list(also),
    }
