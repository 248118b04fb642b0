"""The steps of the outbox at which a worker can die, by name."""

POINTS = (
    "after the claim",
    "before the fence",
    "after the fence",
    "after the call",
    "half-way through settling",
    "after settling",
)
POINT_COUNT = len(POINTS)
