"""Sentences about cutting plans, job cards, and whether the strip reaches."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

PLANS: Final[dict[str, str]] = {
    "job.unreadable": mark("What the rug of job %(number)s was planned from can no longer be read. Begin the job again from a quote."),
    "plan.no_job": mark("Choose at least one job to plan for."),
    "plan.many_jobs": mark("Plan for at most %(most)s jobs at once."),
    "plan.no_rug": mark("Job %(number)s was begun without a quote, so nobody knows what its rug needs. Begin it from a quote."),
    "plan.unlike": mark(
        "These rugs are not cut alike: the width of a strip, the joins or the tool differ. Plan them one after the other."
    ),
    "plan.nothing": mark("There is nothing in this plan to hold. Let other cloth serve, or bring some home first."),
    "plan.taken": mark("%(name)s (No. %(number)s) no longer gives so many strips: some of it was used or held meanwhile. Plan again."),
    "plan.stranger": mark("This plan does not fit the jobs and the cloth any more. Plan again."),
    "cut.unknown": mark("That line of the cut list is not there any more."),
    "cut.range": mark("Between none and %(most)s strips are planned here."),
    "cut.drawn": mark("These strips are in the job already."),
    "cut.none": mark("Say how many strips were cut, at least one."),
    "cut.beyond": mark("%(name)s gives at most %(most)s such strips now."),
    "rows.range": mark("The rug has %(most)s rows; write a number from 0 to that."),
    "reach.done": mark("More rows are woven than the rug has of this cloth."),
    "reach.left": mark("More strip is left than was cut. Correct one of the two."),
    "reach.twice": mark("Say what is left in one way: a length, a weight, or bobbins."),
    "reach.nothing": mark("Say how much strip is left of at least one cloth."),
}
