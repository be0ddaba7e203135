"""The invented shop: told whole through the use cases, told twice without a change, and its figures its own."""

from datetime import timedelta

import pypdf
import pytest

from seed_demo import hauls, story, workroom
from shop.core.described import plan_of
from shop.core.ledger import Kind
from shop.core.reckon import reckon
from shop.core.sheet import sheet
from shop.store.base import Base
from shop.usecases import (
    account,
    bench,
    drafting,
    fabric,
    fair_reckoning,
    fair_table,
    job,
    loom,
    outlet,
    pace,
    piece,
    planning,
    quote,
    rug_card,
    rug_page,
)
from shop.usecases.ledger import prove
from shop.web.quote_papers import cost_sheet_of, customer_quote_of
from shop.words import Words

QUOTES = 10


@pytest.fixture
def demo(store, now):
    """The demo shop."""
    story.build(store, now)
    return store


def everything_in(store):
    """Every row of every table."""
    with store.engine.connect() as connection:
        return {
            table.name: sorted(map(repr, connection.execute(table.select()).all()))
            for table in Base.metadata.sorted_tables
        }


def saved_quotes(store):
    return [drafting.open_quote(store, number=line.number) for line in quote.quotes(store, limit=100).quotes]


def test_the_shop_has_all_that_a_shop_has(demo, now):
    found = bench.bench(demo)
    assert found.next_step is None
    assert {card.loom.kind for card in loom.looms(demo)} == {"frame", "shaft", "plank"}
    assert {line.basis.value for line in pace.paces(demo)} == {"measured", "setting", "guess"}
    assert account.sign_in(demo, name=story.NAME, password=story.PASSWORD, now=now).name == story.NAME


def test_its_cloth_is_in_every_state_but_used_up(demo):
    cards = piece.pieces(demo, shown="all", limit=100).pieces
    assert [card.number for card in cards] == list(range(hauls.WARP + 1, 0, -1))
    assert {card.state for card in cards} == {fabric.READY, fabric.SET_ASIDE, fabric.GIVEN_AWAY}
    assert {card.tears for card in cards} == {True, False, None}
    assert {card.weight_basis.value for card in cards} == {"measured", "setting", "guess"}
    rose = piece.piece(demo, number=hauls.ROSE)
    assert (rose.left, rose.state, [step.undone for step in rose.steps].count(True)) == (1, fabric.READY, 1)


@pytest.mark.parametrize("later", [timedelta(0), timedelta(days=9)])
def test_telling_it_twice_changes_nothing(demo, now, later):
    before = everything_in(demo)
    assert all(
        before[name] for name in ("shop", "account", "loom", "haul", "piece", "movement", "quote", "press")
    )
    story.build(demo, now + later)
    assert everything_in(demo) == before


@pytest.mark.parametrize("broken_off", ["time_the_work", "reckon_an_hour"])
def test_a_story_broken_off_goes_on_from_there(store, now, monkeypatch, broken_off):
    def stop(*_, **__):
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(workroom, broken_off, stop)
        with pytest.raises(KeyboardInterrupt):
            story.build(store, now)
    assert not account.has_owner(store)
    story.build(store, now)
    assert len(saved_quotes(store)) == QUOTES
    assert len(loom.looms(store)) == 3


def test_the_same_time_tells_the_same_story(sqlite_store, postgresql_store, now):
    told = []
    for store in (sqlite_store, postgresql_store):
        story.build(store, now)
        told.append([(one.quote, one.planned.document) for one in saved_quotes(store)])
    assert told[0] == told[1]


def test_its_quotes_are_of_many_kinds(demo):
    opened = saved_quotes(demo)
    assert len(opened) == QUOTES
    assert {one.reckoning.plan.price.by.value for one in opened} == {"markup", "margin", "area", "hand"}
    assert {one.reckoning.made.panels for one in opened} == {1, 2}
    assert any(len(one.reckoning.cloths) == 5 and one.reckoning.plan.repeats > 1 for one in opened)
    warnings = {problem.code for one in opened for problem in one.reckoning.warnings}
    assert {"warn.short", "warn.panels", "warn.below_floor"} <= warnings
    below = [one for one in opened if one.reckoning.price.asking < one.reckoning.price.cost]
    assert {one.reckoning.plan.price.by.value for one in below} == {"hand", "area"}


def test_every_saved_quote_comes_to_the_same_reckoned_again(demo):
    for opened in saved_quotes(demo):
        again = reckon(plan_of(opened.planned.document))
        assert opened.quote.figures == sheet(again)
        assert (opened.quote.asking, opened.quote.total) == (again.price.asking, again.price.total)
        anew = planning.planned(demo, chosen=opened.planned.chosen)
        assert not opened.moved_on
        assert anew.reckoning is not None
        assert sheet(anew.reckoning) == opened.quote.figures


def test_every_saved_quote_prints_both_its_papers(sqlite_store, now, tmp_path):
    story.build(sqlite_store, now)
    words = Words("en_US", "imperial", "America/New_York", "USD")
    for opened in saved_quotes(sqlite_store):
        for name, pdf in (
            ("quote", customer_quote_of(opened, words)),
            ("sheet", cost_sheet_of(opened, words)),
        ):
            path = tmp_path / f"{name}-{opened.quote.number}.pdf"
            path.write_bytes(pdf)
            with pypdf.PdfReader(path) as paper:
                text = "\n".join(page.extract_text() for page in paper.pages)
                assert len(paper.pages) == 1 or name == "sheet"
            assert words.money(opened.quote.asking) in text
            assert "Lindenby Rag Rugs" in text


def test_its_ledger_holds_and_every_place_has_some_of_the_money(demo, now):
    found = prove(demo)
    assert found.faults == ()
    assert found.paid == found.on_shelf + found.in_jobs + found.in_rugs + found.written_off
    assert all((found.on_shelf, found.in_jobs, found.in_rugs, found.written_off))
    kinds = {step.kind for card in piece.pieces(demo, shown="all", limit=100).pieces for step in steps_of(demo, card)}
    assert kinds == set(Kind)
    assert [line.state for line in job.jobs(demo, shown="open").jobs] == ["cutting", "waiting"]
    assert [line.name for line in job.jobs(demo, shown="rugs").jobs] == [
        "Doorstep rug, plum and teal",
        "Bath mat, teal with plum ends",
    ]


def steps_of(demo, card):
    return piece.piece(demo, number=card.number).steps


def test_its_rugs_are_in_every_place(demo):
    found = rug_card.rugs(demo, limit=100).rugs
    assert {card.place for card in found} == {"home", "fair", "outlet"}
    assert {card.job for card in found} == {None, 1, 4}
    assert [card.number for card in rug_card.rugs(demo, shown="sold").rugs] == [12, 10, 9, 8, 5, 3]
    assert [card.number for card in rug_card.rugs(demo, shown="gone").rugs] == [11]
    doorstep, ladder = rug_page.opened(demo, number=14), rug_page.opened(demo, number=1)
    assert (doorstep.card.guessed, ladder.card.guessed) == (False, True)
    assert doorstep.hour is not None
    assert ladder.hour is not None
    assert {card.name: card.rugs for card in outlet.outlets(demo)} == {"The Mill Shop": 2, "Gallery on Reed Street": 1}


def test_of_its_markets_one_bore_its_cost_and_one_did_not(demo):
    wet, good = (fair_reckoning.reckoning(demo, number=number) for number in (1, 2))
    assert wet.record.account.profit.minor < 0 < good.record.account.profit.minor
    assert (wet.box.minor, good.box.minor) == (-50, 0)
    assert [one.record.account.unexplained.minor for one in (wet, good)] == [0, 0]
    assert fair_table.table(demo, number=3).sum.count == 2
