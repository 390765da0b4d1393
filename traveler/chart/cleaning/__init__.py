"""The part couples cleaned of their troubles: holes, jumps, stuck readings, spares that stand in."""
