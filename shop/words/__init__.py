"""Values into sentences: the shop's language, its way of writing numbers, and its units.

One mechanism for pages, papers and the command: a ``Words``.
"""

from shop.words.catalogue import languages, mark
from shop.words.words import Words

__all__ = ["Words", "languages", "mark"]
