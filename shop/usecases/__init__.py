"""What a person can do in the shop: one function, one verb, one transaction; the time is passed in.

A use case takes the ``Store`` first and everything else by keyword, and gives frozen values. It raises a
``Refusal`` holding every problem that it found, and then nothing has been changed.
"""

from shop.store.engine import Store, StoreUnavailable

__all__ = ["Store", "StoreUnavailable"]
