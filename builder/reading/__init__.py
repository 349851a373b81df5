"""From the maker's files to frozen values, or to every problem in them at once.

`yaml_text` turns the text of one file into a tree of texts that know their places, `converters` turn one text into
one value, `shapes` lays a tree over the dataclass it should be, and `folder` reads a whole shop.
"""
