"""The sentences for problems of finished rugs: where they are, their sales, outlets, and what is printed for them."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

RUG: Final[dict[str, str]] = {
    "rug.unknown": mark("There is no rug %(number)s here."),
    "rug.changed": mark("Rug %(number)s was changed in another window since this page was loaded. Load it again first."),
    "rug.of_job": mark("The rug of job %(number)s is for sale. Take it off the rugs for sale first, on its page, while it has gone nowhere."),
    "rug.ordered": mark("Job %(number)s is for a customer. Hand its rug over, or cancel the order first."),
    "rug.no_job": mark("Rug %(number)s was entered by hand, and did not come of a job."),
    "rug.moved": mark("Rug %(number)s has gone somewhere already, so it stays among the rugs."),
    "rug.sold": mark("Rug %(number)s is sold already."),
    "rug.gone": mark("Rug %(number)s is given away or lost."),
    "rug.elsewhere": mark("Rug %(number)s is not there: it is packed for a fair, at an outlet, or at home. Its page says where."),
    "rug.not_away": mark("Rug %(number)s is not there to be taken back."),
    "rug.twice": mark("A rug is named twice."),
    "rug.none": mark("Choose at least one rug."),
    "rug.no_photograph": mark("This rug has no photograph."),
    "rug.numbers": mark("“%(text)s” is not the number of a rug. Write numbers like 3-9, 12."),
    "rug.no_numbers": mark("Say which rugs: write their numbers, like 3-9, 12."),
    "rug.many": mark("At most %(most)s rugs can be printed in one go."),
    "rug.missing": mark("There is no rug %(text)s here."),
    "rug.code": mark("So long an address makes a code too fine to read on so small a tag. Choose larger tags, or a shorter address."),
}
PLACES: Final[dict[str, str]] = {
    "fair.over": mark("The fair %(name)s is over or called off, so nothing is packed for it."),
    "outlet.unknown": mark("There is no such outlet here."),
    "outlet.changed": mark("%(name)s was changed in another window since this page was loaded. Load it again first."),
    "outlet.closed": mark("Nothing is sent to %(name)s any more. Open it again first."),
    "outlet.full": mark("%(name)s still has rugs. Take them back first, or note what was sold."),
    "sale.unknown": mark("There is no such sale here."),
    "sale.undone": mark("Sale %(number)s is undone already."),
}
RUGS: Final[dict[str, str]] = {**RUG, **PLACES}
"""The sentence for each problem, by its code."""
