"""What is written down for bench and field."""

from mixlib.bench.card.card import BENCH_CHECKS, FLIGHT_CHECKS, Card, as_markdown, bench_card

__all__ = ["BENCH_CHECKS", "FLIGHT_CHECKS", "Card", "as_markdown", "bench_card"]
