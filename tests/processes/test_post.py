"""Letters to a real mail server on this machine: one that takes them, refuses, hangs up, asks who is there, or is not there."""
# ruff: noqa: ARG002, N802 - a mail server's steps are named and called by the server

import logging
import os
import shutil
import socket
import ssl
import subprocess
import threading
import warnings
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from email import message_from_bytes, policy

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

from shop.assemble import posting
from shop.commands.serve import letters_going_out
from shop.core.letter import Letter, LetterState, NotSent, Trouble, Unanswered
from shop.post import post_office
from shop.settings import read_settings
from shop.usecases import outbox
from shop.usecases.outbox import Round

HOST = "127.0.0.1"
PASSWORD = "a-password-told-to-nobody"
FROM = "Ida’s väv, rugs <ida@example.org>"


class Taking:
    """What a mail server does; ``says`` names its answer at a step, or ``None`` there to hang up."""

    def __init__(self, **says):
        self.says, self.taken, self.signed_in = says, [], []

    def answer(self, server, step):
        if step in self.says and self.says[step] is None:
            server.transport.close()
        return self.says.get(step) or "250 OK"

    async def handle_MAIL(self, server, session, envelope, address, options):
        envelope.mail_from = address
        return self.answer(server, "MAIL")

    async def handle_RCPT(self, server, session, envelope, address, options):
        envelope.rcpt_tos.append(address)
        return self.answer(server, "RCPT")

    async def handle_DATA(self, server, session, envelope):
        self.taken.append(envelope)
        return self.answer(server, "DATA")

    def sign_in(self, server, session, envelope, mechanism, data):
        self.signed_in.append(data)
        return AuthResult(success=data.password == PASSWORD.encode(), handled=False)


def a_free_port():
    with socket.create_server((HOST, 0)) as one:
        return one.getsockname()[1]


@contextmanager
def serving(handler, **more):
    controller = Controller(handler, hostname=HOST, port=a_free_port(), **more)
    controller.start()
    try:
        yield controller.port
    finally:
        controller.stop()


@pytest.fixture
def settings(tmp_path):
    def with_port(port, **more):
        given = {"SMTP_HOST": HOST, "SMTP_PORT": str(port), "SMTP_START_TLS": "false", "MAIL_FROM": FROM, **more}
        return read_settings({f"THRIFTLOOM_{name}": value for name, value in given.items()}, instance=tmp_path)

    return with_port


@pytest.fixture
def letter(now):
    return Letter(to="asa@example.org", subject="Your rug", body="It is ready.\n", message_id="<1.ab@thriftloom.invalid>", written_at=now)


def put(store, now, **changed):
    usual = {"to": "asa@example.org", "subject": "Your rug", "body": "It is ready.\n", "about": "offer.1", "now": now}
    with store.writing() as session:
        return outbox.put(session, **{**usual, **changed})


def states(store):
    return [card.state for card in outbox.letters(store, limit=99).letters]


def read(envelope):
    return message_from_bytes(envelope.content, policy=policy.default)


def test_without_a_mail_server_there_is_no_post_office(tmp_path):
    assert post_office(read_settings({}, instance=tmp_path)) is None


BODIES = {
    "plain": "Dear Asa,\n\nit is ready.\n",
    "dots": ".\n..\n...\n.a\n\n.\n\nafter the dots\n.\n",
    "long": "x" * 5000 + "\n" + "word " * 900 + "\n." + "y" * 2000 + "\n",
    "signs": "Åsa, 織物 🧶 “rug” — 2½ m\n.\nFrom here\n\ttab, trailing blanks  \n-- \nIda\n",
    "long signs": "väv " * 2000 + "\n" + "織" * 3000 + "\n.\n",
    "dots at the fold": "=.\n" * 3 + ("." * 75 + "\n") * 4 + "." * 400 + "\n",
}


@pytest.mark.parametrize("name", BODIES)
@pytest.mark.parametrize("subject", ["Your rug", "Åsas matta är färdig: 織物 🧶 " * 4, "=?utf-8?q?not_encoded?=", "x" * 200])
def test_a_letter_arrives_as_it_was_written(store, now, settings, name, subject):
    handler = Taking()
    with serving(handler) as port:
        put(store, now, subject=subject, body=BODIES[name])
        assert outbox.send_due(store, post_office(settings(port)), now=now) == Round(sent=1)
    (envelope,) = handler.taken
    came = read(envelope)
    assert came.get_payload(decode=True) == BODIES[name].replace("\n", "\r\n").encode()
    assert came.get_content_type() == "text/plain"
    card = outbox.letters(store).letters[0]
    if not subject.startswith("=?"):  # what looks like a code is read as one by whoever reads it
        assert came["Subject"] == card.subject == " ".join(subject.split())
    assert came["From"].addresses[0].display_name == "Ida’s väv, rugs"
    assert (came["From"].addresses[0].addr_spec, came["To"]) == ("ida@example.org", "asa@example.org")
    assert (came["Message-ID"], came["Date"].datetime) == (card.message_id, now)
    assert (envelope.mail_from, envelope.rcpt_tos) == ("ida@example.org", ["asa@example.org"])
    assert envelope.content.isascii()
    assert max(len(line) for line in envelope.content.split(b"\r\n")) <= 998
    assert sorted(came.keys()) == sorted(
        ["From", "To", "Subject", "Date", "Message-ID", "MIME-Version", "Content-Type", "Content-Transfer-Encoding"]
    )


@pytest.mark.parametrize("to", ["ida@väv.example", "a" * 64 + "@" + ("x" * 60 + ".") * 3 + "y", "o'brien+1@example.org"])
def test_odd_addresses_arrive_whole(settings, letter, to):
    handler = Taking()
    with serving(handler) as port:
        post_office(settings(port))(Letter(**{**{n: getattr(letter, n) for n in letter.__slots__}, "to": to}))
    (envelope,) = handler.taken
    wire = to.replace("väv", "xn--vv-via")
    assert envelope.rcpt_tos == [wire]
    assert read(envelope)["To"].addresses[0].addr_spec == wire


@pytest.mark.parametrize("step", ["MAIL", "RCPT", "DATA"])
def test_who_refuses_for_now_is_asked_again(store, now, settings, step):
    put(store, now)
    handler = Taking(**{step: "451 Come back later"})
    with serving(handler) as port:
        send = post_office(settings(port))
        assert outbox.send_due(store, send, now=now) == Round(later=1)
        assert outbox.letters(store).letters[0].reply == "451 Come back later"
        handler.says.clear()
        assert outbox.send_due(store, send, now=now) == Round()
        assert outbox.send_due(store, send, now=now + timedelta(minutes=1)) == Round(sent=1)
    assert len({read(envelope)["Message-ID"] for envelope in handler.taken}) == 1


@pytest.mark.parametrize(
    ("step", "trouble", "came"),
    [
        ("RCPT", Trouble.RECIPIENT, Round(failed=1)),
        ("DATA", Trouble.CONTENT, Round(failed=1)),
        ("MAIL", Trouble.SENDER, Round(later=1)),
    ],
)
def test_who_refuses_a_letter_forever_is_not_asked_again(store, now, settings, step, trouble, came):
    put(store, now)
    with serving(Taking(**{step: "550 Never"})) as port:
        assert outbox.send_due(store, post_office(settings(port)), now=now) == came
    card = outbox.letters(store).letters[0]
    assert (card.trouble, card.reply) == (trouble, "550 Never")


@pytest.mark.parametrize("step", ["MAIL", "RCPT"])
def test_who_hangs_up_before_the_letter_was_said_is_asked_again(store, now, settings, step):
    put(store, now)
    with serving(Taking(**{step: None})) as port:
        assert outbox.send_due(store, post_office(settings(port)), now=now) == Round(later=1)
    assert outbox.letters(store).letters[0].trouble is Trouble.DROPPED


def test_who_hangs_up_after_the_last_word_may_have_taken_it(store, now, settings):
    put(store, now)
    with serving(Taking(DATA=None)) as port:
        send = post_office(settings(port))
        assert outbox.send_due(store, send, now=now) == Round(uncertain=1)
        assert outbox.send_due(store, send, now=now + timedelta(days=99)) == Round()
    assert states(store) == [LetterState.UNCERTAIN]


def test_an_answer_that_says_nothing_leaves_it_open(settings, letter):
    with serving(Taking(DATA="xyz what")) as port, pytest.raises(Unanswered):
        post_office(settings(port))(letter)


def test_where_there_is_no_server_letters_wait_and_one_is_enough_to_know(store, now, settings):
    for _ in range(3):
        put(store, now)
    assert outbox.send_due(store, post_office(settings(a_free_port())), now=now) == Round(later=1)
    assert {card.trouble for card in outbox.letters(store).letters} == {None, Trouble.UNREACHABLE}


def test_two_senders_at_once_send_each_letter_once(store, now, settings):
    for turn in range(12):
        put(store, now, subject=f"letter {turn}")
    handler, rounds, wrong = Taking(), [], []
    together = threading.Barrier(2)
    with serving(handler) as port:
        send = post_office(settings(port))

        def one():
            try:
                together.wait()
                rounds.append(outbox.send_due(store, send, now=now))
            except BaseException as error:  # noqa: BLE001 - shown by the assertion
                wrong.append(error)

        threads = [threading.Thread(target=one) for _ in range(2)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert wrong == []
    assert sorted(read(envelope)["Subject"] for envelope in handler.taken) == sorted(f"letter {turn}" for turn in range(12))
    assert sum(each.sent for each in rounds) == 12
    assert set(states(store)) == {LetterState.SENT}


def certified(folder):
    """A server's and a client's side of TLS for this machine, trusted by nobody else."""
    openssl = shutil.which("openssl")
    if openssl is None:
        (pytest.fail if os.environ.get("THRIFTLOOM_ALL_TESTS") == "1" else pytest.skip)("no openssl to make a certificate with")
    key, certificate = folder / "key.pem", folder / "certificate.pem"
    words = "req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj /CN=127.0.0.1 -addext subjectAltName=IP:127.0.0.1"
    subprocess.run([openssl, *words.split(), "-keyout", key, "-out", certificate], check=True, capture_output=True)  # noqa: S603 - the words are ours
    server = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    server.load_cert_chain(certificate, key)
    return server, ssl.create_default_context(cafile=certificate)


def signing_in(settings, port, **more):
    return settings(port, SMTP_USER="ida", SMTP_PASSWORD=PASSWORD, SMTP_START_TLS="true", **more)


def test_the_password_goes_over_an_encrypted_line_alone(settings, letter, tmp_path):
    server, trust = certified(tmp_path)
    handler = Taking()
    with serving(handler, tls_context=server, require_starttls=True, auth_required=True, authenticator=handler.sign_in) as port:
        post_office(signing_in(settings, port), trust=trust)(letter)
        assert len(handler.taken) == len(handler.signed_in) == 1
        with pytest.raises(NotSent) as refused:
            post_office(signing_in(settings, port))(letter)  # this machine trusts no such certificate
    assert (refused.value.trouble, refused.value.with_server) == (Trouble.NO_TLS, True)
    assert len(handler.signed_in) == 1


def test_a_server_without_encryption_is_told_no_password(settings, letter):
    handler = Taking()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the server's own, that it asks in the open
        with serving(handler, auth_require_tls=False, authenticator=handler.sign_in) as port, pytest.raises(NotSent) as refused:
            post_office(signing_in(settings, port))(letter)
    assert refused.value.trouble is Trouble.NO_TLS
    assert handler.signed_in == handler.taken == []


def test_no_secret_is_in_any_log_or_error(settings, letter, caplog, capsys):
    handler = Taking(RCPT=f"550 {PASSWORD} is not liked")
    caplog.set_level(logging.DEBUG, logger="thriftloom")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the server's own, that it asks in the open
        with serving(handler, auth_require_tls=False, authenticator=handler.sign_in) as port:
            right = settings(port, SMTP_USER="ida", SMTP_PASSWORD=PASSWORD)
            wrong = settings(port, SMTP_USER="ida", SMTP_PASSWORD=f"{PASSWORD}-wrong")
            for one, trouble in ((right, Trouble.RECIPIENT), (wrong, Trouble.SIGN_IN)):
                with pytest.raises(NotSent) as refused:
                    post_office(one)(letter)
                error = refused.value
                assert error.trouble is trouble
                assert error.__cause__ is None
                assert PASSWORD not in f"{error!r} {error} {error.reply} {one!r} {post_office(one)!r}"
    told = capsys.readouterr()
    logged = [record.getMessage() for record in caplog.records if not record.name.startswith("mail")]
    assert PASSWORD not in told.out + told.err + "".join(logged)


def test_letters_go_out_while_the_shop_is_open_and_a_broken_round_is_no_end(store, settings):
    handler, arrived = Taking(), threading.Event()
    with serving(handler) as port:
        put(store, datetime.now(UTC))
        post, rounds = posting(settings(port), store), []

        def broken_at_first():
            rounds.append(1)
            if len(rounds) == 1:
                raise OSError("no disk")
            if post().sent:
                arrived.set()

        with letters_going_out(broken_at_first, every=0.02):
            assert arrived.wait(60)
    assert len(handler.taken) == 1
    assert states(store) == [LetterState.SENT]


def test_without_a_mail_server_nothing_goes_out(store, tmp_path):
    post = posting(read_settings({}, instance=tmp_path), store)
    with letters_going_out(post):
        assert post is None
