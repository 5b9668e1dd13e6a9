"""Bench science of the dye studio: pure functions on floats, standard library only, no files and no screens.

| module | what it computes |
|---|---|
| `fibre` | share of a blend that takes a dye, moisture regain |
| `shade` | dye and stock from depth of shade, mixtures, drops |
| `weighing` | how far a weighing on a given scale can be trusted |
| `acid` | pH of a bath and acid for a pH; grams, millilitres and equivalents are in `acid_amounts` |
| `liquor` | bath size, water held, room left for dye liquid |
| `steam` | heat-through, hold and pot water; boiling point in `boiling`, series in `conduction` and `bessel` |
| `heat` | cooling of the packet, minutes above a temperature |

Importing this package loads none of them.
"""
