"""Phones in processes of their own on one database; and a server that is killed between what it was sent and its answer.

``THRIFTLOOM_LONG=1`` takes eight phones with two hundred sales each, and fifty lives of a server.
"""

import http.client
import json
import os
import random
import subprocess
import sys
from pathlib import Path

from sqlalchemy import func, select

from shop.store.rug import Rug
from shop.store.till import Sale, SaleLine, TillEntry
from shop.usecases.till_desk import desk
from tests.a_fair import a_fair, a_phone, some_rugs
from tests.builders import an_open_shop
from tests.processes.selling import day_of

ROOT = Path(__file__).parents[2]
LONG = os.environ.get("THRIFTLOOM_LONG") == "1"
PHONES, ENTRIES = (8, 200) if LONG else (8, 12)
LIVES, OF = (50, 400) if LONG else (4, 40)


def started(module, *words, **environment):
    return subprocess.Popen(  # noqa: S603 - the words are ours
        [sys.executable, "-W", "error", "-m", module, *map(str, words)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, **environment},
    )


def a_stall(store, now, phones):
    """A fair with two rugs and so many phones: its number, the rugs, the secrets."""
    an_open_shop(store, now)
    fair = a_fair(store, now)
    return fair, some_rugs(store, now, fair, 2), [a_phone(store, now, fair, f"Phone {place}") for place in range(phones)]


def url_of(store):
    return store.engine.url.render_as_string(hide_password=False)


def all_is_there_once(store, fair, day, rug):
    """Everything of a day came of it exactly once, whoever sent it and however often."""
    sales = [entry["key"] for entry in day if entry["what"] == "sale"]
    undone = {entry["content"]["sale"] for entry in day if entry["what"] == "undo"}
    with store.reading() as session:
        there = session.execute(select(TillEntry.key, Sale.undone_at).join(Sale, Sale.entry_id == TillEntry.id)).all()
        assert sorted(key for key, _ in there) == sorted(sales)
        assert {key for key, at in there if at is not None} == undone
        assert session.execute(select(func.count()).select_from(TillEntry)).scalar_one() == len(day)
        numbers = session.execute(select(Sale.number)).scalars().all()
        assert sorted(numbers) == list(range(1, len(sales) + 1))
        standing = len(sales) - len(undone)
        doubts = session.execute(select(func.count()).where(SaleLine.doubt == "twice")).scalar_one()
        assert doubts == (standing if standing > 1 else 0)
        assert session.get(Rug, rug).place == "sold"
    found = desk(store, fair=fair)
    assert found.box.drawer.expected.minor == 10_000 + 4500 * standing
    assert found.waiting == 0


def test_eight_phones_at_once_each_sending_what_another_sends_too(store, now):
    """Four days, each sent by two phones at the same time and in orders of their own."""
    fair, rugs, secrets = a_stall(store, now, PHONES)
    names = [f"day{place // 2}" for place in range(PHONES)]
    phones = [
        started("tests.processes.selling", url_of(store), name, secret, rugs[0], ENTRIES)
        for name, secret in zip(names, secrets, strict=True)
    ]
    for phone in phones:
        assert phone.stdout.readline() == "ready\n", phone.stderr.read()
    for phone in phones:
        phone.stdin.write("go\n")
        phone.stdin.flush()
    said = []
    for phone in phones:
        out, err = phone.communicate(timeout=900)
        assert (err, phone.returncode) == ("", 0)
        said += [line.split() for line in out.splitlines()]
    day = [entry for name in sorted(set(names)) for entry in day_of(name, rugs[0], ENTRIES)]
    assert sorted(said) == sorted([entry["key"], word] for entry in day for word in ("taken", "had"))
    all_is_there_once(store, fair, day, rugs[0])


def post(port, secret, entries):
    """Send entries as a phone does; the answers by key, or nothing where none came."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    headers = {"Authorization": f"Bearer {secret}", "Content-Type": "application/json"}
    try:
        connection.request("POST", "/till/entries", json.dumps({"entries": entries}), headers)
        answer = connection.getresponse()
        told = json.loads(answer.read())
    except (OSError, http.client.HTTPException, ValueError):
        return {}
    finally:
        connection.close()
    assert answer.status == 200
    return {one["key"]: one["answer"] for one in told["answers"]}


def test_a_server_killed_between_receipt_and_answer_loses_and_doubles_nothing(store, now, tmp_path):
    fair, rugs, (secret,) = a_stall(store, now, 1)
    day = day_of("killed", rugs[1], OF)
    chance = random.Random(3)  # noqa: S311 - the order is no secret
    chance.shuffle(day)
    left, answered, deaths = {entry["key"]: entry for entry in day}, {}, 0
    server = None
    while left:
        if server is None or server.poll() is not None:
            dies = f"{chance.randint(1, 3)} {chance.choice(('before', 'after'))}" if deaths < LIVES else "0"
            server = started("tests.processes.serving_till", url_of(store), tmp_path / "instance", THRIFTLOOM_TEST_DIES=dies)
            port = int(server.stdout.readline())
        some = chance.sample(list(left), min(len(left), chance.randint(1, 4)))
        told = post(port, secret, [left[key] for key in some])
        if not told:
            server.communicate(timeout=60)
            assert server.returncode == -9
            deaths += 1
            continue
        answered.update(told)
        for key in told:
            if chance.random() < 0.7:  # an answer may be lost on the way as well: the phone does not know
                left.pop(key)
    server.kill()
    server.communicate()
    assert deaths == LIVES
    assert set(answered.values()) <= {"taken", "had"}
    all_is_there_once(store, fair, day, rugs[1])
