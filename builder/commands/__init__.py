"""The commands of `boutbook`, a module for each kind of work; the group that holds them is in command_line."""
