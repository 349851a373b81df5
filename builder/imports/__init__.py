"""Old builds from a spreadsheet ─► whole folders with records: read, told row by row, put in place all or none."""
