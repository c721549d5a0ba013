"""Timing two or more ways of doing a thing in one run, turn by turn."""

from collections.abc import Callable, Mapping
from time import perf_counter


def best_of(works: Mapping[str, Callable[[], object]], rounds: int = 7) -> dict[str, float]:
    """Shortest time of each work in seconds; the rounds alternate, so a busy moment hits all."""
    best = dict.fromkeys(works, float("inf"))
    for _ in range(rounds):
        for name, work in works.items():
            start = perf_counter()
            work()
            best[name] = min(best[name], perf_counter() - start)
    return best


def table(best: Mapping[str, float], base: str, count: int = 1, unit: str = "µs") -> str:
    """Lines of name, time a piece and ratio to the base."""
    scale = {"µs": 1e6, "ms": 1e3, "s": 1}[unit]
    return "\n".join(
        f"{name:<44} {seconds / count * scale:>10.2f} {unit}   {seconds / best[base]:>7.2f} ×"
        for name, seconds in best.items()
    )
