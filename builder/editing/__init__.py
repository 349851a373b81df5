"""Additions to a maker's file that leave every other byte as it was.

A file is never written anew from what was read: that would lose comments, order and layout. One text is put in at one
place, and what comes of it is read again with two parsers and compared with what was meant. Where it is not that,
nothing is given back but the reason.
"""
