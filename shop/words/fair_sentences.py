"""The sentences for problems of fairs."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

FAIR: Final[dict[str, str]] = {
    "fair.unknown": mark("There is no fair No. %(number)s."),
    "fair.changed": mark("This fair was changed in another window since this page was loaded. Load it again first."),
    "fair.state": mark("Fair No. %(number)s is no longer in a state for that. Load the page again and look."),
    "fair.backwards": mark("The last day lies before the first."),
    "fair.long": mark("A fair lasts %(most)s days at most."),
    "fair.points": mark("At most %(most)s round prices can be given."),
    "fair.point": mark("A round price must be more than nothing."),
    "fair.none_packed": mark("No rug is packed for fair No. %(number)s yet."),
    "fair.packed": mark("Rugs are still packed for fair No. %(number)s. Unpack them first."),
}
