"""Boutbook: plain records of hand-built fretted instruments in; pages, certificates and numbers out."""
