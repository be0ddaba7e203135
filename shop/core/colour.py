"""Colours for the shelf (placeholder until the room is finished)."""


def shelf_place(colour: str) -> int:
    """A sort key."""
    return int(colour[1:], 16)
