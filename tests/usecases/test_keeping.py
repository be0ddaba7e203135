"""What is known of a piece is corrected; what it cost and where it went stays."""

from dataclasses import replace
from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.cloth import Fibre
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.measure import Length, Weight
from shop.usecases import keeping, piece
from shop.usecases.given import fresh_token
from shop.usecases.keeping import FactsGiven
from shop.usecases.ledger import prove
from tests.builders import a_cone, a_job, a_piece_in_hand, a_ready_piece, codes, drawn, inches, money

FACTS = FactsGiven(
    name="Navy sheet",
    colour="#112244",
    cloth="denim",
    fibres=(("cotton", Decimal("0.6")), ("polyester", Decimal("0.4"))),
    tears=False,
    condition="worn",
    kept="Shelf C",
    width=inches(70),
    length=inches(90),
)


def correct(store, now, revision=1, number=1, saving=None, **changed):
    facts = replace(FACTS, **changed)
    return keeping.correct(
        store, number=number, facts=facts, revision=revision, saving=saving or fresh_token(), now=now
    )


def refused_as(what, *found, error=Refusal):
    with pytest.raises(error) as refused:
        what()
    assert codes(refused) == set(found)


def test_all_that_is_known_is_corrected_and_the_cost_stays(store, now):
    a_piece_in_hand(store, now)
    assert keeping.size_is_open(piece.piece(store, number=1))
    correct(store, now, weight=Weight.of(800, "g"))
    card = piece.piece(store, number=1)
    assert (card.name, card.colour, card.cloth, card.tears, card.kept) == (
        "Navy sheet", "#112244", "denim", False, "Shelf C",
    )  # fmt: skip
    assert card.fibres == ((Fibre.COTTON, Decimal("0.6")), (Fibre.POLYESTER, Decimal("0.4")))
    assert (card.width, card.length, card.weight) == (inches(70), inches(90), Weight.of(800, "g"))
    assert (card.cost, card.left, card.revision) == (money("4.00"), 1, 2)
    assert [found.number for found in piece.pieces(store, words="navy").pieces] == [1]
    assert piece.pieces(store, words="striped").pieces == ()
    assert prove(store).holds


def test_a_size_that_shares_were_reckoned_from_stays(store, now):
    a_ready_piece(store, now)
    a_job(store, now)
    drawn(store, now, 1, 1, Share(Decimal("0.5")))
    card = piece.piece(store, number=1)
    assert not keeping.size_is_open(card)
    refused_as(lambda: correct(store, now), ("facts.width", "piece.size_fixed"))
    assert piece.piece(store, number=1).name == "Blue striped sheet"
    assert correct(store, now, width=card.width, length=card.length).name == "Navy sheet"


def test_a_cone_keeps_its_run_and_weight(store, now):
    cone = a_ready_piece(store, now, a_cone())
    facts = {"cloth": "", "width": cone.width, "length": cone.length, "weight": Weight.of(1, "kg")}
    card = correct(store, now, name="Ecru warp", **facts)
    assert (card.name, card.weight, card.length) == ("Ecru warp", Weight.of(500, "g"), cone.length)


@pytest.mark.parametrize(
    ("changed", "problem"),
    [
        ({"name": " "}, ("facts.name", "text.missing")),
        ({"name": "x" * 10_000}, ("facts.name", "text.long")),
        ({"kept": "a\x00b"}, ("facts.kept", "text.control")),
        ({"colour": "blue"}, ("facts.colour", "colour.unreadable")),
        ({"cloth": "plaid"}, ("facts.cloth", "choice.unknown")),
        ({"condition": "odd"}, ("facts.condition", "choice.unknown")),
        ({"fibres": (("gold", Decimal(1)),)}, ("facts.fibres", "choice.unknown")),
        ({"fibres": (("cotton", Decimal("0.5")),)}, ("facts.fibres", "fibre.sum")),
        ({"fibres": (("cotton", Decimal("0.5")),) * 2}, ("facts.fibres", "fibre.twice")),
        ({"grams_per_m2": Decimal(5)}, ("facts.grams_per_m2", "cloth_weight.range")),
        ({"width": Length(0)}, ("facts.width", "length.small")),
        ({"length": Length.of(1000, "m")}, ("facts.length", "length.most")),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(sqlite_store, now, changed, problem):
    before = a_piece_in_hand(sqlite_store, now)
    refused_as(lambda: correct(sqlite_store, now, **changed), problem)
    assert piece.piece(sqlite_store, number=1) == before


def test_everything_wrong_is_told_at_once(store, now):
    a_piece_in_hand(store, now)
    refused_as(
        lambda: correct(store, now, name="", condition="odd"),
        ("facts.name", "text.missing"),
        ("facts.condition", "choice.unknown"),
    )


def test_what_was_corrected_in_another_window_is_not_overwritten(store, now):
    a_piece_in_hand(store, now)
    correct(store, now)
    refused_as(lambda: correct(store, now, name="Other"), ("", "piece.changed"), error=Clash)
    assert piece.piece(store, number=1).name == "Navy sheet"
    refused_as(lambda: correct(store, now, number=99), ("", "piece.unknown"), error=NotFound)


def test_the_same_press_twice_is_one_correction(store, now):
    a_piece_in_hand(store, now)
    token = fresh_token()
    assert correct(store, now, saving=token) == correct(store, now, saving=token)
    with pytest.raises(Clash):
        correct(store, now, saving=token, name="Other")
    assert piece.piece(store, number=1).revision == 2
