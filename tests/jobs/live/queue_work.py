"""Work for the queue's tests, carried out in its processes: what was done is written into a file."""

import os
import time
from pathlib import Path

from review.errors import BadInputError, Cancelled, MachineError
from review.jobs.live import worker
from review.jobs.live.worker import Order, Outcome

FAILURES = {
    "bad": BadInputError("Too dark to see the player."),
    "odd": ValueError("shapes (33, 3) and (0,) do not fit"),
    "model": RuntimeError("inference failed"),
}


def log(order: Order, what: str) -> None:
    with (order.library / "log").open("a", encoding="utf-8") as file:
        file.write(f"{order.clip_id} {what}\n")


def lines(folder: Path) -> list[str]:
    path = folder / "log"
    return path.read_text(encoding="utf-8").splitlines() if path.exists() else []


def carry_out(order: Order) -> Outcome:
    """Behave as the clip's id says."""
    log(order, "begun")
    if order.clip_id.startswith("dies") and len(lines(order.library)) == 1:
        os._exit(1)
    if order.clip_id == "full":
        raise MachineError("The disk is full.")
    if order.clip_id in FAILURES:
        raise FAILURES[order.clip_id]
    steps = 200 if order.clip_id.startswith("long") and len(lines(order.library)) < 3 else 2
    try:
        for i in range(steps):
            time.sleep(0.05)
            worker._report(order, i + 1, steps)
    except Cancelled:
        log(order, "stopped")
        raise
    log(order, "done")
    return Outcome(swing_id=order.clip_id)
