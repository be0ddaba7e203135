"""The sentences for problems of the fabric ledger: amounts, draws, jobs, cutting in two, and what its proof finds."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

AMOUNT: Final[dict[str, str]] = {
    "amount.none": mark("Say how much: this comes to nothing."),
    "amount.way": mark("Say how much in one of the ways on the page."),
    "amount.gone": mark("Nothing is left of it."),
    "amount.more": mark("That is %(percent)s of the piece, and only %(share)s is left. Take all that is left, or less."),
    "amount.share": mark("A share lies between nothing and 100%%."),
    "amount.scale": mark("It cannot weigh more after than before. Did the two weights change places?"),
    "amount.cloth": mark("Cloth is not measured by its run: say strips, an area, a weight or a share."),
    "amount.yarn": mark("Yarn is not measured by strips or area: say a length, a weight or a share."),
    "amount.waste": mark("What is left of it in the job was called usual waste before."),
    "ledger.nothing": mark("Say how much: this comes to nothing."),
    "ledger.more": mark("That is more than there is."),
    "ledger.leaning": mark("Something later leans on that entry. Undo the later entries first, newest first."),
    "step.leaning": mark("Something later leans on that entry. Undo the later entries first, newest first."),
    "step.job": mark("Job %(number)s takes no more cloth. Take it up again first."),
}
PIECE: Final[dict[str, str]] = {
    "piece.to_wash": mark("Piece %(number)s is set aside to wash. Mark it washed, dried and ready first."),
    "piece.yarn": mark("Piece %(number)s is a cone of yarn, not cloth."),
    "piece.changed": mark(
        "Piece %(number)s was corrected in another window since this page was loaded. Load it again first."
    ),
    "piece.size_fixed": mark(
        "Some of it has gone somewhere, and how much was reckoned from this size. It stays."
    ),
    "shelf.size": mark("No loom here makes a rug of that size."),
    "split.all": mark("Nothing would stay of the piece that it is cut from."),
    "split.wide": mark("It cannot be wider or longer than the piece that it is cut from."),
    "haul.gone": mark("Nothing is left of this haul that a cost could be laid on."),
    "money.zero": mark("Say what it cost."),
    "cone.weight": mark("Yarn is bought by weight: put the cone on a scale, or read its band."),
    "cone.size": mark("A cone of yarn has neither width nor length. Leave them empty."),
    "cone.area": mark("Yarn covers no area, so this haul cannot be spread by area. Take price, weight or evenly."),
}
HABIT: Final[dict[str, str]] = {
    "habit.changed": mark("The rule was changed in another window since this page was loaded. Load it again first."),
}
JOB: Final[dict[str, str]] = {
    "job.unknown": mark("There is no job %(number)s here."),
    "job.closed": mark("Job %(number)s takes no more cloth: its rug is done, or it was called off."),
    "job.open": mark("Job %(number)s is open already."),
    "job.empty": mark("No cloth is in job %(number)s yet, so there is no rug."),
    "job.full": mark("Cloth is still in job %(number)s. Give it back to the shelf, or write it off, before you call it off."),
    "job.handed_over": mark("The rug of job %(number)s has left the shop."),
    "job.piece_gone": mark("Nothing of piece %(number)s is in this job."),
}
PROOF: Final[dict[str, str]] = {
    "ledger.unreadable": mark("cannot be read"),
    "ledger.negative": mark("moves less than nothing"),
    "ledger.job": mark("names a job where none belongs, or none where one does"),
    "ledger.route": mark("goes a way that its kind cannot go"),
    "ledger.whole": mark("does not bring a whole piece, as its kind does, or brings cloth where only a cost comes"),
    "ledger.unfair": mark("takes another cost along than its share of what piece %(piece)s cost"),
    "ledger.missing": mark("is named by others, and is not there"),
    "ledger.unpaired": mark("undoes an entry that is not there, or that undoes another"),
    "ledger.twice": mark("undoes entry %(named)s, which has been undone before"),
    "ledger.differs": mark("does not undo entry %(named)s exactly"),
    "ledger.below": mark("takes more from piece %(piece)s than is there"),
    "ledger.half_cut": mark("cuts a piece in two, and the cost of both parts is not that of the whole"),
    "ledger.never_came": mark("has no entry of coming home"),
    "ledger.balance": mark("does not stand at what its entries come to"),
    "ledger.cost": mark("does not stand at the cost that its entries come to"),
    "ledger.state": mark("is not in the state that its entries leave it in"),
    "ledger.receipt": mark("does not come to what its pieces cost together"),
    "ledger.sum": mark("together do not add up to what was paid"),
}
LEDGER: Final[dict[str, str]] = {**AMOUNT, **PIECE, **JOB, **HABIT, **PROOF}
