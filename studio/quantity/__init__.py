"""Kitchen text to numbers and back: the only place of the program that reads a quantity.

`parse("1 lb 4 oz", "mass")` gives grams, `show(1500.0, "mL")` gives text that `parse` reads again.
pint knows the units; it is imported at the first conversion, never by importing this package.
"""
