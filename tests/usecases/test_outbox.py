"""The outbox: letters go with the act that causes them, are sent once, tried again, and never twice unasked."""

import threading
from contextlib import suppress
from datetime import timedelta

import pytest
from sqlalchemy import text

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.letter import (
    MOST_TRIES,
    WAITS,
    LetterState,
    NotSent,
    Trouble,
    Unanswered,
    sender,
    wire_address,
)
from shop.usecases import outbox
from shop.usecases.given import fresh_token
from shop.usecases.outbox import IN_TROUBLE, Round
from tests.builders import codes

LATER = NotSent(Trouble.UNREACHABLE, "Connection refused", with_server=True)
NEVER = NotSent(Trouble.RECIPIENT, "550 no such person", forever=True)


def put(store, now, **changed):
    usual = {"to": "asa@example.org", "subject": "Your rug", "body": "It is ready.\n", "about": "offer.1", "now": now}
    with store.writing() as session:
        return outbox.put(session, **{**usual, **changed})


class Post:
    """A mail server that does, letter after letter, what it is told to, and takes what comes after."""

    def __init__(self, *does):
        self.does, self.taken, self.seen = list(does), [], []

    def __call__(self, letter):
        self.seen.append(letter)
        trouble = self.does.pop(0) if self.does else None
        if trouble is not None:
            raise trouble
        self.taken.append(letter)


def the_letter(store):
    (card,) = outbox.letters(store).letters
    return card


def silent_since(store, now):
    """A letter that somebody claimed and then said no more about."""

    def dies(_letter):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        outbox.send_due(store, dies, now=now)
    assert the_letter(store).state is LetterState.SENDING


def test_a_letter_is_sent_once_and_marked_with_its_own_message_id(store, now):
    put(store, now)
    post = Post()
    assert outbox.send_due(store, post, now=now) == Round(sent=1)
    assert outbox.send_due(store, post, now=now + timedelta(days=9)) == Round()
    card = the_letter(store)
    assert (card.state, card.tries, card.ended_at, card.trouble) == (LetterState.SENT, 1, now, None)
    (letter,) = post.taken
    assert (letter.to, letter.subject, letter.body, letter.written_at) == ("asa@example.org", "Your rug", "It is ready.\n", now)
    assert letter.message_id == card.message_id
    assert letter.message_id.startswith(f"<{card.id}.")


def test_a_letter_of_an_act_that_is_not_saved_is_never_sent(store, now):
    with suppress(RuntimeError), store.writing() as session:
        outbox.put(session, to="asa@example.org", subject="S", body="B", about="offer.1", now=now)
        raise RuntimeError
    assert outbox.send_due(store, Post(), now=now) == Round()
    assert outbox.letters(store).letters == ()


def test_letters_go_oldest_first_and_not_before_they_are_due_and_only_so_many_in_a_round(store, now):
    for minute in (2, 0, 1, 9):
        put(store, now + timedelta(minutes=minute), subject=f"minute {minute}")
    post = Post()
    at = now + timedelta(minutes=5)
    assert outbox.send_due(store, post, now=at, most=2) == Round(sent=2)
    assert outbox.send_due(store, post, now=at) == Round(sent=1)
    assert [letter.subject for letter in post.taken] == ["minute 0", "minute 1", "minute 2"]


def test_a_claim_is_kept_before_a_word_is_said(store, now):
    put(store, now)
    states = []
    outbox.send_due(store, lambda _letter: states.append(the_letter(store).state), now=now)
    assert states == [LetterState.SENDING]


def test_a_failure_is_tried_again_after_growing_waits_and_then_given_up(store, now):
    put(store, now)
    post = Post(*[LATER] * 99)
    waits, at = [], now
    while the_letter(store).state is LetterState.WAITING:
        assert outbox.send_due(store, post, now=at - timedelta(seconds=1)) == Round()
        outbox.send_due(store, post, now=at)
        card = the_letter(store)
        waits.append(card.due_at - at)
        at = card.due_at
    assert tuple(waits[:-1]) == (*WAITS, *[timedelta(days=1)] * 4)
    assert len(post.seen) == MOST_TRIES
    assert len(set(post.seen)) == 1, "each time the very same letter"
    assert (card.state, card.tries, card.trouble, card.reply) == (
        LetterState.FAILED,
        10,
        Trouble.UNREACHABLE,
        "Connection refused",
    )
    assert outbox.send_due(store, post, now=at + timedelta(days=99)) == Round()
    assert outbox.letters(store, states=IN_TROUBLE).letters == (card,)


def test_a_letter_that_will_never_be_taken_fails_at_once(store, now):
    put(store, now)
    assert outbox.send_due(store, Post(NEVER), now=now) == Round(failed=1)
    assert (the_letter(store).state, the_letter(store).reply) == (LetterState.FAILED, "550 no such person")


def test_a_trouble_with_one_letter_keeps_no_other_back_but_one_with_the_server_ends_the_round(store, now):
    for _ in range(3):
        put(store, now)
    assert outbox.send_due(store, Post(NEVER, LATER), now=now) == Round(later=1, failed=1)
    assert outbox.send_due(store, Post(), now=now + timedelta(minutes=1)) == Round(sent=2)


@pytest.mark.parametrize("trouble", [Unanswered(), ZeroDivisionError()])
def test_a_letter_that_may_have_arrived_is_not_sent_again_unasked(store, now, trouble):
    put(store, now)
    if isinstance(trouble, Unanswered):
        assert outbox.send_due(store, Post(trouble), now=now) == Round(uncertain=1)
    else:
        with pytest.raises(ZeroDivisionError):
            outbox.send_due(store, Post(trouble), now=now)
    assert outbox.send_due(store, Post(), now=now + timedelta(days=99)) == Round()
    card = the_letter(store)
    assert (card.state, card.trouble) == (LetterState.UNCERTAIN, Trouble.UNANSWERED)
    assert outbox.letters(store, states=IN_TROUBLE).letters == (card,)


def test_a_letter_whose_sender_died_becomes_uncertain_and_is_not_sent(store, now):
    put(store, now)
    silent_since(store, now)
    post = Post()
    assert outbox.send_due(store, post, now=now + outbox.SILENT) == Round()
    assert outbox.send_due(store, post, now=now + outbox.SILENT + timedelta(seconds=1)) == Round(uncertain=1)
    assert post.seen == []
    assert (the_letter(store).state, the_letter(store).trouble) == (LetterState.UNCERTAIN, Trouble.BROKEN_OFF)


def test_a_sender_taken_for_dead_may_still_say_what_came_of_it(store, now):
    put(store, now)

    def slow(_letter):
        assert outbox.send_due(store, Post(), now=now + timedelta(hours=2)) == Round(uncertain=1)

    assert outbox.send_due(store, slow, now=now) == Round(sent=1)
    assert the_letter(store).state is LetterState.SENT


def test_a_sender_taken_for_dead_says_nothing_about_what_the_weaver_sent_again(store, now):
    letter_id = put(store, now)
    at = now + timedelta(hours=2)
    post = Post()

    def slow(_letter):
        outbox.send_due(store, Post(), now=at)
        outbox.send_again(store, letter_id=letter_id, saving=fresh_token(), now=at)
        assert outbox.send_due(store, post, now=at) == Round(sent=1)
        raise LATER

    assert outbox.send_due(store, slow, now=now) == Round()
    assert the_letter(store).state is LetterState.SENT
    assert len(post.taken) == 1


def test_the_weaver_sends_again_under_the_same_message_id_or_lets_go(store, now):
    first, second = put(store, now), put(store, now)
    post = Post(NEVER, Unanswered())
    outbox.send_due(store, post, now=now)
    token = fresh_token()
    for _ in range(2):
        again = outbox.send_again(store, letter_id=first, saving=token, now=now)
    assert (again.state, again.tries, again.trouble) == (LetterState.WAITING, 0, None)
    gone = outbox.let_go(store, letter_id=second, saving=token, now=now)
    assert gone.state is LetterState.LET_GO
    assert outbox.letters(store, states=IN_TROUBLE).letters == ()
    assert outbox.send_due(store, post, now=now) == Round(sent=1)
    assert outbox.send_again(store, letter_id=first, saving=token, now=now).state is LetterState.SENT
    assert post.taken[0] == post.seen[0]
    for act in (outbox.send_again, outbox.let_go):
        for letter_id in (first, second):
            with pytest.raises(Clash) as refused:
                act(store, letter_id=letter_id, saving=fresh_token(), now=now)
            assert codes(refused) == {("", "letter.settled")}
        for letter_id in (0, -1, 77, 2**70):
            with pytest.raises(NotFound) as refused:
                act(store, letter_id=letter_id, saving=fresh_token(), now=now)
            assert codes(refused) == {("", "letter.unknown")}


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n", "\0", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029", "\ud800"])
def test_nothing_can_be_slipped_into_the_head_of_a_letter(store, now, end):
    for place, code in (("to", "letter.address"), ("subject", "text.control")):
        for sly in (f"asa@example.org{end}Bcc: all@example.org", f"asa@example.org{end}", f"{end}asa@example.org"):
            with pytest.raises(Refusal) as refused:
                put(store, now, **{place: sly})
            assert codes(refused) == {(place, code)}
    assert outbox.letters(store).letters == ()
    assert sender(f"Ida{end}X: y <ida@example.org>") is None
    assert sender(f"ida@example.org{end}") is None


@pytest.mark.parametrize(
    "to",
    ["", "asa", "@example.org", "asa@", "asa@@example.org", "a b@example.org", "asa@exa mple.org", "asa@example.org,b@example.org",
     "asa@example.org;b@example.org", "Asa <asa@example.org>", "<asa@example.org>", '"a b"@example.org', "asa(x)@example.org",
     ".asa@example.org", "a..b@example.org", "asa.@example.org", "asa@-x.org", "asa@x-.org", "asa@x..org", "asa@example.org.",
     "åsa@example.org", "a" * 65 + "@example.org", "asa@" + "x" * 64 + ".org", "asa@" + "x.org" * 60, "asa@[127.0.0.1]", "asa@x>y"],
)  # fmt: skip
def test_what_is_no_address_is_refused(store, now, to):
    with pytest.raises(Refusal) as refused:
        put(store, now, to=to)
    assert codes(refused) == {("to", "letter.address")}


@pytest.mark.parametrize(
    ("to", "wire"),
    [
        ("asa@example.org", "asa@example.org"),
        ("o'brien+rugs_1@mail.example.org", "o'brien+rugs_1@mail.example.org"),
        ("ida@väv.example", "ida@xn--vv-via.example"),
        ("ida@localhost", "ida@localhost"),
    ],
)
def test_an_address_is_understood_as_mail_servers_understand_it(to, wire):
    assert wire_address(to) == wire


@pytest.mark.parametrize(
    ("given", "understood"),
    [
        ("ida@example.org", ("", "ida@example.org")),
        ("Ida’s väv, & co <ida@example.org>", ("Ida’s väv, & co", "ida@example.org")),
        ("<ida@example.org>", ("", "ida@example.org")),
        ("Ida <ida@example.org> <eva@example.org>", None),
        ("ida@example.org, eva@example.org", None),
        ("Ida", None),
        ("", None),
    ],
)
def test_a_sender_is_an_address_with_or_without_a_name(given, understood):
    assert sender(given) == understood


def test_what_cannot_be_a_letter_is_told_all_at_once(store, now):
    for changed, told in (
        ({"subject": " "}, {("subject", "text.missing")}),
        ({"subject": "x" * 201, "body": "\n"}, {("subject", "text.long"), ("body", "text.missing")}),
        ({"to": "nowhere", "body": "x" * 20_001}, {("to", "letter.address"), ("body", "text.long")}),
        ({"body": "a\0b"}, {("body", "text.control")}),
        ({"body": "a\ud800b"}, {("body", "text.control")}),
        ({"about": ""}, {("about", "text.missing")}),
    ):
        with pytest.raises(Refusal) as refused:
            put(store, now, **changed)
        assert codes(refused) == told


def test_letters_are_looked_through_by_page_and_by_what_they_are_about(store, now):
    ids = [put(store, now, about=f"offer.{turn % 2}") for turn in range(5)]
    page = outbox.letters(store, limit=3)
    rest = outbox.letters(store, limit=3, below=page.further)
    assert [card.id for card in (*page.letters, *rest.letters)] == ids[::-1]
    assert rest.further is None
    assert [card.id for card in outbox.letters(store, about="offer.1").letters] == [ids[3], ids[1]]


def test_a_person_who_is_erased_is_in_no_letter_any_more(store, now):
    put(store, now, to="Asa@example.org", subject="For Asa")
    put(store, now, to="eva@example.org")

    def erased_meanwhile(letter):
        if "Asa" in letter.to:
            with store.writing() as session:
                outbox.forget(session, to="asa@example.org")
                outbox.forget(session, to="")

    assert outbox.send_due(store, erased_meanwhile, now=now) == Round(sent=1)
    assert the_letter(store).to == "eva@example.org"
    with store.reading() as session:
        assert "Asa" not in str(session.execute(text("SELECT * FROM outbox")).all())


def test_any_number_of_senders_at_once_send_each_letter_once(store, now):
    letters, senders = 24, 4
    for turn in range(letters):
        put(store, now, subject=f"letter {turn}")
    together, lock, taken, rounds, wrong = threading.Barrier(senders), threading.Lock(), [], [], []

    def takes(letter):
        with lock:
            taken.append(letter.subject)

    def one():
        try:
            together.wait()
            rounds.append(outbox.send_due(store, takes, now=now, most=letters))
        except BaseException as error:  # noqa: BLE001 - shown by the assertion
            wrong.append(error)

    threads = [threading.Thread(target=one) for _ in range(senders)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert wrong == []
    assert sorted(taken) == sorted(f"letter {turn}" for turn in range(letters))
    assert sum(one.sent for one in rounds) == letters
    assert {card.state for card in outbox.letters(store, limit=99).letters} == {LetterState.SENT}
