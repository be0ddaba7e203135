"""The owner's account."""

from datetime import timedelta

import pytest
from argon2 import PasswordHasher

from shop.core.errors import Clash, NotFound, Refusal
from shop.store.account import by_name
from shop.usecases import account
from shop.usecases import shop as shop_room
from shop.usecases.given import fresh_token
from tests.builders import PASSWORD, a_shop, an_open_shop, codes
from tests.store.test_engine import together

NEW = "another warp, of linen this time"


def test_a_shop_has_no_owner_until_it_is_opened(store, now):
    assert not account.has_owner(store)
    ida = an_open_shop(store, now)
    assert account.has_owner(store)
    assert ida.name == "Ida"
    assert shop_room.current(store).name == "Marsh End Rugs"


def test_only_the_first_opens_it(store, now):
    an_open_shop(store, now)
    with pytest.raises(Clash) as refused:
        account.open_shop(store, name="Eva", password=PASSWORD, saving=fresh_token(), now=now)
    assert codes(refused) == {("", "account.exists")}


def test_the_same_press_twice_opens_it_once_and_gives_the_same_owner(store, now):
    token = fresh_token()

    def act():
        return account.open_shop(store, name="Ida", password=PASSWORD, shop=a_shop(), saving=token, now=now)

    first, second = act(), act()
    assert first == second


def test_of_several_at_once_one_opens_it(store, now):
    came = together(
        4, lambda: account.open_shop(store, name="Ida", password=PASSWORD, saving=fresh_token(), now=now)
    )
    assert sum(isinstance(one, account.SignedIn) for one in came) == 1
    assert sum(isinstance(one, Clash) for one in came) == 3


def test_every_problem_of_account_and_shop_is_told_at_once_and_nothing_is_kept(store, now):
    with pytest.raises(Refusal) as refused:
        account.open_shop(
            store,
            name="  ",
            password="short",
            shop=a_shop(name="", currency="XXQ", time_zone="Nowhere/Land"),
            saving=fresh_token(),
            now=now,
        )
    assert codes(refused) == {
        ("account.name", "text.missing"),
        ("account.password", "password.short"),
        ("shop.name", "text.missing"),
        ("shop.currency", "money.currency"),
        ("shop.time_zone", "zone.unknown"),
    }
    assert not account.has_owner(store)
    assert shop_room.current(store).revision == 0


def test_signing_in_takes_the_name_in_any_case_and_the_password_as_it_is(store, now):
    ida = an_open_shop(store, now)
    assert account.sign_in(store, name=" IDA ", password=PASSWORD, now=now) == ida


@pytest.mark.parametrize(
    ("name", "password"),
    [
        ("Ida", PASSWORD.upper()),
        ("Ida", ""),
        ("Eva", PASSWORD),
        ("", ""),
        ("Ida\0", PASSWORD),
        ("\ud800", "\ud800"),
        ("x" * 10_000, "y" * 10_000),
    ],
)
def test_a_wrong_name_and_a_wrong_password_are_told_alike(store, now, name, password):
    an_open_shop(store, now)
    with pytest.raises(Refusal) as refused:
        account.sign_in(store, name=name, password=password, now=now)
    assert codes(refused) == {("", "sign_in.wrong")}


def test_a_password_is_the_same_from_any_keyboard(store, now):
    composed = "trasmattor p\u00e5 v\u00e4vstolen"
    apart = "trasmattor pa\u030a va\u0308vstolen"
    account.open_shop(store, name="\u00c5sa", password=composed, saving=fresh_token(), now=now)
    assert account.sign_in(store, name="A\u030asa", password=apart, now=now)


def test_an_unknown_name_is_checked_against_a_hash_all_the_same(store, now, monkeypatch):
    an_open_shop(store, now)
    checked = []
    real = PasswordHasher.verify
    monkeypatch.setattr(
        PasswordHasher, "verify", lambda self, kept, given: checked.append(kept) or real(self, kept, given)
    )
    with pytest.raises(Refusal):
        account.sign_in(store, name="Nobody", password=PASSWORD, now=now)
    assert len(checked) == 1
    assert checked[0].startswith("$argon2id$")


def test_the_password_is_kept_as_a_hash_and_an_old_hash_is_renewed(store, now):
    ida = an_open_shop(store, now)
    weaker = PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1).hash(PASSWORD)
    with store.writing() as session:
        row = by_name(session, "ida")
        assert PASSWORD not in row.password_hash
        row.password_hash = weaker
    assert account.sign_in(store, name="Ida", password=PASSWORD, now=now) == ida
    with store.reading() as session:
        renewed = by_name(session, "ida").password_hash
    assert renewed != weaker
    assert not PasswordHasher().check_needs_rehash(renewed)
    assert account.sign_in(store, name="Ida", password=PASSWORD, now=now) == ida


def test_a_damaged_hash_lets_nobody_in(store, now):
    an_open_shop(store, now)
    with store.writing() as session:
        by_name(session, "ida").password_hash = "nothing of the kind"
    with pytest.raises(Refusal) as refused:
        account.sign_in(store, name="Ida", password=PASSWORD, now=now)
    assert codes(refused) == {("", "sign_in.wrong")}


def test_a_new_password_ends_older_sessions(store, now):
    ida = an_open_shop(store, now)
    later = now + timedelta(days=1)
    changed = account.change_password(
        store, account_id=ida.id, old=PASSWORD, new=NEW, saving=fresh_token(), now=later
    )
    assert account.signed_in(store, account_id=ida.id, stamp=ida.stamp) is None
    assert account.signed_in(store, account_id=ida.id, stamp=changed.stamp) == changed
    assert account.sign_in(store, name="Ida", password=NEW, now=later) == changed
    with pytest.raises(Refusal):
        account.sign_in(store, name="Ida", password=PASSWORD, now=later)


def test_changing_it_twice_with_one_press_is_one_change(store, now):
    ida, token = an_open_shop(store, now), fresh_token()

    def act():
        return account.change_password(store, account_id=ida.id, old=PASSWORD, new=NEW, saving=token, now=now)

    assert act() == act()


def test_the_old_password_must_be_right_and_the_new_one_long_enough(store, now):
    ida = an_open_shop(store, now)
    with pytest.raises(Refusal) as refused:
        account.change_password(
            store, account_id=ida.id, old="wrong", new="short", saving=fresh_token(), now=now
        )
    assert codes(refused) == {("account.old", "password.wrong"), ("account.new", "password.short")}
    assert account.signed_in(store, account_id=ida.id, stamp=ida.stamp) == ida


def test_whoever_has_the_machine_can_set_a_new_password(store, now):
    an_open_shop(store, now)
    account.set_password(store, name="ida", new=NEW, now=now)
    assert account.sign_in(store, name="Ida", password=NEW, now=now)
    with pytest.raises(NotFound) as refused:
        account.set_password(store, name="eva", new=NEW, now=now)
    assert codes(refused) == {("account.name", "account.unknown")}


@pytest.mark.parametrize("account_id", [0, -1, 2**63, 10**30, 99])
def test_nobody_is_signed_in_by_a_number_that_is_nobodys(store, now, account_id):
    ida = an_open_shop(store, now)
    assert account.signed_in(store, account_id=account_id, stamp=ida.stamp) is None


def test_no_stamp_but_the_right_one_will_do(store, now):
    ida = an_open_shop(store, now)
    for stamp in ("", "x", ida.stamp + "x", "å\ud800"):
        assert account.signed_in(store, account_id=ida.id, stamp=stamp) is None
