"""Data of the trade, with a source per row."""
