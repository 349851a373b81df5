"""Every field of every file: what it means and how it is written; for people, and as JSON Schema for editors."""
