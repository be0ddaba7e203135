"""Saving quotes, opening them, and finding them again."""

from datetime import timedelta

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.loom import Size
from shop.core.measure import Length
from shop.store import quote_list
from shop.store.quote import search_text
from shop.usecases import quote
from shop.usecases.given import fresh_token
from tests.builders import a_draft, a_quote, an_open_shop, codes, inches, money
from tests.store.test_engine import together


def save(store, now, draft, **known):
    saving = known.pop("saving", None) or fresh_token()
    return quote.save_draft(store, draft=draft, saving=saving, now=now, **known)


def numbers(store, words="", **asked):
    return [line.number for line in quote.quotes(store, words=words, **asked).quotes]


def all_pages(store, words="", limit=3):
    """The numbers on each page, to the end."""
    pages, after = [], ""
    while after is not None:
        page = quote.quotes(store, words=words, after=after, limit=limit)
        pages.append([line.number for line in page.quotes])
        after = page.further
    return pages


def test_a_quote_comes_back_as_it_was_saved(store, now):
    saved = a_quote(store, now, customer_contact="asa@example.org\r\n 0000 ")
    found = quote.open_quote(store, number=saved.number)
    assert found == saved
    assert (found.number, found.state, found.revision) == (1, "draft", 1)
    assert (found.size, found.asking, found.total) == (
        Size(inches(24), inches(36)),
        money("140"),
        money("148.40"),
    )
    assert found.described == {"rug": {"width": "609.6 mm", "length": "914.4 mm"}}
    assert found.customer_contact == "asa@example.org\n 0000"
    assert (found.created_at, found.updated_at) == (now, now)


def test_saving_again_keeps_the_number_and_moves_it_to_the_front(store, now):
    first, second = a_quote(store, now), a_quote(store, now + timedelta(minutes=1))
    assert numbers(store) == [2, 1]
    later = now + timedelta(hours=1)
    again = save(store, later, a_draft(title="Kitchen mat"), number=first.number, revision=first.revision)
    assert (again.number, again.revision, again.title) == (1, 2, "Kitchen mat")
    assert (again.created_at, again.updated_at) == (now, later)
    assert numbers(store) == [1, 2]
    assert second.number == 2


def test_a_save_made_in_the_meantime_is_not_lost(store, now):
    first = a_quote(store, now)
    save(store, now, a_draft(title="Hers"), number=1, revision=first.revision)
    with pytest.raises(Clash) as refused:
        save(store, now, a_draft(title="His"), number=1, revision=first.revision)
    assert codes(refused) == {("", "quote.changed")}
    assert quote.open_quote(store, number=1).title == "Hers"


def test_of_several_saves_at_once_one_holds(store, now):
    first = a_quote(store, now)
    came = together(5, lambda: save(store, now, a_draft(), number=1, revision=first.revision))
    assert sum(isinstance(one, Clash) for one in came) == 4
    assert quote.open_quote(store, number=1).revision == 2


def test_the_same_press_twice_saves_one_quote(store, now):
    token = fresh_token()
    came = together(4, lambda: save(store, now, a_draft(), saving=token))
    assert came == [came[0]] * 4
    assert numbers(store) == [1]


def test_the_same_press_twice_on_a_quote_there_is_saves_it_once(store, now):
    first, token = a_quote(store, now), fresh_token()
    once = save(store, now, a_draft(title="Once"), number=1, revision=first.revision, saving=token)
    assert save(store, now, a_draft(title="Once"), number=1, revision=first.revision, saving=token) == once


def test_quotes_at_once_share_no_number(store, now):
    came = together(5, lambda: a_quote(store, now))
    assert sorted(view.number for view in came) == [1, 2, 3, 4, 5]


def test_a_copy_is_a_quote_of_its_own(store, now):
    first, token = a_quote(store, now), fresh_token()
    later = now + timedelta(days=1)
    copy = quote.duplicate(store, number=first.number, saving=token, now=later)
    assert (copy.number, copy.revision, copy.created_at) == (2, 1, later)
    assert (copy.title, copy.described, copy.figures, copy.total) == (
        first.title, first.described, first.figures, first.total
    )  # fmt: skip
    assert quote.duplicate(store, number=first.number, saving=token, now=later) == copy
    assert numbers(store, "runner") == [2, 1]


def test_nonsense_is_told_in_full_and_nothing_is_kept(store, now):
    an_open_shop(store, now)
    wrong = a_draft(
        customer_name="x" * 10_000, customer_contact="\ud800", title="a\x07b", described={"deep": {"set": {1, 2}}},
        figures={"huge": "x" * 200_000}, size=Size(Length(0), Length.of(1, "m") * 5000), asking=money("-1"),
        total=money("1", "SEK"),
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        save(store, now, wrong)
    assert codes(refused) == {
        ("quote.customer_name", "text.long"),
        ("quote.customer_contact", "text.control"),
        ("quote.title", "text.control"),
        ("quote.described", "document.unusable"),
        ("quote.figures", "document.unusable"),
        ("quote.width", "length.small"),
        ("quote.length", "length.most"),
        ("quote.asking", "money.negative"),
        ("quote.total", "money.mixed"),
    }
    assert numbers(store) == []
    assert a_quote(store, now).number == 1


def nested(deep):
    return {"a": nested(deep - 1)} if deep else {}


@pytest.mark.parametrize(
    "document",
    [{"n": float("nan")}, {"n": float("inf")}, {1: "x"}, {"t": "a\0"}, {"t": "\ud800"}, nested(20)],
)
def test_a_document_that_no_database_keeps_is_told(store, now, document):
    with pytest.raises(Refusal) as refused:
        save(store, now, a_draft(figures=document))
    assert codes(refused) == {("quote.figures", "document.unusable")}


def test_emoji_and_any_script_are_kept_and_found(store, now):
    save(store, now, a_draft(customer_name="李小龍 \U0001f9f6", title="Matta åt Åsa"))
    assert quote.open_quote(store, number=1).customer_name == "李小龍 \U0001f9f6"
    assert numbers(store, "李小") == [1]
    assert numbers(store, "asa") == [1]


@pytest.mark.parametrize("number", [0, -1, 99, 2**63, 10**40])
def test_a_quote_that_is_not_there_is_told(store, now, number):
    for act in (
        lambda: quote.open_quote(store, number=number),
        lambda: quote.duplicate(store, number=number, saving=fresh_token(), now=now),
        lambda: save(store, now, a_draft(), number=number),
    ):
        with pytest.raises(NotFound) as refused:
            act()
        assert codes(refused) == {("", "quote.unknown")}


def test_pages_go_on_where_the_one_before_ended_even_among_equal_times(store, now):
    for place in range(8):
        a_quote(store, now + timedelta(minutes=place // 4))
    assert all_pages(store) == [[8, 7, 6], [5, 4, 3], [2, 1]]
    assert quote.quotes(store, limit=8).further is None


@pytest.mark.parametrize("after", ["x", "1", "-", "1-", "9" * 18 + "-1", "1-2-3", "1;DROP", "１-２"])
def test_a_page_that_cannot_be_is_told(store, after):
    with pytest.raises(NotFound) as refused:
        quote.quotes(store, after=after)
    assert codes(refused) == {("", "page.unknown")}


def test_words_are_found_by_their_beginnings_in_any_case_and_order(store, now):
    save(
        store, now, a_draft(customer_name="Åsa Lindqvist", customer_contact="", title="Hall runner in blues")
    )
    save(store, now, a_draft(customer_name="Eva Lind", customer_contact="", title="Bath mat"))
    save(store, now, a_draft(customer_name="Noor Haddad", customer_contact="", title="Runner, rust and blue"))
    assert numbers(store, "RUNNER") == [3, 1]
    assert numbers(store, "lind") == [2, 1]
    assert numbers(store, "lindq") == [1]
    assert numbers(store, "blue run") == [3, 1]
    assert numbers(store, "runner asa") == [1]
    assert numbers(store, "unner") == []
    assert numbers(store, "runner eva") == []
    assert numbers(store, "%") == numbers(store, "  ") == [3, 2, 1]
    assert numbers(store, "ru_ner") == []


def test_a_number_finds_its_quote_first(store, now):
    for place in range(12):
        a_quote(store, now + timedelta(minutes=place), title="Set of 3" if place == 7 else "Mat")
    assert numbers(store, "3") == [3, 8]
    assert numbers(store, "12") == [12]
    assert numbers(store, "99999999999999999999999999") == []


def test_a_quote_saved_again_is_found_by_its_new_words_alone(store, now):
    first = a_quote(store, now, title="Hall runner")
    save(store, now + timedelta(1), a_draft(title="Bath mat"), number=1, revision=first.revision)
    assert numbers(store, "runner") == []
    assert numbers(store, "bath") == [1]
    assert all_pages(store, "lindqvist") == [[1]]


def test_a_search_goes_on_over_pages_and_finds_each_quote_once(store, now):
    for place in range(10):
        a_quote(store, now + timedelta(minutes=place), title="rug rugs rugged" if place % 2 else "mat")
    assert all_pages(store, "rug") == [[10, 8, 6], [4, 2]]


def test_a_beginning_of_too_many_words_is_found_along_the_list(store, now):
    for place in range(quote_list.MOST_SPELLINGS + 5):
        a_quote(store, now + timedelta(minutes=place), title=f"rug{place:03}")
    a_quote(store, now + timedelta(days=1), title="mat")
    found = [number for page in all_pages(store, "rug", limit=10) for number in page]
    assert found == list(range(quote_list.MOST_SPELLINGS + 5, 0, -1))
    assert numbers(store, "rug mat") == []


def test_two_common_words_that_seldom_meet_are_looked_for_a_stretch_at_a_time(store, now, monkeypatch):
    monkeypatch.setattr(quote_list, "LOOKED_AT_FIRST", 2)
    monkeypatch.setattr(quote_list, "LOOKED_AT", 5)
    a_quote(store, now, title="blue runner")
    for place in range(1, 13):
        a_quote(store, now + timedelta(minutes=place), title="runner" if place % 2 else "blue")
    pages = all_pages(store, "blue runner")
    assert [number for page in pages for number in page] == [1]
    assert len(pages) > 1


def test_the_list_and_the_search_take_as_many_queries_however_many_quotes(sqlite_store, now, count_queries):
    def counted(words):
        with count_queries(sqlite_store) as said:
            quote.quotes(sqlite_store, words=words)
        return len(said)

    a_quote(sqlite_store, now)
    few = {words: counted(words) for words in ("", "runner", "hall runner", "1")}
    for place in range(40):
        a_quote(sqlite_store, now + timedelta(minutes=place))
    many = {words: counted(words) for words in few}
    assert all(many[words] <= few[words] for words in few)


def plan_of(store, said):
    """How SQLite would go about each of these queries."""
    with store.reading() as session:
        connection = session.connection()
        told = [
            connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters).all()
            for statement, parameters in said
            if statement.startswith(("SELECT", "WITH"))
        ]
    return [row[-1] for rows in told for row in rows]


def test_the_list_is_read_along_its_index_and_never_sorted(sqlite_store, now, count_queries):
    a_quote(sqlite_store, now)
    with count_queries(sqlite_store) as said:
        quote.quotes(sqlite_store, after="1-1")
    (step,) = plan_of(sqlite_store, said)
    assert step == "SEARCH quote USING INDEX ix_quote_newest (updated_at<?)"


def test_a_search_never_reads_a_whole_table(sqlite_store, now, count_queries):
    a_quote(sqlite_store, now)
    with count_queries(sqlite_store) as said:
        quote.quotes(sqlite_store, words="hall runner", after="1-1")
    steps = plan_of(sqlite_store, said)
    assert [step for step in steps if step.startswith("SCAN quote")] == []
    assert [step for step in steps if step.startswith("SEARCH quote_word")] != []


def test_searched_words_lie_each_after_a_space():
    assert search_text("Åsa", "", "Hall-runner hall") == " asa hall runner"
