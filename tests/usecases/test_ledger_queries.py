"""How often the database is asked does not grow with what has happened."""

from decimal import Decimal

from shop.core.amount import Share
from shop.usecases import draw, job, piece, shelf
from tests.builders import a_haul_at_home, a_job, a_sheet, an_open_shop, drawn

LITTLE = Share(Decimal("0.05"))


def test_looking_at_cloth_asks_as_often_with_much_history_as_with_little(store, now, count_queries):
    an_open_shop(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    number = a_job(store, now)
    drawn(store, now, 1, number, LITTLE)

    looks = (
        lambda: job.job(store, number=number),
        lambda: piece.piece(store, number=1),
        lambda: draw.look(store, number=1, amount=LITTLE),
        lambda: shelf.look(store, asked=shelf.Asked()),
    )

    def asked():
        counts = []
        for look in looks:
            look()
            with count_queries(store) as said:
                look()
            counts.append(len(said))
        return counts

    before = asked()
    a_haul_at_home(store, now, *(a_sheet(ready=True) for _ in range(4)))
    for turn in range(20):
        drawn(store, now, turn % 5 + 1, number, LITTLE)
    assert asked() == before
