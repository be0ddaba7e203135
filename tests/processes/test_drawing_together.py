"""Weavers in processes of their own on one database, and weavers whose process is killed in the middle of a draw.

``THRIFTLOOM_LONG=1`` takes eight weavers and two thousand draws, and kills ten times on each database.
"""

import os
import random
import subprocess
import sys
from pathlib import Path

from sqlalchemy import text

from shop.usecases.ledger import prove
from tests.builders import a_haul_at_home, a_job, a_sheet, an_open_shop, money

ROOT = Path(__file__).parents[2]
LONG = os.environ.get("THRIFTLOOM_LONG") == "1"
WRITERS, DRAWS = (8, 250) if LONG else (2, 40)
KILLS, OF = (10, 1000) if LONG else (1, 60)


def a_weaver(store, name, *, pieces, draws, job=1, how="some"):
    url = store.engine.url.render_as_string(hide_password=False)
    words = [sys.executable, "-W", "error", "-m", "tests.processes.drawing", url, name, pieces, draws, job, how]
    return subprocess.Popen(  # noqa: S603 - the words are ours
        [str(word) for word in words],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def begin_together(weavers):
    for weaver in weavers:
        assert weaver.stdout.readline() == "ready\n", weaver.stderr.read()
    for weaver in weavers:
        weaver.stdin.write("go\n")
        weaver.stdin.flush()


def lines_of(weaver):
    out, err = weaver.communicate(timeout=900)
    assert err == ""
    assert weaver.returncode == 0
    return [line.split(" ", 1) for line in out.splitlines()]


def a_shop_with(store, now, pieces):
    an_open_shop(store, now)
    for _ in range(0, pieces, 10):
        a_haul_at_home(store, now, a_sheet(ready=True, paid=money("13.37"), count=min(10, pieces)))
    a_job(store, now)


def draws_in(store):
    """The draws that are in the ledger, by the token of their press."""
    found = text(
        "SELECT press.token, movement.id FROM movement LEFT JOIN press ON press.about = movement.id "
        "AND press.act LIKE 'draw.%' WHERE movement.kind = 'drawn'"
    )
    with store.reading() as session:
        return [tuple(row) for row in session.execute(found)]


def all_holds(store):
    found = prove(store)
    assert found.faults == ()
    assert found.paid.minor == found.on_shelf.minor + found.in_jobs.minor


def test_no_draw_is_lost_or_done_twice_when_several_draw_at_once(store, now):
    pieces = 50 if LONG else 5
    a_shop_with(store, now, pieces)
    weavers = [a_weaver(store, f"weaver{place}", pieces=pieces, draws=DRAWS) for place in range(WRITERS)]
    begin_together(weavers)
    lines = [line for weaver in weavers for line in lines_of(weaver)]
    assert len(lines) == WRITERS * DRAWS
    assert {said.split()[0] for _, said in lines} == {"done"}
    acknowledged = sorted((token, int(said.split()[1])) for token, said in lines)
    assert sorted(draws_in(store)) == acknowledged
    all_holds(store)


def test_of_two_who_draw_the_last_of_a_piece_one_has_it_and_the_other_is_told(store, now):
    pieces = 20
    a_shop_with(store, now, pieces)
    weavers = [a_weaver(store, f"last{place}", pieces=pieces, draws=pieces, how="whole") for place in range(2)]
    begin_together(weavers)
    for one, other in zip(*(lines_of(weaver) for weaver in weavers), strict=True):
        assert sorted(said.split()[0] for _, said in (one, other)) == ["done", "piece.gone"]
    assert len(draws_in(store)) == pieces
    all_holds(store)


def test_what_was_acknowledged_is_there_after_a_kill(store, now):
    pieces = 50 if LONG else 5
    a_shop_with(store, now, pieces)
    chance = random.Random(9)  # noqa: S311 - when to kill is no secret
    acknowledged = set()
    for life in range(KILLS):
        weaver = a_weaver(store, f"killed{life}", pieces=pieces, draws=OF)
        begin_together([weaver])
        for _ in range(chance.randint(5, OF // 3)):
            line = weaver.stdout.readline()
            assert line, weaver.stderr.read()
            acknowledged.add(tuple(line.strip().split(" done ")))
        weaver.kill()
        rest, _ = weaver.communicate(timeout=60)
        whole = rest.splitlines()[: None if rest.endswith("\n") else -1]
        heard = [line.strip().split(" done ") for line in whole]
        acknowledged.update(tuple(pair) for pair in heard)
        assert weaver.returncode == -9
        there = {(token, str(step)) for token, step in draws_in(store)}
        assert acknowledged <= there
        assert len(there - acknowledged) <= life + 1, "only the draw that was cut short can be there unheard"
        all_holds(store)


def test_who_presses_again_after_all_has_drawn_once(store, now):
    a_shop_with(store, now, 5)
    for _ in range(2):
        weaver = a_weaver(store, "again", pieces=5, draws=10)
        begin_together([weaver])
        said = lines_of(weaver)
    assert len(draws_in(store)) == 10
    assert {tuple(pair) for pair in said} == {(token, f"done {step}") for token, step in draws_in(store)}
    all_holds(store)
