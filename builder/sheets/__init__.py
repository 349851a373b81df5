"""Everything made to be printed: stand-alone sheets with their own template and print style."""
