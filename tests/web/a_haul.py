"""A haul as it is typed into its form, and what an answer says to a reader."""

import html

from shop.usecases import piece

NEW = "/cloth/hauls/new"


def a_haul_typed(**changed):
    """A haul as it is typed: a sheet of a customary size, and two alike that were measured."""
    typed = {
        "haul-place": "Jumble sale",
        "haul-on": "2026-03-14",
        "haul-tax": "1.00",
        "haul-trip": "2.50",
        "haul-discount": "1.01",
        "haul-spread_by": "price",
        **a_piece_typed(0, name="Rose sheet", sheet="twin", paid="3", width="", length=""),
        **a_piece_typed(1, name="Blue blanket", paid="4.25", count="2", tears="yes"),
    }
    return {key: value for key, value in {**typed, **changed}.items() if value is not None}


def a_piece_typed(row, **changed):
    given = {"name": "Sheet", "colour": "#5577aa", "width": "60", "length": "80", "paid": "4", "count": "1"}
    return {f"haul-pieces-{row}-{name}": text for name, text in {**given, **changed}.items()}


def nothing_is_home(store):
    return not piece.pieces(store, shown="all").pieces


def said(response):
    """The text of an answer, its signs as a reader sees them."""
    return html.unescape(response.get_data(as_text=True))
