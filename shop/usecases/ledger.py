"""Proving the ledger: every movement is played again, and what it comes to is held against receipts and balances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from shop.core.ledger import Holding, Kind
from shop.core.ledger_proof import Fault, Replay
from shop.core.money import Money
from shop.store import ledger_proof as kept
from shop.store.engine import Session, Store
from shop.store.ledger import everything
from shop.usecases.shop import shop_in

MOST_FAULTS: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What the proof found.

    Attributes:
        paid: by the movements, for all cloth; ``on_shelf``, ``in_jobs``, ``in_rugs`` and ``written_off`` where it is.
        receipts: what was paid by the hauls themselves, with later costs.
        faults: where the ledger does not hold, at most a hundred.
    """

    paid: Money
    on_shelf: Money
    in_jobs: Money
    in_rugs: Money
    written_off: Money
    receipts: Money
    hauls: int
    pieces: int
    movements: int
    faults: tuple[Fault, ...]

    @property
    def holds(self) -> bool:
        """Whether nothing was found."""
        return not self.faults


def prove(store: Store) -> Proof:
    """Prove the ledger; changes nothing."""
    with store.reading() as session:
        replay = Replay()
        faults: list[Fault] = []
        for number, movement in everything(session):
            if movement is None:
                faults.append(Fault("movement", number, "ledger.unreadable"))
            else:
                faults.extend(replay.play(movement))
            del faults[MOST_FAULTS:]
        faults.extend(replay.finish())
        faults.extend(_rows(session, replay))
        found = replay.standing
        currency = shop_in(session).currency
        hauls, receipts, of_hauls = _receipts(session, replay)
        faults.extend(of_hauls)
        if not found.adds_up or (receipts != found.paid and not faults):
            faults.append(Fault("movement", "all", "ledger.sum"))
        return Proof(
            paid=Money(found.paid, currency),
            on_shelf=Money(found.on_shelf, currency),
            in_jobs=Money(found.in_jobs, currency),
            in_rugs=Money(found.in_rugs, currency),
            written_off=Money(found.written_off, currency),
            receipts=Money(receipts, currency),
            hauls=hauls,
            pieces=kept.count_pieces(session),
            movements=replay.movements,
            faults=tuple(faults[:MOST_FAULTS]),
        )


def _rows(session: Session, replay: Replay) -> Iterator[Fault]:
    """The balances that stand beside pieces and jobs, held against what the movements come to."""
    gone = set(replay.came)
    for piece in kept.pieces(session):
        gone.discard(piece.id)
        shelf = replay.shelf.get(piece.id, Holding())
        if piece.id not in replay.came:
            yield Fault("piece", piece.id, "ledger.never_came")
        elif (piece.left, piece.left_cost) != (shelf.share, shelf.cost):
            yield Fault("piece", piece.id, "ledger.balance")
        elif (piece.came, piece.later) != (replay.came[piece.id], replay.later.get(piece.id, 0)):
            yield Fault("piece", piece.id, "ledger.cost")
        elif _state_differs(piece.state, shelf, replay.state.get(piece.id, Kind.SET_ASIDE)):
            yield Fault("piece", piece.id, "ledger.state")
    for missing in sorted(gone):
        yield Fault("piece", missing, "ledger.missing")
    lying = {key for lies in (replay.jobs, replay.rugs) for key, held in lies.items() if held.share}
    for row in kept.job_cloths(session):
        key = (row.job_id, row.piece_id)
        lying.discard(key)
        job, rug = replay.jobs.get(key, Holding()), replay.rugs.get(key, Holding())
        if (row.share, row.cost, row.rug_share, row.rug_cost) != (job.share, job.cost, rug.share, rug.cost):
            yield Fault("job_cloth", f"{row.job_id}/{row.piece_id}", "ledger.balance")
    for job_id, piece_id in sorted(lying):
        yield Fault("job_cloth", f"{job_id}/{piece_id}", "ledger.balance")


def _state_differs(state: str, shelf: Holding, last: Kind) -> bool:
    if shelf.share:
        return state != last.value
    return state in (Kind.SET_ASIDE.value, Kind.READY.value)


def _receipts(session: Session, replay: Replay) -> tuple[int, int, list[Fault]]:
    """Each haul's receipt, held against what its pieces cost when they came."""
    came: dict[int, int] = {}
    paid: dict[int, int] = {}
    later = 0
    faults: list[Fault] = []
    for piece in kept.pieces(session):
        if not isinstance(piece.paid, int):
            faults.append(Fault("piece", piece.id, "ledger.unreadable"))
            continue
        later += replay.later.get(piece.id, 0)
        if piece.parent_id is None:
            came[piece.haul_id] = came.get(piece.haul_id, 0) + replay.came.get(piece.id, 0)
            paid[piece.haul_id] = paid.get(piece.haul_id, 0) + piece.paid
    count, receipts = 0, later
    for haul in kept.hauls(session):
        count += 1
        brought = came.pop(haul.id, 0)
        if not all(isinstance(amount, int) for amount in (haul.discount, haul.tax, haul.washing, haul.trip)):
            faults.append(Fault("haul", haul.id, "ledger.unreadable"))
            continue
        receipt = paid.get(haul.id, 0) - haul.discount + haul.tax + haul.washing + haul.trip
        receipts += receipt
        if receipt != brought:
            faults.append(Fault("haul", haul.id, "ledger.receipt"))
    faults.extend(Fault("haul", missing, "ledger.missing") for missing in sorted(came))
    return count, receipts, faults
