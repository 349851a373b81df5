"""All records and results as files for other programs: one JSON file an instrument, and tables for a spreadsheet."""
