"""What is written down for bench and field."""

from mixlib.bench.card.card import Card, as_markdown, bench_card

__all__ = ["Card", "as_markdown", "bench_card"]
