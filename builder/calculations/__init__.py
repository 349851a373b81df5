"""The sums of the trade, one module per subject. They take numbers and give numbers, and know no records."""
